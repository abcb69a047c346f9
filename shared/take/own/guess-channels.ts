/** Which string a channel holds, guessed from the pitches that sound in it. */
import { powerOfDb } from '../../decibels.ts';
import type { Instrument } from '../../document/build.ts';
import { coarsePitch, NoteError } from '../estimate/partials.ts';
import type { ChannelRole } from './own-take.ts';

/** Seconds looked at a time, and at most so many pieces of a channel. */
const PIECE = 0.4;
const MOST_PIECES = 40;
/** Where in a piece its pitch is looked at again. */
const LATER = 0.4;
/** Rate that is enough for pitches, Hz. */
const ENOUGH = 12000;
/** Pieces this far below the loudest are not looked at, dB. */
const QUIET = 30;
/** Frets taken for played if the instrument has none, and slack for tuning, semitones. */
const REACH = 24;
const SLACK = 0.6;
/** Channels whose pitches differ by less hold the same, semitones. */
const ALIKE = 0.05;

const semitones = (a: number, b: number): number => 12 * Math.log2(a / b);

export interface Heard {
  /** Lowest and highest clear pitch, Hz. */
  low: number;
  high: number;
  /** Share of the loud pieces that had one clear pitch: low for chords. */
  clear: number;
}

/** Means of every `every` samples: enough for a pitch, and sixteen times quicker at a quarter of the rate. */
function thinned(samples: Float32Array, every: number): Float32Array {
  const out = new Float32Array(Math.floor(samples.length / every));
  for (let i = 0; i < out.length; i++) {
    let sum = 0;
    for (let j = i * every; j < (i + 1) * every; j++) sum += samples[j];
    out[i] = sum / every;
  }
  return out;
}

/** Where a recording of `frames` samples is looked at, [from, to] in samples: evenly spread, so that a long one need not be read whole. */
export function pitchPieces(frames: number, sampleRate: number): [from: number, to: number][] {
  const length = Math.round(PIECE * sampleRate);
  const count = Math.max(1, Math.floor(frames / length));
  const step = Math.max(1, Math.ceil(count / MOST_PIECES));
  const pieces: [number, number][] = [];
  for (let i = 0; i < count; i += step) pieces.push([i * length, Math.min(frames, (i + 1) * length)]);
  return pieces;
}

/** Pitches that sound in pieces of a channel; null: silence, or nothing with a clear pitch. */
export function pitchesOf(pieces: readonly Float32Array[], sampleRate: number): Heard | null {
  const energies = pieces.map(piece => piece.reduce((sum, x) => sum + x * x, 0));
  const loudest = Math.max(...energies);
  if (!(loudest > 0)) return null;
  const loud = pieces.filter((_, i) => energies[i] > loudest * powerOfDb(-QUIET));
  const every = Math.max(1, Math.floor(sampleRate / ENOUGH));
  const pitchAt = (samples: Float32Array): number | null => {
    try {
      return coarsePitch(thinned(samples, every), sampleRate / every);
    } catch (error) {
      if (error instanceof NoteError) return null;
      throw error;
    }
  };
  const found: number[] = [];
  let clear = 0;
  for (const piece of loud) {
    const first = pitchAt(piece);
    if (first === null) continue;
    clear++;
    // a piece over the border of two notes shows a pitch that neither has
    const later = pitchAt(piece.subarray(Math.round(LATER * piece.length)));
    if (later !== null && Math.abs(semitones(later, first)) < SLACK) found.push(first);
  }
  if (found.length === 0) return null;
  found.sort((a, b) => a - b);
  // a single slip of an octave must not decide
  const slip = found.length > 8 ? Math.floor(found.length / 10) : 0;
  return { low: found[slip], high: found[found.length - 1 - slip], clear: clear / loud.length };
}

/**
 * A role for each channel: the highest string that reaches its lowest pitch and is still free; several strings where one
 * string cannot play all that sounds; off for silence, while others sound.
 */
export function guessRoles(heard: readonly (Heard | null)[], instrument: Instrument): ChannelRole[] {
  const open = instrument.strings.map(string => string.pitch);
  const reach = (instrument.frets || REACH) + SLACK;
  const fits = (string: number, { low, high }: Heard) =>
    semitones(low, open[string]) >= -SLACK && semitones(high, open[string]) <= reach;
  const roles = heard.map((): ChannelRole => ({ kind: 'off' }));
  const sounding: { one: Heard; channel: number }[] = [];
  heard.forEach((one, channel) => {
    // the two sides of a stereo recording of one string are one
    const again = sounding.some(
      ({ one: other }) =>
        one !== null &&
        Math.abs(semitones(other.low, one.low)) < ALIKE &&
        Math.abs(semitones(other.high, one.high)) < ALIKE,
    );
    if (one !== null && !again) sounding.push({ one, channel });
  });
  sounding.sort((a, b) => b.one.low - a.one.low);
  const taken = new Set<number>();
  const lowest = open.indexOf(Math.min(...open));
  for (const { one, channel } of sounding) {
    const able = open.map((_, string) => string).filter(string => fits(string, one) && !taken.has(string));
    // highest open pitch first: the lowest note of a part is most often near the nut
    const [string] = able.sort((a, b) => open[b] - open[a]);
    if (string === undefined || one.clear < 0.5) {
      const reference = open.findIndex((pitch, s) => !taken.has(s) && semitones(one.low, pitch) >= -SLACK);
      const chosen = reference >= 0 ? reference : lowest;
      if (!taken.has(chosen)) {
        taken.add(chosen);
        roles[channel] = { kind: 'mixed', reference: chosen + 1 };
      }
    } else {
      taken.add(string);
      roles[channel] = { kind: 'string', string: string + 1 };
    }
  }
  // something must sound: an unclear recording is taken as a mixture
  if (!roles.some(role => role.kind !== 'off')) roles[0] = { kind: 'mixed', reference: lowest + 1 };
  return roles;
}
