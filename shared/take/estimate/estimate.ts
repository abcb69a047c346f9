/** Single notes found in the strings' channels of a recording, and from all of them where pickup and plucks were. */
import type { StringSpec } from '../../document/build.ts';
import type { Steps } from '../../steps.ts';
import { stringModel } from '../../string/stiff.ts';
import { FEWEST } from './evidence.ts';
import { NoteError, type NotePartials, notePartials } from './partials.ts';
import { type PlaceEstimate, placesSteps } from './pickup-place.ts';

/** A channel that holds one string. */
export interface StringChannel {
  samples: Float32Array;
  /** 1: the highest. */
  string: number;
  spec: StringSpec;
}

export interface EstimatedNote {
  /** s from the start of the take. */
  at: number;
  /** 1: the highest. */
  string: number;
  fret: number;
  /** Sounding length, m. */
  length: number;
  partials: NotePartials;
}

export interface Estimate {
  notes: EstimatedNote[];
  places: PlaceEstimate;
  /** Notes that could not be used: where, s, and why, as part of a sentence. */
  skipped: { at: number; string: number; why: string }[];
}

/** Notes that lie below the open string that they are said to be of. */
export class TuningError extends Error {
  override name = 'TuningError';
  /** 1: the highest. */
  readonly string: number;
  /** Pitch that was found, Hz. */
  readonly lowest: number;
  /** Pitch of the open string, Hz. */
  readonly open: number;

  constructor(string: number, lowest: number, open: number) {
    super(`string ${string} sounds at ${lowest.toFixed(1)} Hz, below its open pitch of ${open.toFixed(1)} Hz`);
    this.string = string;
    this.lowest = lowest;
    this.open = open;
  }
}

/** Most notes used of a string: more say little that is new. */
const MOST_NOTES = 12;
const MOST_FRET = 36;
/** How far a string may be flat before its notes count as below it, semitones. */
const FLAT = 0.6;
/** So many notes below the open string tell of a string that is tuned lower; one alone was misread. */
const TUNED_LOWER = 2;
const FRAME = 0.01;
/** Longest piece of a note that is looked at, s. */
const PIECE = 2;
/** A note begins at most this long before the rise of its level, s. */
const BEFORE = 0.03;

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

interface Start {
  channel: StringChannel;
  at: number;
  piece: Float32Array;
}

/** At most `MOST_NOTES` a channel, spread over the whole of it, so that early frets do not crowd out late ones. */
const startsOf = (channel: StringChannel, sampleRate: number): Start[] => {
  const all = onsets(channel.samples, sampleRate);
  const every = Math.max(1, all.length / MOST_NOTES);
  const chosen = Array.from({ length: Math.min(MOST_NOTES, all.length) }, (_, k) => Math.floor(k * every));
  return chosen.map(i => {
    const from = Math.max(0, Math.round((all[i] - BEFORE) * sampleRate));
    const to = Math.round(((all[i + 1] ?? Number.POSITIVE_INFINITY) - BEFORE) * sampleRate);
    return { channel, at: all[i], piece: channel.samples.subarray(from, Math.min(to, from + PIECE * sampleRate)) };
  });
};

/** Share of the work that reading the notes is; the rest is weighing them. */
const READING = 0.5;

/**
 * Places of one pickup and of every pluck from the strings' channels of a recording, yielding how far it has come, 0 to 1.
 * @throws TuningError when notes lie below their open string
 * @throws NoteError with part of a sentence when no note can be used
 */
export function* estimateSteps(channels: readonly StringChannel[], sampleRate: number): Steps<Estimate> {
  const starts = channels.flatMap(channel => startsOf(channel, sampleRate));
  const notes: EstimatedNote[] = [];
  const skipped: Estimate['skipped'] = [];
  const below: { at: number; string: number; f0: number }[] = [];
  for (const [i, { channel, at, piece }] of starts.entries()) {
    const { string, spec } = channel;
    try {
      const partials = notePartials(piece, sampleRate, { pitch: null, inharmonicity: null });
      if (partials.level.length < FEWEST) throw new NoteError(`fewer than ${FEWEST} of its partials stand out`);
      const fretted = 12 * Math.log2(partials.f0 / stringModel(spec).f0);
      if (fretted < -FLAT) {
        below.push({ at, string, f0: partials.f0 });
        continue;
      }
      const fret = Math.max(0, Math.round(fretted));
      if (fret > MOST_FRET)
        throw new NoteError(`its pitch, ${partials.f0.toFixed(1)} Hz, is above the last fret of this string`);
      notes.push({ at, string, fret, length: spec.scale * 2 ** (-fret / 12), partials });
    } catch (error) {
      if (!(error instanceof NoteError)) throw error;
      skipped.push({ at, string, why: error.message });
    }
    yield (READING * (i + 1)) / starts.length;
  }
  for (const { string, spec } of channels) {
    const lower = below.filter(note => note.string === string);
    const open = stringModel(spec).f0;
    if (lower.length >= TUNED_LOWER || (lower.length > 0 && !notes.some(note => note.string === string)))
      throw new TuningError(string, Math.min(...lower.map(({ f0 }) => f0)), open);
    for (const { at, f0 } of lower)
      skipped.push({ at, string, why: `its pitch, ${f0.toFixed(1)} Hz, is below the open string` });
  }
  if (notes.length === 0)
    throw new NoteError(
      starts.length === 0
        ? 'no start of a note was found; trim the take to single notes, each left to ring'
        : `no note could be used: ${skipped.at(-1)?.why}`,
    );
  const weighing = placesSteps(notes);
  for (;;) {
    const step = weighing.next();
    if (step.done) return { notes, places: step.value, skipped };
    yield READING + (1 - READING) * step.value;
  }
}
