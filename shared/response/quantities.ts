/**
 * Every quantity that is read off a response, each with one name and one definition. What the page, the sheet and the
 * command line print are `Figure`s, made in `figures.ts`; `src/words/quantity-words.ts` says what each is called and
 * means.
 */

import type { TestPoint } from '../document/build.ts';

/** Unit of each quantity; `dB` always against what its name says. */
export const QUANTITIES = {
  /** Mean over the strings of a pluck's power at a test point (`pluckLevel`), re 1 unit of the test point per N. */
  level: 'dB',
  /** Mean power of all strings in the octave around `at.octave`, against that in the octave around 250 Hz. */
  octave: 'dB',
  /** Highest point of what coils, controls and load make of equal, aiding EMFs. */
  resonance: 'Hz',
  /** That point, over the level at low frequencies. */
  peak: 'dB',
  /** A uniform alternating field at 100 Hz, against one coil of mean turns without load; −∞: it cancels. */
  hum: 'dB',
  /** The second-order low-pass nearest to coils and load: its natural frequency, … */
  natural: 'Hz',
  /** … its quality factor, … */
  quality: '1',
  /** … how far the network departs from it at most, from 20 Hz to twice its frequency, … */
  departure: 'dB',
  /** … and what the network falls from four to eight times its frequency. */
  slope: 'dB/octave',
  /** A dip of one string's response, its depth below the line through its shoulders, the partial it falls on. */
  dip: 'Hz',
  depth: 'dB',
  partial: '1',
} as const;

export type Quantity = keyof typeof QUANTITIES;

/** What a figure is a figure of. */
export interface Where {
  point: TestPoint;
  /** Index of the output. */
  output: number;
  /** Index of the string. */
  string?: number;
  fret?: number;
  /** Centre of the octave, Hz. */
  octave?: number;
  /** Index among figures of one kind, in order of frequency. */
  order?: number;
}

export interface Figure {
  quantity: Quantity;
  /** Null: there is none. */
  value: number | null;
  unit: (typeof QUANTITIES)[Quantity];
  at: Where;
}

export const figure = (quantity: Quantity, value: number | null, at: Where): Figure => ({
  quantity,
  value,
  unit: QUANTITIES[quantity],
  at,
});

/** The value of a quantity in a list of figures; null: it is not among them, or there is none. */
export const figureValue = (figures: readonly Figure[], quantity: Quantity): number | null =>
  figures.find(one => one.quantity === quantity)?.value ?? null;

/** All values of a quantity, in their order. */
export const figureValues = (figures: readonly Figure[], quantity: Quantity): (number | null)[] =>
  figures.filter(one => one.quantity === quantity).map(one => one.value);
