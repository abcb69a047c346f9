/** How near the saddle and how far from it a pickup may stand. */
import { type Build, type Coil, type Instrument, type Pickup, RANGE } from '../document/build.ts';
import { crossing, isUnder } from './placement.ts';

/**
 * Farthest place of a coil from the saddle as a part of the string's scale length. The sound's kernels are late by the
 * time that a wave needs from there (`response/delay.ts`).
 */
export const FARTHEST = 0.6;
/** Farthest that the page moves the centre of a pickup, in shortest scale lengths: what is beyond came from elsewhere. */
const FARTHEST_MOVED = 0.45;
/** Rounding that is no fault, m. */
const SLACK = 1e-9;

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
    const { x } = crossing(instrument, pickup, coil, index);
    const high = FARTHEST * string.scale;
    limits.nearest = Math.min(limits.nearest, x);
    if (x / high > limits.farthest / limits.high || limits.high === Infinity)
      Object.assign(limits, { farthest: x, high, far: index });
  });
  return limits;
}

/** Whether a coil stands over the saddle (`near`), beyond the strings' sounding part (`far`), or neither. */
export const misplaced = ({ nearest, low, farthest, high }: CombLimits): 'near' | 'far' | null =>
  nearest < low - SLACK ? 'near' : farthest > high + SLACK ? 'far' : null;

/** Lowest and highest, m or rad. */
export type Limits = readonly [number, number];
export const clamp = (value: number, [low, high]: Limits): number => Math.min(high, Math.max(low, value));

/** Farthest place the page moves the centre of a pickup to, m. */
export const farthest = ({ strings }: Instrument): number =>
  Math.min(RANGE.position[1], FARTHEST_MOVED * Math.min(...strings.map(s => s.scale)));

/**
 * Centres at which all of a pickup is accepted as it is slanted, m from the saddle line; low above high: nowhere. A coil's
 * distance on a string is a straight line over the pickup's position, so two places of it say where it meets a limit.
 */
function acceptedPositions(instrument: Instrument, pickup: Pickup): Limits {
  let [low, high] = RANGE.position as Limits;
  const [p, q] = [0.1, 0.2];
  for (const coil of pickup.coils)
    instrument.strings.forEach(({ scale }, index) => {
      if (!isUnder(coil, index)) return;
      const at = (position: number) => crossing(instrument, { ...pickup, position }, coil, index).x;
      const [x, y] = [at(p), at(q)];
      const reaches = (distance: number) => p + ((q - p) * (distance - x)) / (y - x);
      low = Math.max(low, reaches(RANGE.position[0]));
      high = Math.min(high, reaches(FARTHEST * scale));
    });
  return [low, high];
}

/** Centres that a pickup can be moved to as it is slanted now, m from the saddle line. */
export function positionLimits({ instrument }: Pick<Build, 'instrument'>, pickup: Pickup): Limits {
  const [low, most] = acceptedPositions(instrument, pickup);
  // a build that came from elsewhere may stand farther out: it stays where it is
  const high = Math.min(most, Math.max(pickup.position, farthest(instrument)));
  return [Math.min(low, high), high];
}

/** Accepted slants of a pickup where it stands now, rad: none that turns a coil over the saddle or beyond the strings. */
export function slantLimits({ instrument }: Pick<Build, 'instrument'>, pickup: Pickup): Limits {
  const fits = (slant: number): boolean => isAccepted(instrument, { ...pickup, slant });
  const limit = (end: number): number => {
    if (fits(end)) return end;
    if (!fits(pickup.slant)) return pickup.slant;
    let [good, bad] = [pickup.slant, end];
    for (let i = 0; i < 24; i++) {
      const middle = (good + bad) / 2;
      if (fits(middle)) good = middle;
      else bad = middle;
    }
    return good;
  };
  return [limit(RANGE.slant[0]), limit(RANGE.slant[1])];
}

/** Whether all coils of a pickup stand where they may. */
export const isAccepted = (instrument: Instrument, pickup: Pickup): boolean =>
  pickup.coils.every(coil => misplaced(combLimits(instrument, pickup, coil)) === null);

/**
 * The pickup moved, turned and its coils brought together as little as it takes to be accepted on `instrument`, the same
 * object when it is; null: it can stand nowhere.
 */
export function broughtIn(pickup: Pickup, instrument: Instrument): Pickup | null {
  if (isAccepted(instrument, pickup)) return pickup;
  const near = { ...pickup, position: Math.min(pickup.position, farthest(instrument)) };
  for (const together of [1, 0.75, 0.5, 0.25, 0])
    for (const turned of [1, 0.5, 0]) {
      const one: Pickup = {
        ...near,
        slant: pickup.slant * turned,
        coils: together === 1 ? pickup.coils : pickup.coils.map(c => ({ ...c, along: c.along * together })),
      };
      const limits = acceptedPositions(instrument, one);
      if (limits[0] > limits[1]) continue;
      const placed = { ...one, position: clamp(one.position, limits) };
      if (isAccepted(instrument, placed)) return placed;
    }
  return null;
}
