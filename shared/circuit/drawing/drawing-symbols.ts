/**
 * Graphical symbols for diagrams (IEC 60617) as path data in absolute coordinates, px: resistor as a rectangle, inductor
 * as half circles, capacitor as two bars, source as a circle, amplifier as a triangle. Pure.
 */

export type SymbolKind =
  | 'resistor'
  | 'inductor'
  | 'capacitor'
  | 'source'
  | 'rheostat'
  | 'pot'
  | 'amplifier'
  | 'ground'
  | 'terminal'
  | 'flag';

export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** What one symbol is drawn with: outlines, and areas filled with ink. */
export interface Strokes {
  line: string;
  fill: string;
  /** The body without its leads. */
  box: Box;
}

/** Length of a two-pole's body along its leads, px. */
export const BODY: Record<'resistor' | 'rheostat' | 'pot' | 'inductor' | 'capacitor' | 'source', number> = {
  resistor: 32,
  rheostat: 32,
  pot: 36,
  inductor: 40,
  capacitor: 7,
  source: 28,
};
/** Half width of a body across its leads, px. */
export const HALF: typeof BODY = { resistor: 6, rheostat: 12, pot: 6, inductor: 6, capacitor: 11, source: 14 };

const r = (n: number): string => String(Math.round(n * 100) / 100);
const at = (x: number, y: number): string => `${r(x)} ${r(y)}`;

/** Turns a symbol that is described along its axis (u along the leads, v across) into a place on the sheet. */
type Place = (u: number, v: number) => string;

function body(kind: keyof typeof BODY, p: Place, vertical: boolean): { line: string; fill: string } {
  const h = BODY[kind] / 2;
  const w = HALF.resistor;
  const rectangle = `M${p(-h, -w)}L${p(h, -w)}L${p(h, w)}L${p(-h, w)}Z`;
  switch (kind) {
    case 'resistor':
    case 'pot':
      return { line: rectangle, fill: '' };
    case 'rheostat':
      return {
        line: `${rectangle}M${p(h - 1, -12)}L${p(-h + 3, 10)}`,
        fill: `M${p(-h, 12)}L${p(-h + 7.5, 10.5)}L${p(-h + 2.5, 5)}Z`,
      };
    case 'inductor': {
      const bump = BODY.inductor / 4;
      let line = `M${p(-h, 0)}`;
      // the bumps bulge to the same side whichever way the symbol lies
      for (let i = 1; i <= 4; i++)
        line += `A${r(bump / 2)} ${r(bump / 2)} 0 0 ${vertical ? 0 : 1} ${p(-h + i * bump, 0)}`;
      return { line, fill: '' };
    }
    case 'capacitor':
      return {
        line: `M${p(-h, -HALF.capacitor)}L${p(-h, HALF.capacitor)}M${p(h, -HALF.capacitor)}L${p(h, HALF.capacitor)}`,
        fill: '',
      };
    case 'source': {
      const radius = HALF.source;
      return {
        line: `M${p(-h, 0)}A${radius} ${radius} 0 1 1 ${p(h, 0)}A${radius} ${radius} 0 1 1 ${p(-h, 0)}`,
        fill: '',
      };
    }
  }
}

/** A two-pole between (x1, y1) and (x2, y2), which lie on one vertical or one horizontal line; its body in the middle. */
export function twoPole(kind: keyof typeof BODY, x1: number, y1: number, x2: number, y2: number): Strokes {
  const vertical = x1 === x2;
  const [mx, my] = [(x1 + x2) / 2, (y1 + y2) / 2];
  const p: Place = vertical ? (u, v) => at(mx + v, my + u) : (u, v) => at(mx + u, my + v);
  const half = BODY[kind] / 2;
  const { line, fill } = body(kind, p, vertical);
  const [near, far] = vertical ? [at(x1, my - half), at(x1, my + half)] : [at(mx - half, y1), at(mx + half, y1)];
  let drawn = `M${at(x1, y1)}L${near}M${far}L${at(x2, y2)}${line}`;
  // the wave inside a source stands upright whichever way the leads run
  if (kind === 'source')
    drawn += `M${at(mx - 8, my)}Q${at(mx - 4, my - 9)} ${at(mx, my)}Q${at(mx + 4, my + 9)} ${at(mx + 8, my)}`;
  const across = HALF[kind];
  const box = vertical
    ? { x: mx - across, y: my - half, width: 2 * across, height: 2 * half }
    : { x: mx - half, y: my - across, width: 2 * half, height: 2 * across };
  return { line: drawn, fill, box };
}

/** A pot between (x, top) and (x, bottom) with its wiper, an arrow on the track, reaching out to x + `reach`. */
export function potentiometer(x: number, top: number, bottom: number, reach: number): Strokes {
  const track = twoPole('pot', x, top, x, bottom);
  const y = (top + bottom) / 2;
  const side = Math.sign(reach);
  const tip = x + side * HALF.pot;
  return {
    line: `${track.line}M${at(tip + side * 7, y)}L${at(x + reach, y)}`,
    fill: `M${at(tip, y)}L${at(tip + side * 8, y - 4)}L${at(tip + side * 8, y + 4)}Z`,
    box: track.box,
  };
}

/** An amplifier: triangle with its input at (x1, y) and its output at (x2, y). */
export function amplifier(x1: number, x2: number, y: number): Strokes {
  const left = (x1 + x2) / 2 - 16;
  const right = left + 32;
  return {
    line: `M${at(x1, y)}L${at(left, y)}M${at(right, y)}L${at(x2, y)}M${at(left, y - 17)}L${at(right, y)}L${at(left, y + 17)}Z`,
    fill: '',
    box: { x: left, y: y - 17, width: 32, height: 34 },
  };
}

/** Ground under (x, y). */
export const groundSign = (x: number, y: number): Strokes => ({
  line: `M${at(x, y)}V${r(y + 7)}M${at(x - 10, y + 7)}H${r(x + 10)}M${at(x - 6.5, y + 11)}H${r(x + 6.5)}M${at(x - 3, y + 15)}H${r(x + 3)}`,
  fill: '',
  box: { x: x - 10, y: y + 2, width: 20, height: 14 },
});

/** A terminal on (x, y). */
export const terminalSign = (x: number, y: number): Strokes => ({
  line: `M${at(x - 4, y)}A4 4 0 1 1 ${at(x + 4, y)}A4 4 0 1 1 ${at(x - 4, y)}Z`,
  fill: '',
  box: { x: x - 4, y: y - 4, width: 8, height: 8 },
});

/** A sign that the line goes on elsewhere; its lead ends on (x, y), its body stands to the right (`side` 1) or left. */
export function flagSign(x: number, y: number, side: 1 | -1): Strokes {
  const to = x + side * 24;
  const [tip, back] = side === 1 ? [to, x + 4] : [x - 4, to];
  const shoulder = tip - 7;
  return {
    line: `M${at(x, y)}H${r(x + side * 4)}M${at(back, y - 9)}H${r(shoulder)}L${at(tip, y)}L${at(shoulder, y + 9)}H${r(back)}Z`,
    fill: '',
    box: { x: Math.min(x + side * 4, to), y: y - 9, width: 20, height: 18 },
  };
}
