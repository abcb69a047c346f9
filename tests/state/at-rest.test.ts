/** What waits until a hand rests. */
import { computed, effect } from '@preact/signals-core';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { buildOf, renameBuild } from '../../shared/document/edits/builds.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { atRest } from '../../src/state/at-rest.ts';
import { Store } from '../../src/state/store.ts';

beforeEach(() => vi.useFakeTimers());
afterEach(() => vi.useRealTimers());

const rename = (store: Store, name: string, gesture: string | null = 'typing') =>
  store.edit('rename', sheet => renameBuild(sheet, 'A', name).sheet, gesture);

test('a hand is at work from its first edit until it has rested for a fifth of a second', () => {
  const store = new Store(demoSheet());
  expect(store.working.value).toBe(false);
  rename(store, 'one');
  expect(store.working.value).toBe(true);
  vi.advanceTimersByTime(199);
  rename(store, 'two');
  vi.advanceTimersByTime(199);
  expect(store.working.value).toBe(true);
  vi.advanceTimersByTime(1);
  expect(store.working.value).toBe(false);
});

test('what is refused, a look, and a step by itself are no work of a hand', () => {
  const store = new Store(demoSheet());
  store.edit('empty', sheet => ({ ...sheet, builds: [] }), 'typing');
  store.edit('nothing', sheet => sheet, 'typing');
  store.look({ fret: 3 });
  expect(store.working.value).toBe(false);
  rename(store, 'one', null);
  expect(store.working.value).toBe(false);
  // and one ends the work: what follows is of another sheet
  rename(store, 'two');
  rename(store, 'three', null);
  expect(store.working.value).toBe(false);
  // so does letting go, and going back
  rename(store, 'four');
  store.endGesture();
  expect(store.working.value).toBe(false);
  rename(store, 'five');
  store.undo();
  expect(store.working.value).toBe(false);
  vi.advanceTimersByTime(500);
  expect(store.working.value).toBe(false);
});

test('what is read is worked out at once, stays while a hand is at work, and follows when it rests; looks are followed at once', () => {
  const store = new Store(demoSheet());
  let count = 0;
  const read = atRest(() => {
    count++;
    return `${buildOf(store.sheet.value, 'A').name} at fret ${store.sheet.value.view.fret}`;
  }, store);
  const shown: string[] = [];
  const text = computed(read);
  const stop = effect(() => {
    shown.push(text.value);
  });
  store.look({ fret: 3 });
  expect(shown.at(-1)).toMatch(/ at fret 3$/);
  const before = shown.at(-1);
  for (const name of ['one', 'two', 'three']) rename(store, name);
  expect(shown.at(-1)).toBe(before);
  const worked = count;
  vi.advanceTimersByTime(200);
  expect(shown.at(-1)).toBe('three at fret 3');
  expect(count).toBe(worked + 1);
  stop();
});
