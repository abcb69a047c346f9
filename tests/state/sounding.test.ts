/** What sounds, by what the engine answers. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { answer, ask, beginToListen, refuse, silence, sounding, unheard } from '../../src/state/sounding.ts';

beforeEach(() => {
  vi.useFakeTimers();
  answer(ask('A'));
});
afterEach(() => {
  vi.useRealTimers();
});

test('a build sounds when the engine says so, not when it is asked for', () => {
  const id = ask('B');
  expect(sounding.value?.letter).toBe('A');
  answer(id);
  expect(sounding.value?.letter).toBe('B');
  expect(unheard.value).toBeNull();
});

test('only a wait longer than a fade is told, and no longer than it lasts', () => {
  const id = ask('B');
  vi.advanceTimersByTime(300);
  expect(unheard.value).toBeNull();
  vi.advanceTimersByTime(200);
  expect(unheard.value).toEqual({ letter: 'B', instead: 'A', why: null });
  answer(id);
  expect(unheard.value).toBeNull();
});

test('a drag that the engine follows is never late, one that it does not follow is', () => {
  const ids: number[] = [];
  for (let i = 0; i < 120; i++) {
    ids.push(ask('A'));
    if (i >= 4) answer(ids[i - 4]);
    vi.advanceTimersByTime(16);
    expect(unheard.value).toBeNull();
  }
  for (let i = 0; i < 60; i++) {
    ask('A');
    vi.advanceTimersByTime(16);
  }
  expect(unheard.value).toEqual({ letter: 'A', instead: 'A', why: null });
});

test('an answer to what nobody asked, or to an earlier asking, does not undo a later one', () => {
  const first = ask('B');
  const second = ask('C');
  answer(second);
  answer(first);
  answer(1e9);
  expect(sounding.value?.letter).toBe('C');
});

test('what cannot be had is told at once with its reason, until the next asking', () => {
  ask('B');
  refuse('too long');
  expect(unheard.value).toEqual({ letter: 'B', instead: 'A', why: 'too long' });
  ask('A');
  expect(unheard.value).toBeNull();
});

test('an engine that is gone plays nothing; a wait begins when there is something to hear', () => {
  const known = ask('A');
  answer(known);
  silence();
  expect(sounding.value).toBeNull();
  answer(known);
  expect(sounding.value?.letter).toBe('A');
  silence();
  ask('B');
  vi.advanceTimersByTime(5000);
  beginToListen();
  expect(unheard.value).toBeNull();
  vi.advanceTimersByTime(500);
  expect(unheard.value).toEqual({ letter: 'B', instead: null, why: null });
});
