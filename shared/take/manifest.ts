/** The list of shipped takes: what each is, under which licence, and what its sound already contains. */
import * as v from 'valibot';
import type { Instrument } from '../document/build.ts';
import { familyOf } from '../string/sets.ts';
import { notePitch } from '../units.ts';
import { SCORE_IDS } from './scores.ts';

const sentence = v.pipe(v.string(), v.minLength(1), v.maxLength(600));
const id = v.pipe(v.string(), v.regex(/^[a-z0-9-]{1,40}$/, 'an id is 1 to 40 letters a-z, digits and hyphens'));

export const RECORDED_THROUGH = [
  'bridge-force',
  'modelled-bridge-force',
  'microphone',
  'magnetic-pickup',
  'unknown',
] as const;

export const ChannelSchema = v.object({
  /** File name inside `samples/`. */
  file: v.pipe(v.string(), v.regex(/^[\w-]+\.wav$/, 'a WAV file beside the manifest')),
  /** Open note of the string it belongs to. */
  string: v.pipe(
    v.string(),
    v.check(name => notePitch(name) !== null, 'must be a note such as E2'),
  ),
  /** Where the note starts in the file, s. */
  onset: v.pipe(v.number(), v.minValue(0), v.maxValue(1)),
  /** Force on the bridge that full scale stands for, N: an estimate. */
  newtonPerFullScale: v.pipe(v.number(), v.minValue(1e-3), v.maxValue(100)),
  /**
   * Inharmonicity coefficient B of the string that was recorded, fitted from its partials; the uncertainty covers fits that
   * start 30 to 300 ms after the onset and one made another way.
   */
  inharmonicity: v.object({
    value: v.pipe(v.number(), v.minValue(0), v.maxValue(0.02)),
    uncertainty: v.pipe(v.number(), v.minValue(0), v.maxValue(0.02)),
  }),
});

export const RecordingSchema = v.object({
  id,
  licence: sentence,
  /** File with the licence notice, inside `samples/`. */
  notice: v.string(),
  author: sentence,
  /** What was recorded. */
  what: sentence,
  /** How it was recorded. */
  how: sentence,
  recordedThrough: v.picklist(RECORDED_THROUGH),
  /** How the newtons were arrived at. */
  level: sentence,
  channels: v.pipe(v.array(ChannelSchema), v.minLength(1), v.maxLength(12)),
});

const FAMILIES = ['guitar', 'bass', 'bowed', 'flat-top'] as const;
const common = {
  id: v.picklist(SCORE_IDS, 'there is no score of this id'),
  name: sentence,
  /** Instruments it suits. */
  families: v.pipe(v.array(v.picklist(FAMILIES)), v.minLength(1)),
  /** An honest line on what the take already contains. */
  contains: sentence,
};
export const TakeSchema = v.variant('kind', [
  v.object({ kind: v.literal('recorded'), ...common, /** Id of the recording. */ recording: id }),
  v.object({ kind: v.literal('modelled'), ...common, licence: sentence, author: sentence, what: sentence }),
]);

export const ManifestSchema = v.pipe(
  v.object({
    format: v.literal('comb-and-coil/takes', 'this is not a list of takes'),
    version: v.literal(1, 'this version of the list of takes is not known'),
    recordings: v.array(RecordingSchema),
    takes: v.pipe(v.array(TakeSchema), v.minLength(1)),
  }),
  v.check(
    m => m.takes.every(t => t.kind === 'modelled' || m.recordings.some(r => r.id === t.recording)),
    'every recorded take must name a recording of the list',
  ),
);

export type Recording = v.InferOutput<typeof RecordingSchema>;
export type Take = v.InferOutput<typeof TakeSchema>;
export type Manifest = v.InferOutput<typeof ManifestSchema>;

/** Reads the list of takes. @throws ValiError that says what is wrong and where */
export const parseManifest = (json: unknown): Manifest => v.parse(ManifestSchema, json);

export const recordingOf = (manifest: Manifest, take: Take): Recording | null =>
  take.kind === 'recorded' ? (manifest.recordings.find(r => r.id === take.recording) ?? null) : null;

/** Greatest distance of a recorded string's pitch from that of the instrument's string, semitones. */
const NEAR = 1;

/**
 * Index of the instrument's string for each channel of a recording, or null where none is tuned near it.
 */
export const channelStrings = (recording: Recording, instrument: Instrument): (number | null)[] => {
  const taken = new Set<number>();
  return recording.channels.map(channel => {
    const pitch = notePitch(channel.string) ?? Number.NaN;
    const away = (i: number) => Math.abs(12 * Math.log2(instrument.strings[i].pitch / pitch));
    const found = instrument.strings
      .map((_, i) => i)
      .filter(i => !taken.has(i) && away(i) <= NEAR)
      .sort((a, b) => away(a) - away(b))[0];
    if (found === undefined) return null;
    taken.add(found);
    return found;
  });
};

/** Why a take cannot be played on an instrument. */
export type Misfit =
  /** None of the instrument's strings is near what these were tuned to. */
  | { take: string; tuned: string[]; missing: string[] }
  /** It is written for these kinds of instrument. */
  | { take: string; families: readonly string[] };

/** What keeps a take from being played on an instrument; null: nothing. */
export function misfit(manifest: Manifest, take: Take, instrument: Instrument): Misfit | null {
  const recording = recordingOf(manifest, take);
  if (!recording)
    return take.families.includes(familyOf(instrument)) ? null : { take: take.name, families: take.families };
  const strings = channelStrings(recording, instrument);
  const tuned = recording.channels.map(channel => channel.string);
  const missing = tuned.filter((_, i) => strings[i] === null);
  return missing.length === 0 ? null : { take: take.name, tuned, missing };
}

/** The takes that can be played on an instrument. */
export const takesFor = (manifest: Manifest, instrument: Instrument): Take[] =>
  manifest.takes.filter(take => misfit(manifest, take, instrument) === null);
