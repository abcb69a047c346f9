/**
 * The sheet: the page's one document. Builds side by side, what they are heard on, and how the page stands.
 * `builds`, `title`, `note`, `take`, `strings`, `pluck`, `loop`, `runs` and `test` are the work and can be undone; `view` is where the reader
 * stands and is kept, but is no step of its own.
 */
import * as v from 'valibot';
import { BuildSchema, MOST, TEST_POINTS } from './build.ts';

export const LETTERS = ['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H'] as const;
export type Letter = (typeof LETTERS)[number];
const letter = v.picklist(LETTERS);

export const STATIONS = ['string', 'position', 'aperture', 'coils', 'cable'] as const;
export type Station = (typeof STATIONS)[number];

export const READINGS = ['response', 'spectrum', 'difference', 'partials', 'impedance'] as const;

/** Whose strings a recorded take is heard on: those that were recorded, or the instrument's. */
export const STRINGS_OF = ['take', 'instrument'] as const;
export type StringsOf = (typeof STRINGS_OF)[number];

export const SMOOTHINGS = [0, 3, 6, 12, 24] as const;

/** Listening volume, dB: its range, and where a first visit begins, well below full scale for the sake of ears. */
export const VOLUME = { least: -60, most: 0, first: -18 } as const;

export const ViewSchema = v.object({
  /** The build that is heard and whose fields are open. */
  heard: letter,
  /** The build that differences are taken against. */
  reference: letter,
  /** Test point heard and plotted. */
  point: v.picklist(TEST_POINTS),
  /** Selected string number, 1 is the highest. */
  string: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(MOST.strings)),
  fret: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(36)),
  /** Partial of the selected string that the plan draws as a standing wave. */
  partial: v.optional(v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(40)), 5),
  /** Id of the selected pickup of the heard build. */
  pickup: v.string(),
  station: v.picklist(STATIONS),
  reading: v.picklist(READINGS),
  /** Responses of every string instead of the selected one. */
  allStrings: v.boolean(),
  /** Fractional-octave smoothing, 1/n; 0: none. */
  smoothing: v.picklist(SMOOTHINGS),
  levelMatch: v.boolean(),
  /** Listening volume, dB. */
  volume: v.pipe(v.number(), v.minValue(VOLUME.least), v.maxValue(VOLUME.most)),
  looping: v.boolean(),
  units: v.picklist(['mm', 'in']),
  sheet: v.picklist(['auto', 'light', 'dark']),
  size: v.picklist(['desk', 'projector']),
});

const named = v.object({ letter, name: v.pipe(v.string(), v.maxLength(60)) });
const choice = v.picklist([0, 1]);
const heardThrough = {
  /** When it was finished, ISO 8601. */
  at: v.pipe(v.string(), v.maxLength(40)),
  take: v.pipe(v.string(), v.maxLength(80)),
  point: v.picklist(TEST_POINTS),
};

/** Trials a blind test may have, and how many it has if nobody says otherwise. */
export const TRIALS = { least: 5, most: 25, usual: 16 } as const;

/** A finished listening test, with every single choice, so that its figures can be worked out again. */
export const RunSchema = v.variant('kind', [
  v.object({
    kind: v.literal('blind'),
    ...heardThrough,
    /** The two builds, as they were called then. */
    builds: v.tuple([named, named]),
    /** Which of the two X was, and which it was taken for. */
    trials: v.pipe(
      v.array(v.object({ x: choice, answer: choice })),
      v.minLength(TRIALS.least),
      v.maxLength(TRIALS.most),
    ),
  }),
  v.object({
    kind: v.literal('preference'),
    ...heardThrough,
    builds: v.pipe(v.array(named), v.minLength(2), v.maxLength(LETTERS.length)),
    /** Indices of the build that was chosen and of the one that it was chosen over. */
    choices: v.pipe(
      v.array(
        v.object({
          chosen: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(LETTERS.length - 1)),
          over: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(LETTERS.length - 1)),
        }),
      ),
      v.maxLength(400),
    ),
  }),
]);

/** A blind test made ready for somebody else: its two builds and the number of trials. */
export const PreparedTestSchema = v.object({
  builds: v.tuple([letter, letter]),
  trials: v.pipe(v.number(), v.integer(), v.minValue(TRIALS.least), v.maxValue(TRIALS.most)),
});

export const SheetSchema = v.object({
  format: v.literal('comb-and-coil/sheet', 'this is not a Comb & Coil sheet'),
  version: v.literal(1, 'this version of the sheet format is not known'),
  title: v.pipe(v.string(), v.maxLength(80)),
  /** The title follows the instrument's name; absent: it is the person's own. */
  titleDerived: v.optional(v.boolean()),
  note: v.pipe(v.string(), v.maxLength(400)),
  builds: v.pipe(
    v.array(v.object({ letter, build: BuildSchema })),
    v.minLength(1, 'at least one build'),
    v.maxLength(LETTERS.length),
  ),
  /** An edit of the instrument goes to every build. */
  sameInstrument: v.boolean(),
  /** Id of the take that plays. */
  take: v.string(),
  /** Whose strings the comb of a recorded take is made for; in older sheets nobody was asked. */
  strings: v.optional(v.picklist(STRINGS_OF), 'take'),
  /** Pluck point of modelled takes, m from the saddle; null: as the score says. */
  pluck: v.nullable(v.pipe(v.number(), v.minValue(0.005), v.maxValue(0.6))),
  /** Loop region, s. */
  loop: v.nullable(v.object({ from: v.pipe(v.number(), v.minValue(0)), to: v.pipe(v.number(), v.minValue(0)) })),
  /** Listening tests that were kept. */
  runs: v.optional(v.pipe(v.array(RunSchema), v.maxLength(60))),
  /** A blind test that whoever opens the sheet is offered; null: none. */
  test: v.optional(v.nullable(PreparedTestSchema)),
  view: ViewSchema,
});

export type View = v.InferOutput<typeof ViewSchema>;
export type Sheet = v.InferOutput<typeof SheetSchema>;
export type Run = v.InferOutput<typeof RunSchema>;
export type BlindRecord = Extract<Run, { kind: 'blind' }>;
export type PreferenceRecord = Extract<Run, { kind: 'preference' }>;
export type Slot = Sheet['builds'][number];
