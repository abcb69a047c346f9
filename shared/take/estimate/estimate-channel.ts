/** Single notes of one string found in a channel, and where pickup and pluck were, from the levels of their partials. */
import type { StringSpec } from '../../document/build.ts';
import { stringModel } from '../../string/stiff.ts';
import { NoteError, type NotePartials, notePartials } from './partials.ts';
import { estimatePlaces, type PlaceEstimate } from './places.ts';

export interface EstimatedNote {
  /** s from the start of the take. */
  at: number;
  fret: number;
  /** Sounding length, m. */
  length: number;
  partials: NotePartials;
}

export interface Estimate {
  string: number;
  notes: EstimatedNote[];
  places: PlaceEstimate;
  /** Notes that could not be used. */
  skipped: number;
}

/** Most notes used: more say little that is new. */
const MOST_NOTES = 8;
const FRAME = 0.01;

/** Starts of notes, s: where the level rises by more than 9 dB within 30 ms and is not far below the loudest. */
export function onsets(samples: Float32Array, sampleRate: number): number[] {
  const frame = Math.round(FRAME * sampleRate);
  const energy: number[] = [];
  for (let i = 0; i + frame <= samples.length; i += frame) {
    let sum = 0;
    for (let j = i + 1; j < i + frame; j++) sum += (samples[j] - samples[j - 1]) ** 2;
    energy.push(sum);
  }
  const most = Math.max(0, ...energy);
  const found: number[] = [];
  for (let i = 0; i < energy.length; i++) {
    if (energy[i] < 0.02 * most) continue;
    const before = Math.max(energy[i - 3] ?? 0, 1e-6 * most);
    const last = found.at(-1);
    if (energy[i] > 8 * before && (last === undefined || i * FRAME - last > 0.25)) found.push(i * FRAME);
  }
  return found;
}

/** @throws Error with a sentence when no note can be used */
export function estimate(samples: Float32Array, sampleRate: number, spec: StringSpec, string: number): Estimate {
  const starts = onsets(samples, sampleRate);
  const model = stringModel(spec);
  const notes: EstimatedNote[] = [];
  let skipped = 0;
  let why = '';
  for (let i = 0; i < starts.length && notes.length < MOST_NOTES; i++) {
    const from = Math.max(0, Math.round((starts[i] - 0.03) * sampleRate));
    const to = Math.round(((starts[i + 1] ?? Number.POSITIVE_INFINITY) - 0.03) * sampleRate);
    const piece = samples.subarray(from, Math.min(to, from + 2 * sampleRate));
    try {
      const partials = notePartials(piece, sampleRate, { pitch: null, inharmonicity: null });
      const ratio = partials.f0 / model.f0;
      const fret = Math.round(12 * Math.log2(ratio));
      if (fret < 0 || fret > 36) throw new NoteError(`its pitch, ${partials.f0.toFixed(1)} Hz, is not of this string`);
      if (partials.level.length < 6) throw new NoteError('fewer than six of its partials stand out');
      notes.push({ at: starts[i], fret, length: spec.scale * 2 ** (-fret / 12), partials });
    } catch (error) {
      if (!(error instanceof NoteError)) throw error;
      skipped++;
      why = error.message;
    }
  }
  if (notes.length === 0)
    throw new Error(
      starts.length === 0
        ? 'no start of a note was found; trim the take to single notes, each left to ring'
        : `no note could be used: ${why}`,
    );
  return { string, notes, places: estimatePlaces(notes), skipped };
}
