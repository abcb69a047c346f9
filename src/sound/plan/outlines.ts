/** Outlines of pickups as seen from above. Widths that no build states are usual ones. */
import type { Coil, Instrument, Pickup } from '../../../shared/document/build.ts';
import {
  coilOnString,
  isUnder,
  type Point,
  poleMiddle,
  polePoints,
  stringAt,
  stringLine,
} from '../../../shared/sensor/placement.ts';
import { windowExtent } from '../../../shared/sensor/windows.ts';

/** Width of a coil along the strings, m, where its neighbours leave room. */
const COIL_WIDTH = 9.5e-3;
const LEAST_WIDTH = 3e-3;
/** How far a coil reaches beyond its outer pole or string, m. */
const END = 5.5e-3;

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

/** How far string `index` of `instrument` stands from the centre line on a pickup, m: its pole, or itself over a rail. */
const besideOf = (instrument: Instrument, pickup: Pickup, index: number): number => {
  const count = instrument.strings.length;
  if (pickup.poles.kind === 'rail') return stringAt(instrument, index, pickup.position) / Math.cos(pickup.slant);
  return poleMiddle(pickup.poles, count, index);
};

/** Indices of the strings that a coil lies under. */
const stringsUnder = (instrument: Instrument, coil: Coil): number[] =>
  instrument.strings.map((_, index) => index).filter(index => isUnder(coil, index));

/** Outlines of all coils of a pickup. */
export function coilOutlines(instrument: Instrument, pickup: Pickup): CoilOutline[] {
  const places = [...new Set(pickup.coils.map(coil => coil.along))].sort((a, b) => a - b);
  const spacing = Math.min(Infinity, ...places.slice(1).map((place, i) => place - places[i]));
  const width = Math.min(COIL_WIDTH, Math.max(LEAST_WIDTH, spacing - 1e-3));
  return pickup.coils.map((coil, i) => {
    const sides = stringsUnder(instrument, coil).map(index => besideOf(instrument, pickup, index));
    const outline = {
      id: coil.id,
      along: coil.along,
      width,
      bass: Math.min(...(sides.length ? sides : [0])) - END,
      treble: Math.max(...(sides.length ? sides : [0])) + END,
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

/** Pole pieces on the body of the pickup, m (x along, y beside); a rail has none. */
export const polesOn = (instrument: Instrument, pickup: Pickup, coil: Coil): Point[] =>
  polePoints(instrument, { ...pickup, position: 0, slant: 0 }, coil);

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
