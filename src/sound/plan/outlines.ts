/** Outlines of pickups as seen from above. Widths that no build states are usual ones. */
import type { Coil, Instrument, Pickup } from '../../../shared/document/build.ts';
import { coilOnString, facesOf, isUnder, stringAt, stringLine } from '../../../shared/sensor/placement.ts';
import { windowExtent } from '../../../shared/sensor/windows.ts';

/** Width of a coil along the strings, m, where its neighbours leave room. */
const COIL_WIDTH = 9.5e-3;
const LEAST_WIDTH = 3e-3;
/** How far a coil reaches beyond the edge of its outer pole, or the end of its rail, m. */
export const END = 3e-3;
/** What it has on either side of its poles along the strings at least, m. */
const SIDE = 0.5e-3;

/** A coil on the body of its pickup, m: `along` towards the nut, `beside` towards the treble. */
export interface CoilOutline {
  id: string;
  along: number;
  width: number;
  /** Bass end and treble end. */
  bass: number;
  treble: number;
  /** A coil in the same place as an earlier one lies under it. */
  below: boolean;
}

/** Indices of the strings that a coil lies under. */
const stringsUnder = (instrument: Instrument, coil: Coil): number[] =>
  instrument.strings.map((_, index) => index).filter(index => isUnder(coil, index));

/** Outlines of all coils of a pickup. */
export function coilOutlines(instrument: Instrument, pickup: Pickup): CoilOutline[] {
  const places = [...new Set(pickup.coils.map(coil => coil.along))].sort((a, b) => a - b);
  const spacing = Math.min(Infinity, ...places.slice(1).map((place, i) => place - places[i]));
  const beside = Math.min(COIL_WIDTH, Math.max(LEAST_WIDTH, spacing - 1e-3));
  const width = Math.max(beside, pickup.poles.size + 2 * SIDE);
  return pickup.coils.map((coil, i) => {
    const { at, shape, size, length } = facesOf(pickup, coil, instrument.strings.length);
    const reach = (shape === 'bar' ? length : size) / 2 + END;
    const outline = {
      id: coil.id,
      along: coil.along,
      width,
      bass: Math.min(...(at.length ? at : [0])) - reach,
      treble: Math.max(...(at.length ? at : [0])) + reach,
    };
    const below = pickup.coils
      .slice(0, i)
      .some(other => other.along === coil.along && String(other.strings) === String(coil.strings));
    return { ...outline, below };
  });
}

/** The pickup's whole outline on its own body, m. */
export function bodyOf(outlines: readonly CoilOutline[]) {
  return {
    from: Math.min(...outlines.map(o => o.along - o.width / 2)),
    to: Math.max(...outlines.map(o => o.along + o.width / 2)),
    bass: Math.min(...outlines.map(o => o.bass)),
    treble: Math.max(...outlines.map(o => o.treble)),
  };
}

/** A pole piece or a rail on the body of its pickup, m: where its middle is, and its size along and across the strings. */
export interface Face {
  x: number;
  y: number;
  along: number;
  across: number;
  round: boolean;
}

/** What stands in a coil, in its true size. */
export function facesOn(instrument: Instrument, pickup: Pickup, coil: Coil): Face[] {
  const { at, shape, size, length } = facesOf(pickup, coil, instrument.strings.length);
  const round = shape === 'disc';
  return at.map(y => ({ x: coil.along, y, along: size, across: round ? size : length, round }));
}

/** The stretch of one string that a coil senses. */
export interface Sensed {
  index: number;
  /** Where the coil crosses the string, m from the saddle line, and where the string runs there. */
  x: number;
  y: number;
  /** Full width at half maximum of the sensitivity along the string, m. */
  extent: number;
}

/** What stretch of each string above it a coil senses, string 1 first. */
export const sensedBy = (instrument: Instrument, pickup: Pickup, coil: Coil): Sensed[] =>
  stringsUnder(instrument, coil).map(index => {
    const { x, field } = coilOnString({ instrument }, pickup, coil, index);
    const place = x + stringLine(instrument, index).saddle.x;
    return {
      index,
      x: place,
      y: stringAt(instrument, index, place),
      extent: windowExtent(coil.window, field),
    };
  });
