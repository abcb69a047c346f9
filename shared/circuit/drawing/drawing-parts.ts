/** What a schematic is drawn with: placed symbols, wires, junctions and labels, with the nets they belong to. Pure. */

import type { PartValue } from '../part-values.ts';
import type { Box, Strokes, SymbolKind } from './drawing-symbols.ts';

export type Weight = 'path' | 'normal' | 'faint';

/** Where a symbol is connected. */
export interface DrawnPin {
  net: string;
  x: number;
  y: number;
}

export interface DrawnSymbol extends Strokes {
  kind: SymbolKind;
  /** Ids of the parts of the network that it stands for; a pot stands for two. */
  parts: readonly string[];
  pins: readonly DrawnPin[];
  weight: Weight;
}

export interface DrawnWire {
  net: string;
  /** Corners, px; horizontal and vertical stretches only. */
  points: readonly (readonly [number, number])[];
  weight: Weight;
}

export interface DrawnLabel {
  text: string;
  x: number;
  /** Baseline. */
  y: number;
  anchor: 'start' | 'middle' | 'end';
  tone: 'name' | 'value' | 'title';
  box: Box;
  weight: Weight;
  /** The value of the build that it shows and changes; absent: it only says something. */
  edit?: PartValue;
}

/** A dashed line around what belongs together. */
export interface DrawnFrame extends Box {
  weight: Weight;
}

/** A schematic, ready to be drawn; px with y downwards. */
export interface Drawing {
  width: number;
  height: number;
  symbols: readonly DrawnSymbol[];
  wires: readonly DrawnWire[];
  dots: readonly (DrawnPin & { weight: Weight })[];
  labels: readonly DrawnLabel[];
  frames: readonly DrawnFrame[];
  /** Ids of parts that are a plain connection or nothing at their present value: wires, 0 Ω, 0 F. */
  plain: readonly string[];
}

/** Height of a line of text, px. */
export const LINE = 14;

/** Width that a text takes in the schematic's type, px: generous, so that what is apart here is apart on the screen. */
export const textWidth = (text: string, tone: DrawnLabel['tone'] = 'name'): number =>
  Math.ceil([...text].length * (tone === 'value' ? 6.9 : 6.4)) + 2;

/** A label with the room it takes. */
export function label(
  text: string,
  x: number,
  y: number,
  rest: Partial<Pick<DrawnLabel, 'anchor' | 'tone' | 'edit' | 'weight'>> = {},
): DrawnLabel {
  const { anchor = 'start', tone = 'name', weight = 'normal', edit } = rest;
  const width = textWidth(text, tone);
  const left = anchor === 'start' ? x : anchor === 'end' ? x - width : x - width / 2;
  const made = { text, x, y, anchor, tone, weight, box: { x: left, y: y - 11, width, height: LINE } };
  return edit ? { ...made, edit } : made;
}
