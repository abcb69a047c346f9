/**
 * The level match: how loud a build plays a take, and the gain that brings it to the level all are compared at. Page,
 * files and tests ask here.
 *
 * Loudness is ITU-R BS.1770's integrated loudness of the sound as it is heard: one output sounds from both loudspeakers,
 * and the standard's absolute gate stands at −70 LUFS when the sound plays at the target, whatever unit it is rendered
 * in. Matched builds therefore measure the target exactly.
 */

import { gatedLoudness, gatingBlocks, kWeightingPower } from '../audio/loudness.ts';
import { longTermSpectrum } from '../audio/spectrum.ts';
import { power } from '../complex.ts';
import { dbOfPower } from '../decibels.ts';
import type { Build, TestPoint } from '../document/build.ts';
import { kernelFrequencies } from './kernel.ts';
import { responses } from './response.ts';

/** Loudness that matched builds are brought to before the volume control, LUFS; streaming services' usual (common practice). */
export const TARGET_LEVEL = -14;
/** The standard's absolute gate, LUFS. */
const GATE = -70;

/** Integrated loudness of `outputs` as heard at the target, in LUFS of their own unit; −Infinity: silence. */
export function heardLoudness(outputs: readonly Float32Array[], sampleRate: number): number {
  // one output sounds from both loudspeakers
  const blocks = gatingBlocks(outputs, sampleRate, outputs.length === 1 ? [2] : undefined);
  let loudness = gatedLoudness(blocks, Number.NEGATIVE_INFINITY);
  // quieter blocks fall to the gate, so the loudness only rises and the gate with it: it comes to rest
  for (;;) {
    const next = gatedLoudness(blocks, loudness + GATE - TARGET_LEVEL);
    if (!(next > loudness)) return loudness;
    loudness = next;
  }
}

/** Gain that brings a loudness (LUFS) to the target, dB; 0 for silence and for what is not known. */
export const matchGain = (loudness: number): number => (Number.isFinite(loudness) ? TARGET_LEVEL - loudness : 0);

/** A take as the estimate sees it. */
export interface WeightedTake {
  /** Hz. */
  frequencies: Float64Array;
  /** [string][bin]: K-weighted mean square of the take in each bin. */
  strings: Float64Array[];
  /** Indices of strings that carry a mixture of strings. */
  uncombed: readonly number[];
}

/** Blocks of a string that the estimate looks at: a long take must not hold up the page. */
const ESTIMATE_BLOCKS = 120;

export function weightedTake(
  channels: readonly Float32Array[],
  sampleRate: number,
  uncombed: readonly number[] = [],
): WeightedTake {
  const frequencies = kernelFrequencies(sampleRate);
  const k = kWeightingPower(frequencies, sampleRate);
  const size = 2 * (frequencies.length - 1);
  // a Hann window gathers 1.5 bins of noise, and a sine of amplitude 1 has the mean square 1/2
  const strings = channels.map(channel =>
    longTermSpectrum([channel], sampleRate, size, ESTIMATE_BLOCKS).power.map((p, bin) => (p * k[bin]) / 3),
  );
  return { frequencies, strings, uncombed };
}

/** What the loudness of two loudspeakers lies above the mean level of one: 3.01 dB, and the standard's offset. */
export const FIRST_ABOVE = dbOfPower(2) - 0.691;

/**
 * K-weighted mean level of a take through a build, dB, strings counted as independent, pauses and all: what the loudness
 * is estimated from. −Infinity: silence.
 */
export function meanLevel(build: Build, take: WeightedTake, point: TestPoint): number {
  let sum = 0;
  for (let output = 0; output < build.outputs.length; output++)
    responses(build, point, take.frequencies, output, take.uncombed).forEach((curve, s) => {
      const string = take.strings[s];
      if (string) for (let bin = 0; bin < string.length; bin++) sum += string[bin] * power(curve, bin);
    });
  return dbOfPower(sum / build.outputs.length);
}
