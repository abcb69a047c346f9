/** Items that are no two-poles: amplifiers, terminals, flags, wires between the rails, coils that are left out. */
import type { Element } from '../elements.ts';
import { LINE, label, textWidth } from './drawing-parts.ts';
import { amplifier, BODY, flagSign, terminalSign, twoPole } from './drawing-symbols.ts';
import { type Context, type Item, linesWidth, named, railLabels, valueLine } from './item.ts';

/** An amplifier on the rail. */
export function amplifierItem(context: Context, element: Extract<Element, { kind: 'vcvs' }>, name: string): Item {
  const lines = named(name, valueLine(context.build, element));
  const width = Math.max(54, linesWidth(lines) + 10);
  const [input, output] = [context.net(element.plus), context.net(element.a)];
  return {
    width,
    height: 48 + lines.length * LINE,
    blocks: [{ from: 0, to: width, net: null }],
    pins: [
      { net: input, x: 0, side: 'rail' },
      { net: output, x: width, side: 'rail' },
    ],
    draw(x, row, pen) {
      pen.symbol({
        ...amplifier(x, x + width, row.rail),
        kind: 'amplifier',
        parts: [element.id],
        weight: context.weight(output) === 'path' ? 'path' : 'normal',
        pins: [
          { net: input, x, y: row.rail },
          { net: output, x: x + width, y: row.rail },
        ],
      });
      // the triangle is taller than a lying part: its label always stands under it
      for (const [i, line] of lines.entries())
        pen.label(label(line.text, x + width / 2, row.rail + 31 + i * LINE, { ...line, anchor: 'middle' }));
    },
  };
}

/** A terminal on the rail with its name. */
export function terminalItem(context: Context, node: string, name: string): Item {
  const width = Math.max(24, textWidth(name) + 8);
  const net = context.net(node);
  return {
    width,
    height: 30 + LINE,
    blocks: [{ from: 0, to: width, net }],
    pins: [{ net, x: width / 2, side: 'rail' }],
    draw(x, row, pen) {
      pen.symbol({
        ...terminalSign(x + width / 2, row.rail),
        kind: 'terminal',
        parts: [],
        weight: context.weight(net) === 'path' ? 'path' : 'normal',
        pins: [{ net, x: x + width / 2, y: row.rail }],
      });
      railLabels(x + width / 2, width, [{ text: name, tone: 'name' }], row, pen);
    },
  };
}

/** The sign that a net goes on in the next row (`side` 1) or comes from the one before (−1). */
export function flagItem(context: Context, net: string, letter: string, side: 1 | -1): Item {
  return {
    width: 30,
    height: 20,
    flag: net,
    blocks: [{ from: side === 1 ? 2 : 0, to: side === 1 ? 30 : 28, net: null }],
    pins: [{ net, x: side === 1 ? 2 : 28, side: 'rail' }],
    draw(x, row, pen) {
      const at = x + (side === 1 ? 2 : 28);
      const strokes = flagSign(at, row.rail, side);
      const weight = context.weight(net) === 'path' ? 'path' : 'normal';
      pen.symbol({ ...strokes, kind: 'flag', parts: [], weight, pins: [{ net, x: at, y: row.rail }] });
      pen.label(label(letter, strokes.box.x + 8.5, row.rail + 4, { anchor: 'middle', weight }));
    },
  };
}

/** A vertical wire that joins what a net has at the top of its row with what it has at the bottom. */
export const gutterItem = (context: Context, net: string): Item => ({
  width: 16,
  height: 0,
  blocks: [],
  pins: [
    { net, x: 8, side: 'top' },
    { net, x: 8, side: 'bottom' },
  ],
  draw(x, row, pen) {
    pen.wire({
      net,
      weight: context.weight(net),
      points: [
        [x + 8, row.top],
        [x + 8, row.bottom],
      ],
    });
  },
});

/** The coils that this selector position does not use: only their inductances, without a connection. */
export function idleCoils(titles: readonly string[]): Item {
  const pitch = 22;
  const width = 12 + BODY.inductor + 10 + Math.max(...titles.map(t => textWidth(t, 'title'))) + 10;
  return {
    width,
    height: titles.length * pitch + 26,
    blocks: [],
    pins: [],
    draw(x, row, pen) {
      const begin = row.top + 8;
      for (const [i, title] of titles.entries()) {
        const y = begin + 18 + i * pitch;
        const strokes = twoPole('inductor', x + 10, y, x + 14 + BODY.inductor, y);
        pen.symbol({ ...strokes, kind: 'inductor', parts: [], pins: [], weight: 'faint' });
        pen.label(label(title, x + 22 + BODY.inductor, y + 4, { tone: 'title', weight: 'faint' }));
      }
      pen.frame({ x: x + 2, y: begin, width: width - 4, height: titles.length * pitch + 12, weight: 'faint' });
    },
  };
}
