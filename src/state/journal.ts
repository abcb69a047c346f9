/**
 * The journal: every tab's sheet with its way back, as one record in one transaction. The browser hands its text storage to
 * the disk seconds later; a record of the database is with the system when its transaction ends, and outlives a killed
 * browser. The shared steps of a record stay shared in it, so that fifty of them are little more than one.
 */
import { createStore, delMany, entries, set } from 'idb-keyval';
import { sheetProblem } from '../../shared/document/reading/check-sheet.ts';
import type { Sheet } from '../../shared/document/sheet.ts';
import type { Step } from './store.ts';

export interface Entry {
  /** When it was written, ms since 1970. */
  at: number;
  sheet: Sheet;
  past: readonly Step[];
}

/** Where all tabs keep theirs. */
export const SHARED = 'kept';
/** Steps back that are kept. */
const STEPS = 50;
/** A database that does not answer is one that is not there, ms. */
const PATIENCE = 1500;

let opened: ReturnType<typeof createStore> | null = null;
const database = () => (opened ??= createStore('comb-and-coil-journal', 'journal'));

/** The steps of a record that can be taken back, newest last; the oldest that cannot be read ends them. */
function steps(sheet: Sheet, past: unknown): Step[] {
  if (!Array.isArray(past)) return [];
  const good: Step[] = [];
  let known = sheet;
  for (const step of (past as Step[]).slice(-STEPS).reverse()) {
    if (typeof step?.name !== 'string' || sheetProblem(step.before, known) !== null) break;
    good.unshift({ name: step.name, before: step.before });
    known = step.before;
  }
  return good;
}

/** A record as it may be used; null: what is there was written by another version, or is damaged. */
function usable(data: unknown): Entry | null {
  try {
    const { at, sheet, past } = data as Entry;
    return typeof at === 'number' && sheetProblem(sheet) === null ? { at, sheet, past: steps(sheet, past) } : null;
  } catch {
    return null;
  }
}

/** Every record that can be used, by its place; none where the browser has no database for this page. */
export async function readJournal(): Promise<ReadonlyMap<string, Entry>> {
  try {
    const all = await Promise.race([
      entries<string, unknown>(database()),
      new Promise<[string, unknown][]>(done => setTimeout(() => done([]), PATIENCE)),
    ]);
    return new Map(
      all.flatMap(([key, data]) => {
        const entry = usable(data);
        return entry ? [[key, entry] as const] : [];
      }),
    );
  } catch {
    return new Map();
  }
}

/** Writes a record; false: the browser refused. */
export async function writeJournal(place: string, { at, sheet, past }: Entry): Promise<boolean> {
  try {
    await set(place, { at, sheet, past: past.slice(-STEPS) }, database());
    return true;
  } catch {
    return false;
  }
}

/** Takes records out. */
export const forgetJournal = (places: string[]): Promise<void> =>
  places.length === 0 ? Promise.resolve() : delMany(places, database()).catch(() => undefined);
