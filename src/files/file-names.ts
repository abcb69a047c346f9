/** File names that say what is in the file, in letters that every file system and archive takes. Pure. */
import type { TestPoint } from '../../shared/document/build.ts';
import type { Letter } from '../../shared/document/sheet.ts';

/** Letters, digits and hyphens of a text, at most 40: `Neck, two coils` → `Neck-two-coils`. */
export const fileStem = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/[\u0300-\u036f]/g, '')
    .replace(/[^A-Za-z0-9]+/g, '-')
    .slice(0, 40)
    .replace(/^-+|-+$/g, '');

export interface RenderedName {
  letter: Letter;
  build: string;
  take: string;
  point: TestPoint;
  matched: boolean;
  /** Hz. */
  sampleRate: number;
  bits: 16 | 24 | '32f';
}

const kilohertz = (rate: number): string => `${Number((rate / 1000).toFixed(3))}kHz`;

/** `B_Bridge-single-coil_open-strings-strum_TP5_matched_48kHz_24bit.wav` */
export const renderedName = ({ letter, build, take, point, matched, sampleRate, bits }: RenderedName): string =>
  [
    letter,
    fileStem(build) || 'build',
    fileStem(take) || 'take',
    `TP${point}`,
    matched ? 'matched' : 'true-level',
    kilohertz(sampleRate),
    bits === '32f' ? '32bit-float' : `${bits}bit`,
  ].join('_') + '.wav';
