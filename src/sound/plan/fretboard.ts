/** Where frets and the end of the fretboard stand, seen from above. */
import type { Instrument } from '../../../shared/document/build.ts';
import { type Point, stringAt, stringLine } from '../../../shared/sensor/placement.ts';
import { stoppedLength } from '../../../shared/string/frets.ts';

/** The fretboard reaches this far beyond the outer strings and behind the last fret, m. */
const MARGIN = 3e-3;
const BEHIND_LAST = 5e-3;

/** Where `fret` stops string `index`, m. */
export const fretPoint = (instrument: Instrument, index: number, fret: number): Point => {
  const { saddle } = stringLine(instrument, index);
  const x = saddle.x + stoppedLength(instrument.strings[index].scale, fret);
  return { x, y: stringAt(instrument, index, x) };
};

/** A fret across the fretboard, from beyond the first string to beyond the last. */
export function fretLine(instrument: Instrument, fret: number): Point[] {
  const line = instrument.strings.map((_, index) => fretPoint(instrument, index, fret));
  const first = line[0];
  const last = line[line.length - 1];
  return [{ x: first.x, y: first.y + MARGIN }, ...line, { x: last.x, y: last.y - MARGIN }];
}

/** The fretboard's end, treble side first; null: there is no fretboard. */
export const fretboardEnd = (instrument: Instrument): Point[] | null =>
  instrument.frets === 0 ? null : fretLine(instrument, instrument.frets).map(({ x, y }) => ({ x: x - BEHIND_LAST, y }));
