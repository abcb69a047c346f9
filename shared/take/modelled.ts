/** A score on modelled strings: the bridge force of every string of an instrument. */
import { amplitudeOfDb } from '../decibels.ts';
import type { Instrument } from '../document/build.ts';
import { familyOf } from '../string/sets.ts';
import { stringModel } from '../string/stiff.ts';
import { addDamped, DAMPING_TIME } from './damping.ts';
import { lossesOf } from './losses.ts';
import { contactSamples, type Pluck, pluckedNote } from './modal.ts';
import { seedOf, uniform } from './random.ts';
import { type Score, type ScoreNote, scoreDuration, stringShift } from './score.ts';

/** Force of the strongest pluck over the string's tension: 2.3 N on a low E, 2 mm at 8 cm from the saddle. */
const STRONGEST = 0.03;
/** Pluck point when the score gives none, as a share of the open string. */
const USUAL_PLUCK = 0.2;

/** Where a string is plucked when nothing else is said, m from the saddle; of an instrument: of its shortest string. */
export const usualPluck = (...scales: readonly number[]): number => USUAL_PLUCK * Math.min(...scales);
/** Plectrum, when the score gives no touch. */
const WIDTH = 1.5e-3;
const RELEASE = 0.35e-3;
/** Drawing aside takes two and a half periods, which leaves the fundamental (and odd partials) at rest. */
const PULL_PERIODS = 2.5;

export interface Rendering {
  /** One per string of the instrument, N. */
  channels: Float32Array[];
}

/** The pluck of one score note on a string; `random` varies force and direction a little, as a hand does. */
export const pluckOf = (
  instrument: Instrument,
  index: number,
  note: ScoreNote,
  at: number | undefined,
  random: () => number,
): Pluck => {
  const spec = instrument.strings[index];
  const s = stringModel(spec);
  return {
    fret: note.fret,
    at: at ?? note.pluck ?? usualPluck(spec.scale),
    force: note.velocity * STRONGEST * s.tension * amplitudeOfDb(random() - 0.5),
    width: note.width ?? WIDTH,
    release: note.release ?? RELEASE,
    pull: PULL_PERIODS / (s.f0 * 2 ** (note.fret / 12)),
    second: {
      share: 0.1 + 0.12 * random(),
      detune: 2e-4 + 4e-4 * random(),
      decay: 1.3 + 0.4 * random(),
    },
  };
};

/**
 * Computes a score note by note; yields the share done after each, so that a worker can report and stop.
 * @param pluck overrides the score's pluck points, m from the saddle
 */
export function* modelledSteps(
  score: Score,
  instrument: Instrument,
  sampleRate: number,
  pluck?: number,
): Generator<number, Rendering> {
  const shift = stringShift(score, instrument);
  if (shift === null)
    throw new RangeError(
      `“${score.name}” needs ${score.open.length} strings; this instrument has ${instrument.strings.length}`,
    );
  const family = familyOf(instrument);
  const frames = Math.ceil(scoreDuration(score) * sampleRate);
  const channels = instrument.strings.map(() => new Float32Array(frames));
  const random = uniform(seedOf(score.id));
  const notes = [...score.notes].sort((a, b) => a.time - b.time);
  // Drawn in the order of the notes, so that a note's variation does not depend on the strings' order.
  const plucks = notes.map(note => pluckOf(instrument, note.string - 1 + shift, note, pluck, random));
  const starts = notes.map((note, i) => Math.round(note.time * sampleRate) - contactSamples(plucks[i], sampleRate));
  let done = 0;
  for (let i = 0; i < notes.length; i++) {
    const index = notes[i].string - 1 + shift;
    const next = notes.findIndex((other, j) => j > i && other.string === notes[i].string);
    // The hand that plucks again touches the string first.
    const end = Math.min(
      Math.round((notes[i].time + notes[i].duration) * sampleRate),
      next < 0 ? Number.POSITIVE_INFINITY : Math.max(starts[i] + 1, starts[next]),
    );
    const length = Math.min(frames, Math.ceil(end + DAMPING_TIME * sampleRate)) - starts[i];
    if (length > 0) {
      const spec = instrument.strings[index];
      const losses = lossesOf(spec, family, notes[i].fret);
      addDamped(
        channels[index],
        pluckedNote(stringModel(spec), losses, plucks[i], length, sampleRate),
        starts[i],
        end,
        sampleRate,
      );
    }
    done++;
    yield done / notes.length;
  }
  return { channels };
}
