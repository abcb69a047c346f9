/** Sheets that another took the place of; the journal is in memory here. */
import { afterAll, beforeEach, expect, test, vi } from 'vitest';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import type { Entry } from '../../src/state/journal.ts';

const journal = vi.hoisted(() => ({ entries: new Map<string, unknown>(), full: false }));
vi.mock('../../src/state/journal.ts', () => ({
  readJournal: async () => new Map(journal.entries),
  writeJournal: async (place: string, entry: unknown) => {
    if (!journal.full) journal.entries.set(place, entry);
    return !journal.full;
  },
  forgetJournal: async (places: string[]) => {
    for (const place of places) journal.entries.delete(place);
  },
}));

// test files share what they import: neither is the real journal to be met here, nor this one anywhere else
vi.resetModules();
const { earlier, setAside, showEarlier } = await import('../../src/state/earlier.ts');
afterAll(() => {
  vi.restoreAllMocks();
  vi.doUnmock('../../src/state/journal.ts');
  vi.resetModules();
});

const titled = (title: string) => ({ ...demoSheet(), title });
const titles = () => earlier.value.map(({ sheet }) => sheet.title);
let now = 1000;
beforeEach(() => {
  journal.entries.clear();
  journal.full = false;
  vi.spyOn(Date, 'now').mockImplementation(() => now++);
  showEarlier(new Map());
});

test('the last three are kept, the newest first, and no other record is touched', async () => {
  journal.entries.set('tab/1', { at: 1, sheet: titled('a tab'), past: [] } satisfies Entry);
  for (const title of ['one', 'two', 'three', 'four', 'five']) await setAside(titled(title));
  expect(titles()).toEqual(['five', 'four', 'three']);
  const kept = [...journal.entries].filter(([place]) => place.startsWith('earlier/'));
  expect(kept.map(([, entry]) => (entry as Entry).sheet.title)).toEqual(['three', 'four', 'five']);
  expect(journal.entries.has('tab/1')).toBe(true);
});

test('one that is set aside again counts once, however the page stood', async () => {
  await setAside(titled('one'));
  await setAside(titled('two'));
  await setAside({ ...titled('one'), view: { ...demoSheet().view, heard: 'B' } });
  expect(titles()).toEqual(['one', 'two']);
});

test('the demo as it comes needs no place; where nothing can be kept it still stands until a reload', async () => {
  await setAside(demoSheet());
  expect(titles()).toEqual([]);
  journal.full = true;
  await setAside(titled('one'));
  expect(titles()).toEqual(['one']);
  expect(journal.entries.size).toBe(0);
});
