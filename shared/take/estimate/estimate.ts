/** From recordings of single notes on known strings and frets to where they were plucked and picked up. */
import type { StringSpec } from '../../document/build.ts';
import { stoppedLength } from '../../string/frets.ts';
import { partial, stringModel } from '../../string/stiff.ts';
import { NoteError, type NotePartials, notePartials } from './partials.ts';
import { estimatePlaces, type PlaceEstimate } from './places.ts';

export interface NoteRecording {
  samples: Float32Array;
  /** Hz. */
  sampleRate: number;
  string: StringSpec;
  fret: number;
}

export interface NoteEstimate extends PlaceEstimate {
  /** One per note given: onset (s), f0 (Hz), B and levels. */
  partials: NotePartials[];
}

/** Farthest a note may lie from the pitch its string and fret promise, semitones. */
const MISTUNED = 1.5;
const FEWEST = 6;

/**
 * Places of one pickup and of every pluck from single notes.
 * @throws NoteError with a sentence that names the note and says what would work
 */
export const estimateNotes = (notes: readonly NoteRecording[]): NoteEstimate => {
  if (notes.length === 0) throw new NoteError('no note was given; at least one single note is needed');
  const partials = notes.map(({ samples, sampleRate, string, fret }) => {
    const where = `${string.name}, fret ${fret}`;
    const expected = partial(stringModel(string), 1, fret);
    let found: NotePartials;
    try {
      found = notePartials(samples, sampleRate, { pitch: null, inharmonicity: null });
      // A weak fundamental can hide the octave; the string's own pitch then leads.
      if (Math.abs(12 * Math.log2(found.f0 / expected)) > MISTUNED) {
        const led = notePartials(samples, sampleRate, { pitch: expected, inharmonicity: null });
        if (led.level.length >= FEWEST) found = led;
      }
    } catch (error) {
      throw error instanceof NoteError ? new NoteError(`${where}: ${error.message}`) : error;
    }
    const off = 12 * Math.log2(found.f0 / expected);
    if (!(Math.abs(off) <= MISTUNED))
      throw new NoteError(
        `${where}: the note sounds at ${found.f0.toFixed(1)} Hz, this string and fret at ${expected.toFixed(1)} Hz; check string, fret and tuning`,
      );
    if (found.level.length < FEWEST)
      throw new NoteError(
        `${where}: only ${found.level.length} partials stand out of the noise, ${FEWEST} are needed; a louder note on a lower fret works better`,
      );
    return found;
  });
  const places = estimatePlaces(
    notes.map(({ string, fret }, i) => ({ partials: partials[i], length: stoppedLength(string.scale, fret) })),
  );
  return { ...places, partials };
};
