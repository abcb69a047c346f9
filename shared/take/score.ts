/** What is played: notes on strings, as data, and which strings of an instrument they fall on. */
import type { Instrument } from '../document/build.ts';
import { notePitch } from '../units.ts';

export interface ScoreNote {
  /** String number as the score counts, 1 is the highest. */
  string: number;
  fret: number;
  /** When the string is let go, s. */
  time: number;
  /** Until it is damped, s. */
  duration: number;
  /** 0 to 1: share of a strong pluck's force. */
  velocity: number;
  /** Pluck point, m from the saddle; absent: a fifth of the scale. */
  pluck?: number;
  /** Length of string touched, m. */
  width?: number;
  /** Time in which the force leaves, s. */
  release?: number;
}

export interface Score {
  id: string;
  name: string;
  /** Quarter notes per minute. */
  tempo?: number;
  /** Open notes of the strings it is written for, highest first. */
  open: readonly string[];
  notes: readonly ScoreNote[];
}

/** Time from the last note's damping to the end of the take, s. */
export const TAIL = 0.35;

/** Length of a score, s. */
export const scoreDuration = (score: Score): number =>
  Math.max(0, ...score.notes.map(note => note.time + note.duration)) + TAIL;

/**
 * How far the score's string numbers are moved on this instrument (1: its string 1 falls on string 2): the place where
 * the open pitches agree best. Null when the instrument has too few strings.
 */
export const stringShift = (score: Score, instrument: Instrument): number | null => {
  const pitches = instrument.strings.map(s => Math.log2(s.pitch));
  const wanted = score.open.map(name => Math.log2(notePitch(name) ?? Number.NaN));
  let best: number | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (let shift = 0; shift + wanted.length <= pitches.length; shift++) {
    const distance = wanted.reduce((sum, pitch, i) => sum + Math.abs(pitch - pitches[i + shift]), 0);
    if (distance < least) [best, least] = [shift, distance];
  }
  return best;
};
