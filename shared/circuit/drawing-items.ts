/**
 * The columns of a schematic: every part of the network goes into exactly one of them, in the order of the signal.
 *
 * An item is as wide as it needs to be, hangs between the rail at the top of its row and the ground line under it, and
 * tells its pins: `rail` pins lie on the rail itself, `top` and `bottom` pins just inside, to be reached by a vertical
 * wire.
 */
import type { Build } from '../document/build.ts';
import {
  type DrawnFrame,
  type DrawnLabel,
  type DrawnSymbol,
  type DrawnWire,
  LINE,
  label,
  textWidth,
  type Weight,
} from './drawing-parts.ts';
import { amplifier, BODY, flagSign, potentiometer, terminalSign, twoPole } from './drawing-symbols.ts';
import type { Element } from './elements.ts';
import { partValue, shortValue } from './part-values.ts';

/** Heights of one row, px. */
export interface Row {
  /** The rail. */
  rail: number;
  /** Where verticals enter the items. */
  top: number;
  bottom: number;
  /** No line runs above the rail between these places, so that labels may stand there. */
  clearAbove(from: number, to: number): boolean;
}

export interface ItemPin {
  net: string;
  /** From the item's left edge, px. */
  x: number;
  side: 'rail' | 'top' | 'bottom';
}

/** Takes what items draw. */
export interface Pen {
  symbol(symbol: DrawnSymbol): void;
  wire(wire: DrawnWire): void;
  dot(net: string, x: number, y: number, weight: Weight): void;
  label(label: DrawnLabel): void;
  frame(frame: DrawnFrame): void;
}

/** A stretch of the rail, from the item's left edge, px, that no net but `net` may run along. */
export interface Block {
  from: number;
  to: number;
  net: string | null;
}

export interface Item {
  width: number;
  /** Least distance of `top` and `bottom`, px. */
  height: number;
  pins: readonly ItemPin[];
  /** The net that goes on elsewhere, for a flag. */
  flag?: string;
  /** Stretches of the rail that belong to this item. */
  blocks: readonly Block[];
  draw(x: number, row: Row, pen: Pen): void;
}

/** What items need to know of the network. */
export interface Context {
  build: Build;
  /** The one name of every net. */
  net(node: string): string;
  weight(net: string): Weight;
}

type TwoPole = Extract<Element, { a: string; b: string }>;

/** Two-poles in series and in parallel, standing between two nets. */
type Tree =
  | { kind: 'leaf'; element: TwoPole; top: string; bottom: string; lines: Line[]; symbol: keyof typeof BODY }
  | { kind: 'series'; parts: Tree[] }
  | { kind: 'parallel'; parts: Tree[] };

/** One line of a part's label. */
interface Line {
  text: string;
  tone: 'name' | 'value';
  edit?: NonNullable<DrawnLabel['edit']>;
}

const LEAD = 9;
/** Room left of a standing part's axis. */
const AXIS = 14;
/** From the axis to its label. */
const BESIDE = 11;
const BAR = 8;

const symbolOf = (element: TwoPole): keyof typeof BODY =>
  element.kind === 'emf'
    ? 'source'
    : element.kind === 'inductor' || element.kind === 'capacitor'
      ? element.kind
      : 'resistor';

const valueLine = (build: Build, element: Element): Line[] => {
  const part = partValue(build, element);
  return part ? [{ text: shortValue(build, part), tone: 'value', edit: part }] : [];
};
const named = (name: string, lines: Line[]): Line[] => (name ? [{ text: name, tone: 'name' }, ...lines] : lines);
const linesWidth = (lines: readonly Line[]): number => Math.max(0, ...lines.map(l => textWidth(l.text, l.tone)));

const leaf = (
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
function flipped(tree: Tree): Tree {
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
function column(context: Context, tree: Tree, weight: Weight = 'normal', title = ''): Item {
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

const isGround = (context: Context, node: string): boolean => context.net(node) === 'ground';

/** A part that lies on the rail between the nets at its left and at its right. */
export function lying(context: Context, element: TwoPole, left: string, right: string, name = ''): Item {
  const symbol = symbolOf(element);
  const lines = named(name, valueLine(context.build, element));
  const width = Math.max(BODY[symbol] + 2 * LEAD + 6, linesWidth(lines) + 10);
  return {
    width,
    height: 30 + lines.length * LINE,
    blocks: [{ from: 0, to: width, net: null }],
    pins: [
      { net: context.net(left), x: 0, side: 'rail' },
      { net: context.net(right), x: width, side: 'rail' },
    ],
    draw(x, row, pen) {
      const weight =
        context.weight(context.net(left)) === 'path' && context.weight(context.net(right)) === 'path'
          ? 'path'
          : 'normal';
      pen.symbol({
        ...twoPole(symbol, x, row.rail, x + width, row.rail),
        kind: symbol,
        parts: [element.id],
        weight,
        pins: [
          { net: context.net(left), x, y: row.rail },
          { net: context.net(right), x: x + width, y: row.rail },
        ],
      });
      railLabels(x + width / 2, width, lines, row, pen);
    },
  };
}

/** Labels of something on the rail: above it where nothing runs, else under it. */
function railLabels(middle: number, width: number, lines: readonly Line[], row: Row, pen: Pen): void {
  const above = row.clearAbove(middle - width / 2, middle + width / 2);
  lines.forEach((line, i) => {
    const y = above ? row.rail - 17 - (lines.length - 1 - i) * LINE : row.rail + 27 + i * LINE;
    pen.label(label(line.text, middle, y, { ...line, anchor: 'middle' }));
  });
}

/** A part from a net to ground, or lying on the rail between two nets. */
export function single(context: Context, element: TwoPole, name = ''): Item {
  const [a, b] = [element.a, element.b];
  if (isGround(context, b)) return column(context, leaf(context, element, a, b, name));
  if (isGround(context, a)) return column(context, leaf(context, element, b, a, name));
  return lying(context, element, a, b, name);
}

/** A variable resistor and a capacitor in series to ground. */
export function toneColumn(context: Context, track: TwoPole, capacitor: TwoPole, name: string): Item {
  return column(context, {
    kind: 'series',
    parts: [
      leaf(context, track, track.a, track.b, name, 'rheostat'),
      leaf(context, capacitor, capacitor.a, capacitor.b),
    ],
  });
}

/** The parts of one coil. */
export interface CoilParts {
  emf: TwoPole;
  inductor: TwoPole;
  resistor: TwoPole;
  capacitor: TwoPole;
  eddy: TwoPole | null;
  /** Ladder: inductances and the resistances across them, from the core outwards. */
  sections: { inductor: TwoPole; resistor: TwoPole }[];
  title: string;
}

/** A coil standing between its two ends; `up`: its hot end is at the top. */
export function coilColumn(context: Context, coil: CoilParts, up: boolean, weight: Weight): Item {
  const { emf, inductor, eddy, sections, resistor, capacitor } = coil;
  const core: Tree = {
    kind: 'series',
    parts: [leaf(context, inductor, inductor.b, inductor.a), leaf(context, emf, emf.a, emf.b)],
  };
  const damped: Tree = eddy ? { kind: 'parallel', parts: [core, leaf(context, eddy, eddy.a, eddy.b)] } : core;
  const main: Tree = {
    kind: 'series',
    parts: [
      leaf(context, resistor, resistor.b, resistor.a),
      ...[...sections].reverse().map(
        (s): Tree => ({
          kind: 'parallel',
          parts: [
            leaf(context, s.inductor, s.inductor.b, s.inductor.a),
            leaf(context, s.resistor, s.resistor.b, s.resistor.a),
          ],
        }),
      ),
      damped,
    ],
  };
  const whole: Tree = { kind: 'parallel', parts: [main, leaf(context, capacitor, capacitor.a, capacitor.b)] };
  return column(context, up ? whole : flipped(whole), weight, coil.title);
}

/** A coil spread along the rail: source standing, inductance and resistance lying, capacitance standing. */
export const coilSpread = (context: Context, coil: CoilParts): Item[] => [
  { ...column(context, leaf(context, coil.emf, coil.emf.a, coil.emf.b)), width: 2 * AXIS + 6 },
  lying(context, coil.inductor, coil.inductor.a, coil.inductor.b),
  ...(coil.eddy ? [single(context, coil.eddy, 'loss')] : []),
  lying(context, coil.resistor, coil.resistor.a, coil.resistor.b),
  single(context, coil.capacitor),
];

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
