/** How a build is told apart in every drawing: by letter, colour and line pattern together. */
import type { Letter } from '../../shared/document/sheet.ts';

/** SVG dash patterns, px; empty: solid. */
export const DASH: Record<Letter, string> = {
  A: '',
  B: '7 4',
  C: '2 3',
  D: '10 3 2 3',
  E: '14 4',
  F: '4 2',
  G: '1 3',
  H: '10 3 2 3 2 3',
};

export const colourOf = (letter: Letter): string => `var(--build-${letter.toLowerCase()})`;
