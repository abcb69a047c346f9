/** A schematic as SVG text, for files and printed sheets. Pure. */

import { escaped } from '../../xml.ts';
import type { Drawing, DrawnLabel, DrawnWire } from './drawing.ts';

/** Line widths, px. */
export const STROKE = { path: 2.1, normal: 1.3, faint: 1 } as const;

/** Inks of a drawing as CSS colours. */
export interface SchematicTheme {
  ink: string;
  soft: string;
  faint: string;
  paper: string;
  font: string;
}
export const PRINT: SchematicTheme = {
  ink: '#15242c',
  soft: '#4d6069',
  faint: '#8b9aa1',
  paper: '#ffffff',
  font: "'Barlow Semi Condensed', 'Barlow', sans-serif",
};

/** Path data of a wire. */
export const wirePath = ({ points }: Pick<DrawnWire, 'points'>): string =>
  points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${Math.round(x * 100) / 100} ${Math.round(y * 100) / 100}`).join('');

/** Height of type and its weight, by what a label says. */
export const TYPE: Record<DrawnLabel['tone'], { size: number; weight: number }> = {
  name: { size: 12.5, weight: 400 },
  value: { size: 13, weight: 600 },
  title: { size: 12.5, weight: 500 },
};

/** The inner part of the drawing, for embedding in a larger one: a `<g>` at (x, y). */
export function schematicGroup(drawing: Drawing, theme: SchematicTheme = PRINT, x = 0, y = 0): string {
  const ink = (weight: keyof typeof STROKE) => (weight === 'faint' ? theme.faint : theme.ink);
  const out: string[] = [
    `<g transform="translate(${x} ${y})" font-family="${escaped(theme.font)}" fill="none" stroke-linejoin="miter">`,
  ];
  for (const f of drawing.frames)
    out.push(
      `<rect x="${f.x}" y="${f.y}" width="${f.width}" height="${f.height}" stroke="${theme.faint}" stroke-dasharray="5 3"/>`,
    );
  for (const w of drawing.wires)
    out.push(
      `<path d="${wirePath(w)}" stroke="${ink(w.weight)}" stroke-width="${STROKE[w.weight]}" stroke-linecap="square"/>`,
    );
  for (const s of drawing.symbols) {
    const fill = s.kind === 'terminal' ? ` fill="${theme.paper}"` : '';
    out.push(`<path d="${s.line}"${fill} stroke="${ink(s.weight)}" stroke-width="${STROKE[s.weight]}"/>`);
    if (s.fill) out.push(`<path d="${s.fill}" fill="${ink(s.weight)}"/>`);
  }
  for (const d of drawing.dots) out.push(`<circle cx="${d.x}" cy="${d.y}" r="2.8" fill="${ink(d.weight)}"/>`);
  for (const l of drawing.labels) {
    const { size, weight } = TYPE[l.tone];
    const colour = l.tone === 'value' ? ink(l.weight) : l.weight === 'faint' ? theme.faint : theme.soft;
    out.push(
      `<text x="${l.x}" y="${l.y}" text-anchor="${l.anchor}" font-size="${size}" font-weight="${weight}" fill="${colour}">${escaped(l.text)}</text>`,
    );
  }
  out.push('</g>');
  return out.join('\n');
}

/** The drawing as an SVG document. */
export const schematicSvg = (drawing: Drawing, theme: SchematicTheme = PRINT): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${drawing.width}" height="${drawing.height}" viewBox="0 0 ${drawing.width} ${drawing.height}">
<rect width="100%" height="100%" fill="${theme.paper}"/>
${schematicGroup(drawing, theme)}
</svg>
`;
