/** The last sheets that another took the place of: kept in the journal, so that they outlive a reload and many steps of undo. */
import { signal } from '@preact/signals-core';
import type { Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { type Entry, forgetJournal, readJournal, writeJournal } from './journal.ts';
import { workOf } from './work.ts';

const PLACE = 'earlier/';
/** Sheets that are kept. */
const EARLIER = 3;

type Journal = ReadonlyMap<string, Entry>;

/** Places of earlier sheets, the newest first; one that was set aside again counts once. */
function placesIn(journal: Journal): string[] {
  const seen = new Set<string>();
  return [...journal]
    .filter(([place]) => place.startsWith(PLACE))
    .sort(([, a], [, b]) => b.at - a.at)
    .filter(([, { sheet }]) => seen.size < seen.add(workOf(sheet)).size)
    .map(([place]) => place);
}

/** The newest first. */
export const earlier = signal<readonly Entry[]>([]);

/** Shows what the journal has of them. */
export function showEarlier(journal: Journal): void {
  earlier.value = placesIn(journal)
    .slice(0, EARLIER)
    .map(place => journal.get(place)!);
}

/** Keeps a sheet that is about to be replaced; the demo as it comes needs no place. */
export async function setAside(sheet: Sheet): Promise<void> {
  if (workOf(sheet) === workOf(demoSheet())) return;
  const entry: Entry = { at: Date.now(), sheet, past: [] };
  showEarlier(new Map([...earlier.peek(), entry].map(one => [`${PLACE}${one.at}`, one])));
  if (!(await writeJournal(`${PLACE}${entry.at}`, entry))) return;
  const journal = await readJournal();
  showEarlier(journal);
  const stays = new Set(placesIn(journal).slice(0, EARLIER));
  await forgetJournal([...journal.keys()].filter(place => place.startsWith(PLACE) && !stays.has(place)));
}
