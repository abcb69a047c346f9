/** A preference run as plain data: every pair of up to eight builds, several times, one blind choice each. */
import type { Choice } from '../../../shared/statistics/preference.ts';
import { below, type Draw, shuffled } from './shuffle.ts';

/** Indices of two builds in the order in which they are offered. */
export type Pair = readonly [first: number, second: number];

export interface PreferenceRun {
  readonly pairs: readonly Pair[];
  readonly choices: readonly Choice[];
}

/**
 * Every pair of `builds` builds once a round, each round in a random order. Which comes first is drawn in the first round
 * and turned round in the next, so that the place is balanced; the same two never follow each other if it can be helped.
 */
export function drawPreferenceRun(builds: number, rounds: number, word: Draw): PreferenceRun {
  const all: Pair[] = [];
  for (let i = 0; i < builds; i++) for (let j = i + 1; j < builds; j++) all.push(below(2, word) ? [j, i] : [i, j]);
  const pairs: Pair[] = [];
  for (let round = 0; round < rounds; round++) {
    const order = shuffled(all, word);
    const last = pairs.at(-1);
    const same = ([a, b]: Pair) => last?.includes(a) === true && last.includes(b);
    if (order.length > 1 && same(order[0])) order.push(order.shift()!);
    pairs.push(...order.map(([a, b]): Pair => (round % 2 ? [b, a] : [a, b])));
  }
  return { pairs, choices: [] };
}

export const isComplete = (run: PreferenceRun): boolean => run.choices.length === run.pairs.length;
export const pairNow = (run: PreferenceRun): Pair => run.pairs[run.choices.length];

/** The run with the first (0) or the second (1) of the pair at hand chosen. @throws if it is complete */
export function withChoice(run: PreferenceRun, place: 0 | 1): PreferenceRun {
  if (isComplete(run)) throw new RangeError('every pair has its choice');
  const pair = pairNow(run);
  return { ...run, choices: [...run.choices, { chosen: pair[place], over: pair[1 - place] }] };
}
