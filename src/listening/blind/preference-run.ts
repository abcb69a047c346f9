/** A preference run as plain data: every pair of up to eight builds, several times, one blind choice each. */
import { bradleyTerry, compareItems, standardError } from '../../../shared/statistics/bradley-terry.ts';
import { below, type RandomWord, shuffled } from './random.ts';

/** Indices of two builds in the order in which they are offered. */
export type Pair = readonly [first: number, second: number];

export interface Choice {
  chosen: number;
  over: number;
}

export interface PreferenceRun {
  readonly pairs: readonly Pair[];
  readonly choices: readonly Choice[];
}

/**
 * Every pair of `builds` builds once a round, each round in a random order. Which comes first is drawn in the first round
 * and turned round in the next, so that the place is balanced; the same two never follow each other if it can be helped.
 */
export function drawPreferenceRun(builds: number, rounds: number, word: RandomWord): PreferenceRun {
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

export interface RankedItem {
  /** Index of the build. */
  item: number;
  /** Place from 1. Builds that the choices do not tell apart from the one above share its place. */
  place: number;
  chosen: number;
  offered: number;
  /** Log odds against the average build, and its standard error. */
  ability: number;
  standardError: number;
  /** Chance of being chosen over the build at the top, with its 95 % interval; null for the one at the top. */
  againstTop: { probability: number; interval: [number, number]; distinct: boolean } | null;
}

export interface PreferenceResult {
  ranked: RankedItem[];
  /** False: the choices alone fix no ranking (somebody always won or always lost). */
  determined: boolean;
  /** True if at least one pair is told apart at 95 %. */
  anyDistinct: boolean;
  choices: number;
}

/** Ranks `builds` builds by Bradley–Terry from single choices. */
export function preferenceResult(builds: number, choices: readonly Choice[]): PreferenceResult {
  const wins = Array.from({ length: builds }, () => new Array<number>(builds).fill(0));
  for (const { chosen, over } of choices) wins[chosen][over]++;
  const ranking = bradleyTerry(wins);
  const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);
  const order = wins.map((_, i) => i).sort((a, b) => ranking.abilities[b] - ranking.abilities[a]);
  const [top] = order;
  let anyDistinct = false;
  for (let i = 0; i < builds; i++) for (let j = 0; j < i; j++) anyDistinct ||= compareItems(ranking, i, j).distinct;
  let place = 1;
  const ranked = order.map((item, at): RankedItem => {
    if (at > 0 && compareItems(ranking, order[place - 1], item).distinct) place = at + 1;
    const against = compareItems(ranking, item, top);
    const chosen = sum(wins[item]);
    return {
      item,
      place,
      chosen,
      offered: chosen + sum(wins.map(row => row[item])),
      ability: ranking.abilities[item],
      standardError: standardError(ranking, item),
      againstTop:
        item === top
          ? null
          : { probability: against.probability, interval: against.interval, distinct: against.distinct },
    };
  });
  return { ranked, determined: ranking.determined, anyDistinct, choices: ranking.choices };
}
