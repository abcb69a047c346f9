/**
 * The items of a schematic: every part of the network goes into exactly one of them, in the order of the signal.
 *
 * An item is as wide as it needs to be, hangs between the rail at the top of its row and the ground line under it, and
 * tells its pins: `rail` pins lie on the rail itself, `top` and `bottom` pins just inside, to be reached by a vertical
 * wire.
 */
import type { Build } from '../../document/build.ts';
import type { Element } from '../elements.ts';
import { partValue, shortValue } from '../part-values.ts';
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
import type { BODY } from './drawing-symbols.ts';

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

export type TwoPole = Extract<Element, { a: string; b: string }>;

/** One line of a part's label. */
export interface Line {
  text: string;
  tone: 'name' | 'value';
  edit?: NonNullable<DrawnLabel['edit']>;
}

export const LEAD = 9;
/** Room left of a standing part's axis. */
export const AXIS = 14;
/** From the axis to its label. */
export const BESIDE = 11;
export const BAR = 8;

export const symbolOf = (element: TwoPole): keyof typeof BODY =>
  element.kind === 'emf'
    ? 'source'
    : element.kind === 'inductor' || element.kind === 'capacitor'
      ? element.kind
      : 'resistor';

export const valueLine = (build: Build, element: Element): Line[] => {
  const part = partValue(build, element);
  return part ? [{ text: shortValue(build, part), tone: 'value', edit: part }] : [];
};
export const named = (name: string, lines: Line[]): Line[] => (name ? [{ text: name, tone: 'name' }, ...lines] : lines);
export const linesWidth = (lines: readonly Line[]): number => Math.max(0, ...lines.map(l => textWidth(l.text, l.tone)));

export const isGround = (context: Context, node: string): boolean => context.net(node) === 'ground';

/** Labels of something on the rail: above it where nothing runs, else under it. */
export function railLabels(middle: number, width: number, lines: readonly Line[], row: Row, pen: Pen): void {
  const above = row.clearAbove(middle - width / 2, middle + width / 2);
  lines.forEach((line, i) => {
    const y = above ? row.rail - 17 - (lines.length - 1 - i) * LINE : row.rail + 27 + i * LINE;
    pen.label(label(line.text, middle, y, { ...line, anchor: 'middle' }));
  });
}
