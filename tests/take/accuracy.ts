/** Errors of estimated places over modelled notes with known truth, in millimetres. */

import { toEnd } from '../../shared/steps.ts';
import { partial, stringModel } from '../../shared/string/stiff.ts';
import type { NoteLevels } from '../../shared/take/estimate/evidence.ts';
import { notePartials } from '../../shared/take/estimate/partials.ts';
import { type PlaceEstimate, placesSteps } from '../../shared/take/estimate/pickup-place.ts';
import { uniform } from '../../shared/take/random.ts';
import { guitar, knownNote, RATE } from './known-notes.ts';

export interface Group {
  string: number;
  frets: readonly number[];
  /** m. */
  pickup: number;
  seed: number;
}
export interface Errors {
  pickup: number[];
  pluck: number[];
  /** Cents and ratio of f0 and B against the truth. */
  pitch: number[];
  B: number[];
}

export const placesOf = (notes: readonly NoteLevels[]): PlaceEstimate => toEnd(placesSteps(notes));

/** Estimates each group of notes (one pickup, plucks at 5 to 35 % of the sounding length, 60 dB SNR) and collects errors. */
export const errorsOf = (groups: readonly Group[]): Errors => {
  const errors: Errors = { pickup: [], pluck: [], pitch: [], B: [] };
  for (const { string, frets, pickup, seed } of groups) {
    const random = uniform(seed);
    const plucks = frets.map(() => 0.05 + 0.3 * random());
    const notes = frets.map((fret, i) => ({
      string: string + 1,
      length: 0.648 * 2 ** (-fret / 12),
      partials: notePartials(knownNote({ string, fret, pluck: plucks[i], pickup, seed: seed + i, snr: 60 }), RATE, {
        pitch: null,
        inharmonicity: null,
      }),
    }));
    const found = placesOf(notes);
    errors.pickup.push(Math.abs(found.pickup.distance - pickup) * 1e3);
    found.notes.forEach((note, i) => {
      const s = stringModel(guitar.strings[string]);
      errors.pluck.push(Math.abs(note.pluck.distance - plucks[i] * 0.648 * 2 ** (-frets[i] / 12)) * 1e3);
      const f0 = partial({ ...s, B: 0 }, 1, frets[i]);
      errors.pitch.push(Math.abs(1200 * Math.log2(notes[i].partials.f0 / f0)));
      errors.B.push(Math.abs(notes[i].partials.B / (s.B * 2 ** (frets[i] / 6)) - 1));
    });
  }
  return errors;
};

export const mean = (x: readonly number[]): number => x.reduce((a, b) => a + b, 0) / x.length;
export const median = (x: readonly number[]): number => [...x].sort((a, b) => a - b)[Math.floor(x.length / 2)];

export const report = (errors: Errors): string =>
  `mean absolute error: pickup ${mean(errors.pickup).toFixed(2)} mm (median ${median(errors.pickup).toFixed(2)}, worst ${Math.max(...errors.pickup).toFixed(1)}), pluck ${mean(errors.pluck).toFixed(2)} mm (median ${median(errors.pluck).toFixed(2)}); ${errors.pickup.length} pickups, ${errors.pluck.length} notes; published: 3.53 and 5.11 mm`;
