/**
 * How loud each build plays the current take. While a build is being changed an estimate follows the hand; a moment after
 * the last change the measured figure takes its place, and later estimates start from it.
 */
import { computed, effect } from '@preact/signals-core';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import type { Letter } from '../../shared/document/sheet.ts';
import {
  FIRST_ABOVE,
  matchGain,
  meanLevel,
  type WeightedTake,
  weightedTake,
} from '../../shared/response/level-match.ts';
import { measured, measureProblem } from './measured.ts';
import { notify } from './notices.ts';
import { slots, view } from './page.ts';
import { type CurrentTake, currentTake } from './take.ts';

export interface Level {
  /** LUFS; −Infinity: silence. */
  loudness: number;
  /** Measured over the whole take; false: estimated. */
  exact: boolean;
}

const weighted = new WeakMap<CurrentTake, WeightedTake>();
const means = new WeakMap<Build, { take: CurrentTake; point: TestPoint; level: number }>();

/** `meanLevel` of the model, remembered. */
function meanOf(build: Build, take: CurrentTake, point: TestPoint): number {
  const known = means.get(build);
  if (known?.take === take && known.point === point) return known.level;
  let strings = weighted.get(take);
  if (!strings) weighted.set(take, (strings = weightedTake(take.channels, take.sampleRate, take.uncombed)));
  const level = meanLevel(build, strings, point);
  means.set(build, { take, point, level });
  return level;
}

/** What the last measured figure of each build lay above its mean, dB: gates leave out the pauses of a take. */
const above = new Map<Letter, number>();

/** Loudness of every build on the current take at the test point that is heard; null: no take yet. */
export const levels = computed<ReadonlyMap<Letter, Level> | null>(() => {
  const take = currentTake.value;
  if (!take) return null;
  const { point } = view.value;
  const found = slots.value.map(({ letter, build }) => {
    const mean = meanOf(build, take, point);
    const loudness = measured(build, point)?.loudness ?? null;
    if (loudness !== null && Number.isFinite(loudness)) above.set(letter, loudness - mean);
    return { letter, mean, loudness };
  });
  return new Map(
    found.map(({ letter, mean, loudness }) => {
      // what the last figure of this build, else of another, told the estimate to be wrong by
      const estimate = mean + (above.get(letter) ?? above.values().next().value ?? FIRST_ABOVE);
      return [letter, { loudness: loudness ?? estimate, exact: loudness !== null }];
    }),
  );
});

/** Gain, dB, that brings build `letter` to its listening level: the target, or as much as the reference build gets. */
export function listeningGain(letter: Letter): number {
  const { levelMatch, reference } = view.value;
  return matchedGain(levelMatch ? letter : reference);
}

/** Gain, dB, that brings build `letter` to the target loudness; 0 for a build that is silent or not known yet. */
export const matchedGain = (letter: Letter): number => matchGain(levels.value?.get(letter)?.loudness ?? Number.NaN);

/** Says from now on what could not be measured. */
export const startLevels = (): (() => void) =>
  effect(() => {
    if (measureProblem.value !== null) notify(measureProblem.value, 'warning');
  });
