/** The scores: our own music, short, made to show what pickups do. General ones are made for any instrument. */
import type { Instrument } from '../document/build.ts';
import type { Score, ScoreNote } from './score.ts';

const GUITAR = ['E4', 'B3', 'G3', 'D3', 'A2', 'E2'] as const;
const BASS = ['G2', 'D2', 'A1', 'E1'] as const;

/** Plectrum: narrow, quick. Finger: wide, slow. Middling values, from memory. */
const PICK = { width: 1.5e-3, release: 0.35e-3 };
const FINGER = { width: 7e-3, release: 1.6e-3 };

type Step = readonly [beat: number, string: number, fret: number, length: number, velocity: number];
/** Notes from beats at a tempo. */
const steps = (tempo: number, touch: typeof PICK, list: readonly Step[]): ScoreNote[] =>
  list.map(([beat, string, fret, length, velocity]) => ({
    string,
    fret,
    time: 0.1 + (beat * 60) / tempo,
    duration: (length * 60) / tempo,
    velocity,
    ...touch,
  }));

/** Open names for a score made for this very instrument: pitches as they are. */
const openOf = (instrument: Instrument): string[] => {
  const names = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];
  return instrument.strings.map(s => {
    const midi = Math.round(69 + 12 * Math.log2(s.pitch / 440));
    return `${names[midi % 12]}${Math.floor(midi / 12) - 1}`;
  });
};
const numbers = (instrument: Instrument): number[] => instrument.strings.map((_, i) => i + 1);

/** Touch of a note; recordings bring their own. */
type Touch = typeof PICK | Record<string, never>;
/** Open strings struck in this order, `spread` seconds from one to the next, that end together. */
const stroke = (touch: Touch, order: number[], time: number, duration: number, spread: number, velocity: number) =>
  order.map(
    (string, i): ScoreNote => ({
      ...touch,
      string,
      fret: 0,
      time: time + i * spread,
      duration: duration - i * spread,
      velocity: velocity * (1 - 0.03 * i),
    }),
  );
/** Notes one by one, alike, every so many seconds. */
const oneByOne = (
  touch: Touch,
  notes: (readonly [string: number, fret: number])[],
  alike: { from: number; every: number; duration: number; velocity: number },
) =>
  notes.map(([string, fret], i): ScoreNote => {
    const { from, every, duration, velocity } = alike;
    return { ...touch, string, fret, time: from + every * i, duration, velocity };
  });

/** Every open string from the lowest, then a few stopped notes on the lowest and the highest. */
const singleNotes = (instrument: Instrument): Score => {
  const count = instrument.strings.length;
  const open = numbers(instrument)
    .reverse()
    .map(string => [string, 0] as const);
  const frets = [3, 5, 7, 12].filter(fret => fret <= Math.max(instrument.frets, 7));
  const stopped = [count, 1].flatMap(string => frets.map(fret => [string, fret] as const));
  return {
    id: 'modelled-single-notes',
    name: 'Single notes',
    open: openOf(instrument),
    notes: [
      ...oneByOne(PICK, open, { from: 0.1, every: 0.9, duration: 0.85, velocity: 0.7 }),
      ...oneByOne(PICK, stopped, { from: 0.1 + 0.9 * count, every: 0.6, duration: 0.55, velocity: 0.7 }),
    ],
  };
};

/** Down and up strums over every string. */
const strum = (instrument: Instrument): Score => {
  const up = numbers(instrument);
  const down = [...up].reverse();
  return {
    id: 'modelled-strum',
    name: 'Strum',
    open: openOf(instrument),
    notes: [
      ...stroke(PICK, down, 0.1, 1.9, 0.016, 0.75),
      ...stroke(PICK, down, 2.0, 0.72, 0.012, 0.6),
      ...stroke(PICK, up, 2.75, 0.45, 0.01, 0.5),
      ...stroke(PICK, down, 3.25, 3.6, 0.022, 0.8),
    ],
  };
};

/** One long note on the lowest string, for comparing. */
const longNote = (instrument: Instrument): Score => ({
  id: 'modelled-long-note',
  name: 'One long note',
  open: openOf(instrument),
  notes: [{ ...PICK, string: instrument.strings.length, fret: 0, time: 0.1, duration: 6, velocity: 0.75 }],
});

// What follows are tables of notes, alike in shape.
const RIFF: Score = {
  id: 'modelled-riff',
  name: 'Riff',
  tempo: 104,
  open: GUITAR,
  notes: steps(104, PICK, [
    [0, 5, 3, 0.7, 0.85],
    [0.75, 4, 0, 0.7, 0.65],
    [1.5, 4, 5, 0.45, 0.75],
    [2, 5, 5, 0.9, 0.8],
    [3, 6, 1, 0.45, 0.7],
    [3.5, 6, 3, 0.45, 0.6],
    [4, 4, 3, 1.2, 0.85],
    [5.25, 3, 1, 0.45, 0.65],
    [5.75, 4, 5, 0.2, 0.6],
    [6, 3, 3, 0.7, 0.75],
    [6.75, 2, 1, 1.1, 0.75],
    [8, 2, 4, 0.45, 0.8],
    [8.5, 3, 5, 0.7, 0.7],
    [9.25, 1, 3, 0.7, 0.8],
    [10, 1, 1, 0.9, 0.7],
    [11, 2, 3, 0.7, 0.65],
    [11.75, 4, 3, 0.2, 0.6],
    [12, 6, 3, 3.6, 0.85],
    [12.04, 5, 5, 3.5, 0.75],
    [12.08, 4, 5, 3.5, 0.7],
    [12.12, 3, 2, 3.4, 0.7],
    [12.16, 2, 3, 3.4, 0.65],
    [12.2, 1, 3, 3.4, 0.65],
  ]),
};

const BASS_LINE: Score = {
  id: 'modelled-bass-line',
  name: 'Bass line',
  tempo: 92,
  open: BASS,
  notes: steps(92, FINGER, [
    [0, 2, 3, 0.65, 0.8],
    [0.75, 3, 5, 0.4, 0.6],
    [1.25, 3, 3, 0.7, 0.75],
    [2, 4, 6, 0.9, 0.8],
    [3.25, 3, 1, 0.4, 0.65],
    [3.75, 3, 3, 0.2, 0.6],
    [4, 3, 5, 1.2, 0.8],
    [5.25, 2, 5, 0.45, 0.7],
    [5.75, 1, 3, 0.7, 0.75],
    [6.5, 1, 0, 0.45, 0.65],
    [7, 2, 1, 0.9, 0.7],
    [8, 4, 1, 0.65, 0.8],
    [8.75, 4, 8, 0.4, 0.65],
    [9.25, 3, 6, 0.7, 0.7],
    [10, 2, 6, 0.45, 0.7],
    [10.5, 1, 5, 0.7, 0.75],
    [11.25, 1, 2, 0.7, 0.7],
    [12, 4, 3, 3.2, 0.85],
  ]),
};

// Scores over recorded open strings; a fret is reached by resampling two semitones at most.
const ARPEGGIO: Score = {
  id: 'open-strings-arpeggio',
  name: 'Arpeggio',
  tempo: 96,
  open: GUITAR,
  notes: steps(96, PICK, [
    [0, 5, 0, 3.9, 0.9],
    [0.75, 2, 0, 3.1, 0.7],
    [1.25, 4, 0, 2.6, 0.65],
    [2, 1, 2, 1.9, 0.8],
    [2.5, 3, 2, 1.4, 0.65],
    [3.25, 2, 0, 0.7, 0.7],
    [4, 6, 2, 3.9, 0.9],
    [4.5, 3, 2, 3.4, 0.65],
    [5.25, 1, 0, 2.6, 0.8],
    [5.75, 4, 0, 2.1, 0.65],
    [6.5, 2, 2, 1.4, 0.7],
    [7.25, 5, 0, 0.7, 0.7],
    [8, 5, 2, 4, 0.9],
    [8.07, 4, 2, 4, 0.8],
    [8.14, 3, 1, 4, 0.8],
    [8.21, 2, 0, 3.6, 0.75],
    [8.28, 1, 2, 3, 0.75],
  ]),
};
const LOWEST_FIRST = [6, 5, 4, 3, 2, 1];
const OPEN_STRUM: Score = {
  id: 'open-strings-strum',
  name: 'Strum',
  open: GUITAR,
  notes: [
    ...stroke({}, LOWEST_FIRST, 0.1, 1.85, 0.02, 0.8),
    ...stroke({}, LOWEST_FIRST, 2, 1.85, 0.014, 0.65),
    ...stroke({}, LOWEST_FIRST, 4, 4.6, 0.028, 0.9),
  ],
};
const OPEN_NOTES: Score = {
  id: 'open-strings-notes',
  name: 'Single notes',
  open: GUITAR,
  notes: oneByOne(
    {},
    LOWEST_FIRST.map(string => [string, 0] as const),
    { from: 0.1, every: 1.6, duration: 1.55, velocity: 0.85 },
  ),
};

const GENERAL: Record<string, (instrument: Instrument) => Score> = {
  'modelled-single-notes': singleNotes,
  'modelled-strum': strum,
  'modelled-long-note': longNote,
};
const FIXED = [RIFF, BASS_LINE, ARPEGGIO, OPEN_STRUM, OPEN_NOTES];

export const SCORE_IDS: readonly string[] = [...Object.keys(GENERAL), ...FIXED.map(score => score.id)];

/** The score of this id for an instrument; null when there is none. */
export const scoreFor = (id: string, instrument: Instrument): Score | null =>
  GENERAL[id]?.(instrument) ?? FIXED.find(score => score.id === id) ?? null;
