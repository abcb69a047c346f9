/**
 * The one delay that makes a string's kernels causal.
 *
 * A wave towards the saddle passes a pickup x/c before it pulls at the bridge, so velocity over bridge force begins
 * before its cause. The kernels are late by the same whole number of samples for every build and test point, so that two
 * builds can be crossfaded and all phases between coils stay exact. It covers every place a pickup may have, and the
 * ringing ahead of an edge that the band limit adds.
 */
import type { StringSpec } from '../build/build.ts';
import { FARTHEST } from '../pickup/limits.ts';
import { stringModel } from '../string/stiff.ts';

/** Samples of ringing ahead of an edge: the band limit below Nyquist (`kernel.ts`) rings for 1/0.07 × 4 = 57. */
export const RINGING = 64;

/** Delay of a string's kernels, whole samples; it depends on the string and the sample rate alone. */
export const kernelDelay = (string: StringSpec, sampleRate: number): number =>
  Math.ceil(((FARTHEST * string.scale) / stringModel(string).speed) * sampleRate) + RINGING;
