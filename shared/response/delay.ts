/**
 * The one delay that makes a string's kernels causal.
 *
 * A wave towards the saddle passes a pickup x/c before it pulls at the bridge, so velocity over bridge force begins
 * before its cause. The kernels are late by the same whole number of samples for every build and test point, so that two
 * builds can be crossfaded and all phases between coils stay exact. The delay covers every place a pickup may have and
 * what rings ahead of an edge: the band limit below Nyquist, and the stiff string itself.
 */
import type { StringSpec } from '../document/build.ts';
import { FARTHEST } from '../sensor/limits.ts';
import { stringModel } from '../string/stiff.ts';

/** Samples that the band limit (`kernel.ts`) rings ahead of an edge: four times its inverse width, 4/0.07, and some. */
const RINGING = 64;

/** Where the Airy function has fallen below −110 dB: exp(−⅔ z^(3/2)). */
const AIRY = 7;

/**
 * Delay of a string's kernels, whole samples; it depends on the string and the sample rate alone.
 *
 * Over a distance x the stiff string's phase is ωx/c − aω³ + …, a = x (EI/T)/(2c³). Its low frequencies, the slowest
 * coming and so the first to be advanced, arrive as an Airy function of width (3a)^(1/3).
 */
export function kernelDelay(string: StringSpec, sampleRate: number): number {
  const { speed, bending, tension } = stringModel(string);
  const x = FARTHEST * string.scale;
  const airy = AIRY * Math.cbrt((3 * x * (bending / tension)) / (2 * speed ** 3));
  return Math.ceil((x / speed) * sampleRate + Math.max(RINGING, airy * sampleRate)) + RINGING / 4;
}
