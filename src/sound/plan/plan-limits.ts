/** How far a pickup can be moved and turned: clear of the saddle on every string, and within the first 0.45 of the scale. */
import { type Build, type Instrument, type Pickup, RANGE } from '../../../shared/document/build.ts';
import { combLimits } from '../../../shared/sensor/limits.ts';

/** Farthest centre of a pickup from the saddle line, in shortest scale lengths. */
const FARTHEST = 0.45;

export type Limits = readonly [number, number];

/** Smallest distance, m, that any coil of `pickup` keeps from the saddle of a string above it. */
const clearance = (instrument: Instrument, pickup: Pickup): number =>
  Math.min(...pickup.coils.map(coil => combLimits(instrument, pickup, coil).nearest));

/** Farthest place for the centre of a pickup, m. */
export const farthest = ({ strings }: Instrument): number =>
  Math.min(RANGE.position[1], FARTHEST * Math.min(...strings.map(s => s.scale)));

/** Accepted centres of a pickup as it is slanted now, m from the saddle line. */
export function positionLimits({ instrument }: Pick<Build, 'instrument'>, pickup: Pickup): Limits {
  const least = RANGE.position[0];
  // a build that came from elsewhere may stand farther out: it stays where it is
  const high = Math.max(pickup.position, farthest(instrument));
  // clearance is very nearly position plus a constant, so two steps of the secant land on the limit
  let low: number = least;
  for (let i = 0; i < 3; i++) low += least - clearance(instrument, { ...pickup, position: low });
  return [Math.min(Math.max(low, least), high), high];
}

/** Accepted slants of a pickup where it stands now, rad: none that turns a coil over the saddle. */
export function slantLimits({ instrument }: Pick<Build, 'instrument'>, pickup: Pickup): Limits {
  const fits = (slant: number) => clearance(instrument, { ...pickup, slant }) >= RANGE.position[0];
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

export const clamp = (value: number, [low, high]: Limits): number => Math.min(high, Math.max(low, value));
