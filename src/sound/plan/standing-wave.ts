/**
 * The standing wave of one partial over a string: y = sin(nπx/L') between the saddle and the stop, L' the speaking
 * length. Pinned ends give stiff strings the same shapes as ideal ones (H. Fletcher, JASA 36 (1964) 203).
 */
import type { Build, Instrument, Pickup } from '../../../shared/document/build.ts';
import { stringAt, stringLine } from '../../../shared/sensor/placement.ts';
import { stoppedLength } from '../../../shared/string/frets.ts';
import { type Frame, px } from './frame.ts';
import { sensedBy } from './outlines.ts';

/** Half amplitude of the drawn wave, desk px. */
const SWING = 9;

/** Speaking length of string `index` at `fret`, m. */
export const speakingLength = (instrument: Instrument, index: number, fret: number): number =>
  stoppedLength(instrument.strings[index].scale, fret);

/** Distances of the nodes of partial `n` from the string's saddle, m, without the two ends. */
export const nodes = (length: number, n: number): number[] =>
  Array.from({ length: n - 1 }, (_, i) => ((i + 1) * length) / n);

/** Path of the wave in px of the drawing, as far as it is shown. */
export function wavePath(frame: Frame, instrument: Instrument, index: number, fret: number, n: number): string {
  const length = speakingLength(instrument, index, fret);
  const { saddle } = stringLine(instrument, index);
  const end = Math.min(length, frame.width / frame.scale - saddle.x);
  const steps = Math.max(24, Math.ceil((end * frame.scale) / 3));
  const swing = SWING * frame.unit;
  let path = '';
  for (let i = 0; i <= steps; i++) {
    const x = (end * i) / steps;
    const y = frame.centre - stringAt(instrument, index, saddle.x + x) * frame.scale;
    path += `${i ? 'L' : 'M'}${px((saddle.x + x) * frame.scale)} ${px(y - swing * Math.sin((n * Math.PI * x) / length))}`;
  }
  return path;
}

/** A node that lies within the stretch of string that a coil senses. */
export interface NodeOverCoil {
  pickup: Pickup;
  coil: string;
  /** Which node, from 1 at the saddle. */
  node: number;
  /** Node against the middle of the coil, m, positive towards the nut. */
  off: number;
}

/** Nodes of partial `n` of string `index` that lie over the coils of a build, within half of what each coil senses. */
export function nodesOverCoils(build: Build, index: number, fret: number, n: number): NodeOverCoil[] {
  const { instrument } = build;
  const length = speakingLength(instrument, index, fret);
  const from = stringLine(instrument, index).saddle.x;
  return build.pickups.flatMap(pickup =>
    pickup.coils.flatMap(coil => {
      const sensed = sensedBy(instrument, pickup, coil).find(s => s.index === index);
      if (!sensed) return [];
      const node = Math.round(((sensed.x - from) * n) / length);
      const off = (node * length) / n - (sensed.x - from);
      return node >= 1 && node < n && Math.abs(off) <= sensed.extent / 2 ? [{ pickup, coil: coil.id, node, off }] : [];
    }),
  );
}
