/**
 * The position comb: what a sensor at distance x from the saddle reads of a string whose end there is pinned.
 *
 * A wave that arrives at the saddle comes back inverted, so the velocity at x per unit of bridge force is
 *
 *     j sin(k x) / Z,   Z = μ ω / k,
 *
 * with the stiff string's wave number k(f): pinned ends feel T y′ − EI y‴ = k (T + EI k²) A = (μ ω²/k) A. The
 * nulls stand where k x = m π; they depend neither on the fret nor on how the string is played.
 */
import { frequencyOf, type StringModel, waveNumber } from '../string/stiff.ts';

/** What a list of frequencies is on one string: wave numbers, rad/m, and mobility 1/Z = k/(μω), s/kg. */
export interface StringWaves {
  k: Float64Array;
  mobility: Float64Array;
}

/** Wave numbers and mobilities of a string at `frequencies` (Hz, not negative). At 0 Hz the mobility is its limit. */
export function stringWaves(string: StringModel, frequencies: Float64Array): StringWaves {
  const k = new Float64Array(frequencies.length);
  const mobility = new Float64Array(frequencies.length);
  for (let i = 0; i < k.length; i++) {
    const f = frequencies[i];
    k[i] = waveNumber(string, f);
    mobility[i] = f > 0 ? k[i] / (string.mass * 2 * Math.PI * f) : 1 / (string.mass * string.speed);
  }
  return { k, mobility };
}

/** The comb without its factor j: sin(k x). */
export const comb = (k: number, x: number): number => Math.sin(k * x);

/** One null of a comb. */
export interface CombNull {
  /** Which null, from 1. */
  order: number;
  frequency: number;
  /** Partial number it falls on for the fretted string; a real number: 8 means the eighth partial vanishes. */
  partial: number;
}

/**
 * Nulls of the comb at distance `x` (m) up to `limit` (Hz), on a string stopped at `fret`. The null of order m stands
 * at k = mπ/x, which on a speaking length L' = L 2^(−fret/12) is the real mode number m L'/x.
 */
export function combNulls(string: StringModel, x: number, limit: number, fret = 0): CombNull[] {
  const speaking = string.length * 2 ** (-fret / 12);
  const nulls: CombNull[] = [];
  for (let order = 1; x > 0; order++) {
    const frequency = frequencyOf(string, (order * Math.PI) / x);
    if (frequency > limit) break;
    nulls.push({ order, frequency, partial: (order * speaking) / x });
  }
  return nulls;
}
