/** A pot as an item: a column whose wiper leaves it sideways. */

import { LINE, label, textWidth, type Weight } from './drawing-parts.ts';
import { BODY, potentiometer, twoPole } from './drawing-symbols.ts';
import {
  AXIS,
  BESIDE,
  type Context,
  type Item,
  LEAD,
  type Line,
  linesWidth,
  type Pen,
  type Row,
  railLabels,
  symbolOf,
  type TwoPole,
  valueLine,
} from './item.ts';

/** The parts of a pot: its track above and below the wiper, and what bridges the upper part. */
export interface PotElements {
  upper: TwoPole;
  lower: TwoPole;
  bleed: { capacitor: TwoPole; resistor: TwoPole | null; join: 'alone' | 'parallel' | 'series' } | null;
  name: string;
  /** The wiper looks to the left: the signal comes in there. */
  mirrored: boolean;
}

/** One part of the bleed on the rail. */
interface Across {
  element: TwoPole;
  lines: Line[];
  width: number;
}

/** Where a pot's two upright wires stand, and what they carry. */
interface PotPlace {
  top: string;
  wiper: string;
  /** The axis of the track, and where the wiper's wire rises; px from the item's left. */
  axis: number;
  riser: number;
  weight: Weight;
}

function acrossOf(context: Context, bleed: PotElements['bleed']): Across[] {
  if (!bleed) return [];
  const list = bleed.join === 'series' ? [bleed.capacitor, bleed.resistor!] : [bleed.capacitor];
  return list.map(element => {
    const lines = valueLine(context.build, element);
    return { element, lines, width: Math.max(BODY[symbolOf(element)] + 2 * LEAD + 6, linesWidth(lines) + 10) };
  });
}

/** A pot: track standing, wiper to one side and up to the rail, treble bleed lying on the rail between the two. */
export function potColumn(context: Context, pot: PotElements): Item {
  const { upper, lower, bleed, mirrored } = pot;
  const [top, wiper, bottom] = [context.net(upper.a), context.net(upper.b), context.net(lower.b)];
  const value = valueLine(context.build, upper);
  const across = acrossOf(context, bleed);
  const shunt = bleed?.join === 'parallel' ? bleed.resistor : null;
  const shuntLines = shunt ? valueLine(context.build, shunt) : [];
  const labels = Math.max(textWidth(pot.name), linesWidth(value)) + BESIDE + 6;
  const bridge = Math.max(
    across.reduce((sum, p) => sum + p.width, 0),
    shunt ? BODY.resistor + 2 * LEAD + 6 : 0,
    shunt ? linesWidth(shuntLines) + 10 : 0,
  );
  const stretch = bleed ? Math.max(bridge, mirrored ? 0 : labels) : mirrored ? AXIS + 8 : labels;
  const axis = mirrored ? 6 + stretch : AXIS;
  const riser = mirrored ? 6 : AXIS + stretch;
  const railSide = bleed ? 'rail' : 'top';
  return {
    width: mirrored ? axis + labels : riser + 8,
    height: (bleed ? (shunt ? 66 : 44) : 0) + BODY.pot + 2 * LINE + 24,
    blocks: bleed ? [{ from: Math.min(axis, riser), to: Math.max(axis, riser), net: null }] : [],
    pins: [
      { net: top, x: axis, side: railSide },
      { net: wiper, x: riser, side: railSide },
      { net: bottom, x: axis, side: 'bottom' },
    ],
    draw(x, row, pen) {
      const onPath = context.weight(top) === 'path' && context.weight(wiper) === 'path';
      const place: PotPlace = { top, wiper, axis, riser, weight: onPath ? 'path' : 'normal' };
      const begin = bleed ? row.rail : row.top;
      const down = bleed ? row.top + (shunt ? 62 : 40) : row.top;
      drawTrack(x, row, pen, pot, { ...place, bottom, begin, down, value });
      if (!bleed) return;
      drawBleed(context, x, row, pen, across, place);
      if (shunt) drawShunt(x, row, pen, shunt, shuntLines, place);
      pen.dot(wiper, x + riser, row.rail, place.weight);
    },
  };
}

/** The track from `down` to the row's foot, both wires up to `begin`, name and value beside it. */
function drawTrack(
  x: number,
  row: Row,
  pen: Pen,
  { upper, lower, name }: PotElements,
  at: PotPlace & { bottom: string; begin: number; down: number; value: Line[] },
): void {
  const { top, wiper, axis, riser, weight, begin, down } = at;
  const y = (down + row.bottom) / 2;
  pen.symbol({
    ...potentiometer(x + axis, down, row.bottom, riser - axis),
    kind: 'pot',
    parts: [upper.id, lower.id],
    weight,
    pins: [
      { net: top, x: x + axis, y: down },
      { net: wiper, x: x + riser, y },
      { net: at.bottom, x: x + axis, y: row.bottom },
    ],
  });
  const upright = (net: string, at: number, from: number, to: number) =>
    pen.wire({
      net,
      weight,
      points: [
        [at, from],
        [at, to],
      ],
    });
  if (begin !== down) upright(top, x + axis, begin, down);
  upright(wiper, x + riser, y, begin);
  pen.label(label(name, x + axis + BESIDE, y - 7));
  for (const [i, line] of at.value.entries()) pen.label(label(line.text, x + axis + BESIDE, y + 15 + i * LINE, line));
}

/** The wires' stretch from left to right, in the direction of the signal. */
const span = ({ top, wiper, axis, riser }: PotPlace) =>
  axis < riser
    ? { from: axis, to: riser, first: top, last: wiper }
    : { from: riser, to: axis, first: wiper, last: top };

/** The bleed on the rail, each part between its own two nets. */
function drawBleed(context: Context, x: number, row: Row, pen: Pen, across: Across[], place: PotPlace): void {
  const { from, to, first, last } = span(place);
  const order = context.net(across[0].element.a) === first ? across : [...across].reverse();
  const each = (to - from) / order.length;
  order.forEach(({ element, lines }, i) => {
    const at = x + from + i * each;
    const ends = [context.net(element.a), context.net(element.b)];
    if (order.length === 1 ? ends[0] !== first : ends[i === 0 ? 0 : 1] !== (i === 0 ? first : last)) ends.reverse();
    pen.symbol({
      ...twoPole(symbolOf(element), at, row.rail, at + each, row.rail),
      kind: symbolOf(element),
      parts: [element.id],
      weight: 'normal',
      pins: [
        { net: ends[0], x: at, y: row.rail },
        { net: ends[1], x: at + each, y: row.rail },
      ],
    });
    railLabels(at + each / 2, each, lines, row, pen);
  });
  pen.dot(place.top, x + place.axis, row.rail, place.weight);
}

/** The resistor in parallel with the bleed, under it. */
function drawShunt(x: number, row: Row, pen: Pen, shunt: TwoPole, lines: Line[], place: PotPlace): void {
  const { from, to, first, last } = span(place);
  const low = row.rail + (row.clearAbove(x + from, x + to) ? 26 : 46);
  pen.symbol({
    ...twoPole('resistor', x + from, low, x + to, low),
    kind: 'resistor',
    parts: [shunt.id],
    weight: 'normal',
    pins: [
      { net: first, x: x + from, y: low },
      { net: last, x: x + to, y: low },
    ],
  });
  for (const [i, line] of lines.entries())
    pen.label(label(line.text, x + (from + to) / 2, low + 21 + i * LINE, { ...line, anchor: 'middle' }));
  pen.dot(first, x + from, low, place.weight);
  pen.dot(last, x + to, low, place.weight);
}
