/** How the plan lies on the screen: one scale for both directions, the saddle line at x = 0, the centre line at `centre`. */
import type { Build, Instrument } from '../../../shared/document/build.ts';
import type { Point } from '../../../shared/sensor/placement.ts';

/** Drawing area right of the saddle line; lengths in CSS px. */
export interface Frame {
  /** px per metre, along and across the strings alike. */
  scale: number;
  /** CSS px that stand for one px of the desk size: lane heights and texts grow with the projector size. */
  unit: number;
  width: number;
  height: number;
  /** y of the centre line. */
  centre: number;
  /** y of the upper and the lower edge of the field that the strings and pickups take. */
  top: number;
  bottom: number;
  /** y of the first lane of dimension lines. */
  dimensions: number;
}

/** Height of a lane of labels or dimension lines, desk px. */
export const LANE = 17;
/** Desk px that the strings' spread takes at least (a finger must find a string) and at most. */
const FIELD = { least: 112, most: 140, compact: 90 };
/** Share of the longest string that is shown at least: past the 12th fret. */
const SHOWN = 0.545;
/** What pickups reach beyond their outer poles or strings, m. */
const OVERHANG = 8e-3;

/** Distance of the far end of the longest string from the saddle line, m. */
const reachOf = ({ strings }: Instrument): number => Math.max(...strings.map(s => s.saddle + s.scale));

/** Half of what the strings and pickups of `builds` take across the strings, m. */
const halfField = (builds: readonly Build[]): number =>
  OVERHANG +
  Math.max(
    ...builds.flatMap(({ instrument, pickups }) => [
      instrument.spread.saddle,
      ...(instrument.strings.length > 1 ? pickups.map(p => p.poles.spread) : []),
    ]),
  ) /
    2;

export interface Room {
  /** CSS px right of the saddle line. */
  width: number;
  /** CSS px per desk px. */
  unit: number;
  /** Little height is left: strings stand closer. */
  compact: boolean;
  labelLanes: number;
  dimensionLanes: number;
}

/** The frame for `heard` with all `builds` overlaid. It may be wider than the room: then the drawing scrolls sideways. */
export function frameFor(heard: Build, builds: readonly Build[], room: Room): Frame {
  const { unit } = room;
  const spread = Math.max(heard.instrument.spread.saddle, 0.02);
  const reach = SHOWN * reachOf(heard.instrument);
  const { least, most } = room.compact ? { least: FIELD.compact, most: FIELD.compact } : FIELD;
  const scale = Math.max((least * unit) / spread, Math.min(room.width / reach, (most * unit) / spread));
  const half = halfField(builds) * scale;
  const top = (room.labelLanes * LANE + 4) * unit;
  const bottom = top + 2 * half;
  const dimensions = bottom + LANE * unit;
  return {
    scale,
    unit,
    width: Math.max(room.width, reach * scale),
    height: dimensions + (room.dimensionLanes * LANE + 4) * unit,
    centre: top + half,
    top,
    bottom,
    dimensions,
  };
}

/** A point of the instrument (m; y towards the treble) in px of the drawing (y down). */
export const toScreen = (frame: Frame, point: Point): Point => ({
  x: point.x * frame.scale,
  y: frame.centre - point.y * frame.scale,
});

/** A point of the drawing on the instrument, m. */
export const toInstrument = (frame: Frame, x: number, y: number): Point => ({
  x: x / frame.scale,
  y: (frame.centre - y) / frame.scale,
});

/** Coordinate for SVG text: a twentieth of a pixel is enough. */
export const px = (value: number): string => String(Math.round(value * 20) / 20);
