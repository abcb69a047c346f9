/** How near the saddle and how far from it a coil may stand. */
import { type Coil, type Instrument, type Pickup, RANGE } from '../document/build.ts';
import { coilOnString, isUnder } from './placement.ts';

/**
 * Farthest place of a coil from the saddle as a part of the string's scale length. The sound's kernels are late by the
 * time that a wave needs from there (`response/delay.ts`).
 */
export const FARTHEST = 0.6;

export interface CombLimits {
  /** Smallest distance of the coil to the saddle of any string it lies under, m. */
  nearest: number;
  /** Least accepted, m. */
  low: number;
  /** Distance on the string where most of the accepted length is used, m. */
  farthest: number;
  /** Most accepted on that string, m. */
  high: number;
  /** Index of that string. */
  far: number;
}

/** Extremes of one coil's distances against what is accepted. */
export function combLimits(instrument: Instrument, pickup: Pickup, coil: Coil): CombLimits {
  const limits: CombLimits = { nearest: Infinity, low: RANGE.position[0], farthest: 0, high: Infinity, far: 0 };
  instrument.strings.forEach((string, index) => {
    if (!isUnder(coil, index)) return;
    const { x } = coilOnString({ instrument }, pickup, coil, index);
    const high = FARTHEST * string.scale;
    limits.nearest = Math.min(limits.nearest, x);
    if (x / high > limits.farthest / limits.high || limits.high === Infinity)
      Object.assign(limits, { farthest: x, high, far: index });
  });
  return limits;
}
