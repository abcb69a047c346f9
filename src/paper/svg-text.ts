/** SVG written as text, in millimetres of paper. Everything that comes from a document goes through `escaped`. Pure. */
import { escaped } from '../../shared/xml.ts';

/** A coordinate: a hundredth of a millimetre is finer than any printer. */
export const mm = (value: number): string => String(Math.round(value * 100) / 100);

export const INK = { ink: '#15242c', soft: '#4d6069', faint: '#8b9aa1', fill: '#e7eef0' } as const;

/** Mean width of a letter of the sheet's type, parts of its size: on the safe side. */
const LETTER = 0.53;
export const widthOf = (text: string, size: number): number => [...text].length * size * LETTER;

/** The text, cut short where it would be wider than `width`. */
export function fitted(text: string, width: number, size: number): string {
  const most = Math.max(1, Math.floor(width / (size * LETTER)));
  const letters = [...text];
  return letters.length <= most ? text : `${letters.slice(0, most - 1).join('')}…`;
}

/** Lines of at most `width`, broken at spaces. */
export function wrapped(text: string, width: number, size: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && widthOf(`${last} ${word}`, size) <= width) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}

export interface TextStyle {
  /** Height of type, mm. */
  size?: number;
  anchor?: 'start' | 'middle' | 'end';
  colour?: string;
  weight?: 400 | 500 | 600;
}

export const text = (x: number, y: number, content: string, style: TextStyle = {}): string => {
  const { size = 2.6, anchor = 'start', colour = INK.ink, weight = 400 } = style;
  return `<text x="${mm(x)}" y="${mm(y)}" font-size="${mm(size)}" text-anchor="${anchor}" fill="${colour}" font-weight="${weight}">${escaped(content)}</text>`;
};

export const line = (
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  width = 0.18,
  colour: string = INK.ink,
  dash = '',
) =>
  `<path d="M${mm(x1)} ${mm(y1)}L${mm(x2)} ${mm(y2)}" stroke="${colour}" stroke-width="${width}" fill="none"${dash && ` stroke-dasharray="${dash}"`}/>`;

export const rect = (x: number, y: number, width: number, height: number, stroke = 0.35, colour: string = INK.ink) =>
  `<rect x="${mm(x)}" y="${mm(y)}" width="${mm(width)}" height="${mm(height)}" stroke="${colour}" stroke-width="${stroke}" fill="none"/>`;

/** Something of a given height that is drawn from a top left corner; the pages are filled with these. */
export interface Block {
  /** mm. */
  height: number;
  draw(x: number, y: number): string;
  /** Stays on one page with what follows it. */
  binds?: boolean;
}

export const heading = (title: string, note = ''): Block => ({
  height: 6.5,
  binds: true,
  draw: (x, y) =>
    text(x, y + 4.6, title, { size: 3.4, weight: 600 }) +
    (note ? text(x + widthOf(title, 3.4) + 4, y + 4.6, note, { colour: INK.soft }) : ''),
});

export const gap = (height: number): Block => ({ height, draw: () => '' });

export interface Column {
  /** mm. */
  width: number;
  align?: 'start' | 'end';
}

const ROW = 4.2;
/** Tables of up to this many rows stay on one page. */
const TOGETHER = 14;

/** A table as a head that binds to its first row, and its rows. */
export function table(
  columns: readonly Column[],
  head: readonly string[],
  rows: readonly (readonly string[])[],
): Block[] {
  const width = columns.reduce((sum, c) => sum + c.width, 0);
  const cells = (x: number, y: number, texts: readonly string[], style: TextStyle) => {
    let at = x;
    return columns
      .map((column, i) => {
        const left = at;
        at += column.width;
        const content = fitted(texts[i] ?? '', column.width - 1.5, style.size ?? 2.6);
        if (!content) return '';
        return column.align === 'end'
          ? text(at - 1.5, y, content, { ...style, anchor: 'end' })
          : text(left, y, content, style);
      })
      .join('');
  };
  return [
    {
      height: ROW,
      binds: true,
      draw: (x, y) =>
        cells(x, y + 3, head, { size: 2.4, colour: INK.soft }) + line(x, y + ROW, x + width, y + ROW, 0.25),
    },
    ...rows.map((row, i) => ({
      height: ROW,
      binds: rows.length <= TOGETHER && i < rows.length - 1,
      draw: (x: number, y: number) => cells(x, y + 3.1, row, {}) + line(x, y + ROW, x + width, y + ROW, 0.1, INK.faint),
    })),
  ];
}

/** Paragraphs as small blocks. */
export const paragraph = (content: string, width: number, size = 2.6, colour: string = INK.ink): Block => {
  const lines = wrapped(content, width, size);
  return {
    height: lines.length * size * 1.35 + 1,
    draw: (x, y) => lines.map((one, i) => text(x, y + size * (1 + 1.35 * i), one, { size, colour })).join(''),
  };
};

/** Blocks on pages of `height`, mm. What binds goes with what follows it. */
export function pagesOf(blocks: readonly Block[], height: number): { y: number; block: Block }[][] {
  const pages: { y: number; block: Block }[][] = [[]];
  let y = 0;
  for (let i = 0; i < blocks.length; ) {
    let end = i;
    while (blocks[end].binds && end + 1 < blocks.length) end++;
    const group = blocks.slice(i, end + 1);
    const needed = group.reduce((sum, b) => sum + b.height, 0);
    if (y > 0 && y + needed > height) {
      pages.push([]);
      y = 0;
    }
    for (const block of group) {
      pages[pages.length - 1].push({ y, block });
      y += block.height;
    }
    i = end + 1;
  }
  return pages;
}
