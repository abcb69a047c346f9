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

/** A pot: track standing, wiper to one side and up to the rail, treble bleed lying on the rail between the two. */
export function potColumn(context: Context, pot: PotElements): Item {
  const { upper, lower, bleed, mirrored } = pot;
  const [top, wiper, bottom] = [context.net(upper.a), context.net(upper.b), context.net(lower.b)];
  const value = valueLine(context.build, upper);
  const across: { element: TwoPole; from: string; to: string; lines: Line[]; width: number }[] = [];
  if (bleed) {
    const list = bleed.join === 'series' ? [bleed.capacitor, bleed.resistor!] : [bleed.capacitor];
    for (const element of list) {
      const lines = valueLine(context.build, element);
      const width = Math.max(BODY[symbolOf(element)] + 2 * LEAD + 6, linesWidth(lines) + 10);
      across.push({ element, from: element.a, to: element.b, lines, width });
    }
  }
  const shunt = bleed?.join === 'parallel' ? bleed.resistor : null;
  const shuntLines = shunt ? valueLine(context.build, shunt) : [];
  const labels = Math.max(textWidth(pot.name), linesWidth(value)) + BESIDE + 6;
  const bridge = Math.max(
    across.reduce((sum, p) => sum + p.width, 0),
    shunt ? BODY.resistor + 2 * LEAD + 6 : 0,
    shunt ? linesWidth(shuntLines) + 10 : 0,
  );
  const stretch = bleed ? Math.max(bridge, mirrored ? 0 : labels) : mirrored ? AXIS + 8 : labels;
  // the axis of the track, and where the wiper's wire rises
  const axis = mirrored ? 6 + stretch : AXIS;
  const riser = mirrored ? 6 : AXIS + stretch;
  const width = mirrored ? axis + labels : riser + 8;
  const railSide = bleed ? 'rail' : 'top';
  const names = { top, wiper, bottom };
  return {
    width,
    height: (bleed ? (shunt ? 66 : 44) : 0) + BODY.pot + 2 * LINE + 24,
    blocks: bleed ? [{ from: Math.min(axis, riser), to: Math.max(axis, riser), net: null }] : [],
    pins: [
      { net: names.top, x: axis, side: railSide },
      { net: names.wiper, x: riser, side: railSide },
      { net: names.bottom, x: axis, side: 'bottom' },
    ],
    draw(x, row, pen) {
      const begin = bleed ? row.rail : row.top;
      const down = bleed ? row.top + (shunt ? 62 : 40) : row.top;
      const onPath = context.weight(top) === 'path' && context.weight(wiper) === 'path';
      const weight: Weight = onPath ? 'path' : 'normal';
      const y = (down + row.bottom) / 2;
      pen.symbol({
        ...potentiometer(x + axis, down, row.bottom, riser - axis),
        kind: 'pot',
        parts: [upper.id, lower.id],
        weight,
        pins: [
          { net: top, x: x + axis, y: down },
          { net: wiper, x: x + riser, y },
          { net: bottom, x: x + axis, y: row.bottom },
        ],
      });
      if (begin !== down)
        pen.wire({
          net: top,
          weight,
          points: [
            [x + axis, begin],
            [x + axis, down],
          ],
        });
      pen.wire({
        net: wiper,
        weight,
        points: [
          [x + riser, y],
          [x + riser, begin],
        ],
      });
      pen.label(label(pot.name, x + axis + BESIDE, y - 7));
      for (const [i, line] of value.entries()) pen.label(label(line.text, x + axis + BESIDE, y + 15 + i * LINE, line));
      if (!bleed) return;
      // the bleed lies between the two ends, in the direction of the signal
      const [from, to] = axis < riser ? [axis, riser] : [riser, axis];
      const [first, last] = axis < riser ? [top, wiper] : [wiper, top];
      let at = from;
      const order = context.net(across[0].from) === first ? across : [...across].reverse();
      const each = (to - from) / order.length;
      order.forEach((part, i) => {
        const ends = [context.net(part.from), context.net(part.to)];
        if (order.length === 1 ? ends[0] !== first : ends[i === 0 ? 0 : 1] !== (i === 0 ? first : last)) ends.reverse();
        pen.symbol({
          ...twoPole(symbolOf(part.element), x + at, row.rail, x + at + each, row.rail),
          kind: symbolOf(part.element),
          parts: [part.element.id],
          weight: 'normal',
          pins: [
            { net: ends[0], x: x + at, y: row.rail },
            { net: ends[1], x: x + at + each, y: row.rail },
          ],
        });
        railLabels(x + at + each / 2, each, part.lines, row, pen);
        at += each;
      });
      pen.dot(top, x + axis, row.rail, weight);
      if (!shunt) {
        pen.dot(wiper, x + riser, row.rail, weight);
        return;
      }
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
      for (const [i, line] of shuntLines.entries())
        pen.label(label(line.text, x + (from + to) / 2, low + 21 + i * LINE, { ...line, anchor: 'middle' }));
      pen.dot(first, x + from, low, weight);
      pen.dot(last, x + to, low, weight);
      pen.dot(wiper, x + riser, row.rail, weight);
    },
  };
}
