/**
 * How loud each build plays the current take: K-weighted mean power (ITU-R BS.1770) of the take's strings through the
 * build's responses. Taken from the same curves as plots and kernels, so it follows the hand; strings count as
 * independent.
 */
import { computed } from '@preact/signals-core';
import { kWeightingPower } from '../../shared/audio/loudness.ts';
import { longTermSpectrum } from '../../shared/audio/spectrum.ts';
import type { Build, TestPoint } from '../../shared/build/build.ts';
import type { Letter } from '../../shared/build/sheet.ts';
import { power } from '../../shared/complex.ts';
import { kernelFrequencies } from '../../shared/response/kernel.ts';
import { responses } from '../../shared/response/response.ts';
import { slots, view } from './page.ts';
import { type CurrentTake, currentTake } from './take.ts';

/** Level that every matched build is brought to, dB re full scale, K-weighted, before the volume control. */
export const TARGET_LEVEL = -14;

interface Weighted {
  frequencies: Float64Array;
  /** [string][bin]: K-weighted power of the take in each bin. */
  strings: Float64Array[];
}

const weighted = new WeakMap<CurrentTake, Weighted>();

function weightedTake(take: CurrentTake): Weighted {
  let known = weighted.get(take);
  if (!known) {
    const frequencies = kernelFrequencies(take.sampleRate);
    const k = kWeightingPower(frequencies, take.sampleRate);
    const size = 2 * (frequencies.length - 1);
    // a Hann window gathers 1.5 bins of noise, and a sine of amplitude 1 has the mean square 1/2
    const strings = take.channels.map(channel =>
      longTermSpectrum([channel], take.sampleRate, size).power.map((p, bin) => (p * k[bin]) / 3),
    );
    known = { frequencies, strings };
    weighted.set(take, known);
  }
  return known;
}

const kept = new WeakMap<Build, { take: CurrentTake; point: TestPoint; level: number }>();

/** K-weighted level of `take` through `build` at `point`, dB; −Infinity: silence. */
export function levelOf(build: Build, take: CurrentTake, point: TestPoint): number {
  const known = kept.get(build);
  if (known?.take === take && known.point === point) return known.level;
  const { frequencies, strings } = weightedTake(take);
  let sum = 0;
  for (let output = 0; output < build.outputs.length; output++)
    responses(build, point, frequencies, output).forEach((curve, s) => {
      const string = strings[s];
      if (string) for (let bin = 0; bin < string.length; bin++) sum += string[bin] * power(curve, bin);
    });
  const level = 10 * Math.log10(sum / build.outputs.length);
  kept.set(build, { take, point, level });
  return level;
}

/** Level of every build on the current take at the test point that is heard, dB; null: no take yet. */
export const levels = computed<ReadonlyMap<Letter, number> | null>(() => {
  const take = currentTake.value;
  if (!take) return null;
  return new Map(slots.value.map(({ letter, build }) => [letter, levelOf(build, take, view.value.point)]));
});

/** Gain, dB, that brings build `letter` to its listening level: the target, or as much as the reference build gets. */
export function listeningGain(letter: Letter): number {
  const known = levels.value;
  if (!known) return 0;
  const { levelMatch, reference } = view.value;
  const level = known.get(levelMatch ? letter : reference) ?? TARGET_LEVEL;
  return Number.isFinite(level) ? TARGET_LEVEL - level : 0;
}
