/** From complex curves to the levels that are drawn. Pure. */

import { power, type Spectrum } from '../../shared/complex.ts';
import { dbOfPower } from '../../shared/decibels.ts';

export interface Levels {
  x: Float64Array;
  /** dB. */
  y: Float64Array;
  /** With the nulls between the frequencies put in. */
  drawn: { x: Float64Array; y: Float64Array };
}

/**
 * Levels of a complex curve. Between two neighbouring frequencies the curve is taken as a straight
 * line in the complex plane; where that line comes nearer to zero than both its ends do, a point is put in, so that a
 * null that falls between two frequencies is drawn to its depth.
 */
export function levelsOf(spectrum: Spectrum, frequencies: Float64Array): Levels {
  const n = frequencies.length;
  const y = new Float64Array(n);
  for (let i = 0; i < n; i++) y[i] = dbOfPower(power(spectrum, i));
  const x: number[] = [];
  const level: number[] = [];
  const { re, im } = spectrum;
  for (let i = 0; i < n; i++) {
    x.push(frequencies[i]);
    level.push(y[i]);
    if (i + 1 === n) break;
    const dr = re[i + 1] - re[i];
    const di = im[i + 1] - im[i];
    const length = dr * dr + di * di;
    if (length === 0) continue;
    const t = -(re[i] * dr + im[i] * di) / length;
    if (!(t > 0 && t < 1)) continue;
    const nearest = (re[i] + t * dr) ** 2 + (im[i] + t * di) ** 2;
    // a shallow bend needs no point of its own
    if (nearest > 0.5 * Math.min(power(spectrum, i), power(spectrum, i + 1))) continue;
    x.push(frequencies[i] * (frequencies[i + 1] / frequencies[i]) ** t);
    level.push(dbOfPower(nearest));
  }
  return { x: frequencies, y, drawn: { x: Float64Array.from(x), y: Float64Array.from(level) } };
}

/** Frequency that responses are referred to, Hz. */
const REFERENCE_FREQUENCY = 250;

/**
 * Level of a response around 250 Hz, dB: mean power over the third of an octave there (on a logarithmic grid every
 * point weighs the same), so that a null at 250 Hz itself does not move the whole plot.
 */
export function referenceLevel(spectrum: Spectrum, frequencies: Float64Array): number {
  const low = REFERENCE_FREQUENCY * 2 ** (-1 / 6);
  const high = REFERENCE_FREQUENCY * 2 ** (1 / 6);
  let sum = 0;
  let count = 0;
  for (let i = 0; i < frequencies.length; i++)
    if (frequencies[i] >= low && frequencies[i] <= high) {
      sum += power(spectrum, i);
      count++;
    }
  return count && sum > 0 ? dbOfPower(sum / count) : 0;
}

/** Highest finite value, or `otherwise` where there is none. */
export function highest(curves: readonly ArrayLike<number>[], otherwise: number): number {
  let top = -Infinity;
  for (const curve of curves)
    for (let i = 0; i < curve.length; i++) if (curve[i] > top && curve[i] < Infinity) top = curve[i];
  return top === -Infinity ? otherwise : top;
}

/** Top of an axis in dB: the next multiple of 6 that leaves a little room above `level`. */
export const axisTop = (level: number): number => Math.ceil((level + 1.5) / 6) * 6;

/**
 * Stretches of `x` where both curves lie more than `depth` dB under their own highest points: a difference there says
 * nothing about what is heard. Edges fall on points of `x`.
 */
export function weakStretches(
  x: ArrayLike<number>,
  a: ArrayLike<number>,
  b: ArrayLike<number>,
  depth = 50,
): { from: number; to: number }[] {
  const floorA = highest([a], 0) - depth;
  const floorB = highest([b], 0) - depth;
  const stretches: { from: number; to: number }[] = [];
  let from = -1;
  for (let i = 0; i <= x.length; i++) {
    const weak = i < x.length && !(a[i] > floorA) && !(b[i] > floorB);
    if (weak && from < 0) from = i;
    if (!weak && from >= 0) {
      if (i - 1 > from) stretches.push({ from: x[from], to: x[i - 1] });
      from = -1;
    }
  }
  return stretches;
}
