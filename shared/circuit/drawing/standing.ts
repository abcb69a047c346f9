/** Parts that stand between a net above and a net below, in series and in parallel. */

import { LINE, label, textWidth, type Weight } from './drawing-parts.ts';
import { BODY, twoPole } from './drawing-symbols.ts';
import {
  AXIS,
  BAR,
  BESIDE,
  type Context,
  type Item,
  LEAD,
  type Line,
  linesWidth,
  named,
  type Pen,
  symbolOf,
  type TwoPole,
  valueLine,
} from './item.ts';

/** Two-poles in series and in parallel, standing between two nets. */
export type Tree =
  | { kind: 'leaf'; element: TwoPole; top: string; bottom: string; lines: Line[]; symbol: keyof typeof BODY }
  | { kind: 'series'; parts: Tree[] }
  | { kind: 'parallel'; parts: Tree[] };

export const leaf = (
  context: Context,
  element: TwoPole,
  top: string,
  bottom: string,
  name = '',
  symbol = symbolOf(element),
): Tree => ({
  kind: 'leaf',
  element,
  top,
  bottom,
  symbol,
  lines: named(name, valueLine(context.build, element)),
});

interface Size {
  width: number;
  height: number;
}
const beside = (symbol: keyof typeof BODY): number =>
  symbol === 'capacitor' || symbol === 'source' ? 16 : symbol === 'rheostat' ? 15 : BESIDE;
function measure(tree: Tree): Size {
  if (tree.kind === 'leaf')
    return {
      width: AXIS + (tree.lines.length > 0 ? beside(tree.symbol) + linesWidth(tree.lines) + 6 : AXIS + 2),
      height: Math.max(BODY[tree.symbol], tree.lines.length * LINE + 2) + 2 * LEAD,
    };
  const sizes = tree.parts.map(measure);
  if (tree.kind === 'series')
    return { width: Math.max(...sizes.map(s => s.width)), height: sizes.reduce((sum, s) => sum + s.height, 0) };
  return { width: sizes.reduce((sum, s) => sum + s.width, 0), height: Math.max(...sizes.map(s => s.height)) + 2 * BAR };
}

const topOf = (tree: Tree): string => (tree.kind === 'leaf' ? tree.top : topOf(tree.parts[0]));
const bottomOf = (tree: Tree): string =>
  tree.kind === 'leaf'
    ? tree.bottom
    : bottomOf(tree.kind === 'series' ? tree.parts[tree.parts.length - 1] : tree.parts[0]);

/** The same parts upside down. */
export function flipped(tree: Tree): Tree {
  if (tree.kind === 'leaf') return { ...tree, top: tree.bottom, bottom: tree.top };
  const parts = tree.parts.map(flipped);
  return { kind: tree.kind, parts: tree.kind === 'series' ? parts.reverse() : parts };
}

function drawTree(
  context: Context,
  tree: Tree,
  x: number,
  top: number,
  bottom: number,
  pen: Pen,
  weight: Weight,
): void {
  if (tree.kind === 'leaf') {
    const strokes = twoPole(tree.symbol, x, top, x, bottom);
    pen.symbol({
      ...strokes,
      kind: tree.symbol,
      parts: [tree.element.id],
      weight,
      pins: [
        { net: context.net(tree.top), x, y: top },
        { net: context.net(tree.bottom), x, y: bottom },
      ],
    });
    const first = (top + bottom) / 2 - (tree.lines.length * LINE) / 2 + 11;
    for (const [i, line] of tree.lines.entries())
      pen.label(label(line.text, x + beside(tree.symbol), first + i * LINE, { ...line, weight }));
    return;
  }
  if (tree.kind === 'series') {
    const sizes = tree.parts.map(p => measure(p).height);
    const spare = (bottom - top - sizes.reduce((a, b) => a + b, 0)) / tree.parts.length;
    let y = top;
    tree.parts.forEach((part, i) => {
      const to = i === tree.parts.length - 1 ? bottom : y + sizes[i] + spare;
      drawTree(context, part, x, y, to, pen, weight);
      y = to;
    });
    return;
  }
  const places: number[] = [];
  let left = x;
  for (const part of tree.parts) {
    places.push(left);
    left += measure(part).width;
  }
  const ends = [
    { net: context.net(topOf(tree)), from: top, bar: top + BAR },
    { net: context.net(bottomOf(tree)), from: bottom, bar: bottom - BAR },
  ];
  for (const { net, from, bar } of ends) {
    pen.wire({
      net,
      weight,
      points: [
        [x, from],
        [x, bar],
        [places[places.length - 1], bar],
      ],
    });
    for (const place of places.slice(0, -1)) pen.dot(net, place, bar, weight);
  }
  for (const [i, part] of tree.parts.entries())
    drawTree(context, part, places[i], top + BAR, bottom - BAR, pen, weight);
}

/** A standing item between a net at its top and one at its bottom. */
export function column(context: Context, tree: Tree, weight: Weight = 'normal', title = ''): Item {
  const size = measure(tree);
  const head = title ? LINE + 6 : 0;
  const frame = title ? 6 : 0;
  return {
    width: Math.max(size.width + 2 * frame, title ? AXIS + frame + 8 + textWidth(title, 'title') + frame : 0),
    height: size.height + head + 2 * frame,
    blocks: [],
    pins: [
      { net: context.net(topOf(tree)), x: AXIS + frame, side: 'top' },
      { net: context.net(bottomOf(tree)), x: AXIS + frame, side: 'bottom' },
    ],
    draw(x, row, pen) {
      const axis = x + AXIS + frame;
      const net = context.net(topOf(tree));
      if (head > 0)
        pen.wire({
          net,
          weight,
          points: [
            [axis, row.top],
            [axis, row.top + head + frame],
          ],
        });
      drawTree(context, tree, axis, row.top + (head > 0 ? head + frame : 0), row.bottom - frame, pen, weight);
      if (frame > 0) {
        pen.wire({
          net: context.net(bottomOf(tree)),
          weight,
          points: [
            [axis, row.bottom - frame],
            [axis, row.bottom],
          ],
        });
        pen.label(label(title, axis + 8, row.top + 4 + LINE, { tone: 'title', weight }));
        pen.frame({ x: x + 2, y: row.top + 5, width: this.width - 4, height: row.bottom - row.top - 9, weight });
      }
    },
  };
}
