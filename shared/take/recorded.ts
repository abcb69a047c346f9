/** A score over recordings of open strings, one string a channel, scaled to an estimated bridge force. */
import { resample } from '../audio/resample.ts';
import type { Instrument } from '../document/build.ts';
import { addDamped } from './damping.ts';
import { channelStrings, type Recording } from './manifest.ts';
import type { Rendering } from './modelled.ts';
import { type Score, scoreDuration } from './score.ts';

/** A decoded recording. */
export interface Decoded {
  sampleRate: number;
  channels: readonly Float32Array[];
}

/** Recordings end where a sampled instrument would loop: the last part is faded, s. */
const FADE = 0.3;
/** Farthest a recording is moved in pitch, semitones. */
const FARTHEST_FRET = 4;

/** Rates of moved recordings are multiples of this, Hz: within a cent, and the resampler needs few phases. */
const RATE_STEP = 50;

/** Raised-cosine fade over the end of a recording, in place. */
const fadeEnd = (samples: Float32Array, sampleRate: number): Float32Array => {
  const length = Math.min(samples.length, Math.round(FADE * sampleRate));
  for (let i = 0; i < length; i++) samples[samples.length - 1 - i] *= 0.5 - 0.5 * Math.cos((Math.PI * i) / length);
  return samples;
};

/**
 * Plays a score over recordings; yields the share done.
 * @param decoded by file name; mono, or the first channel is used
 */
export function* recordedSteps(
  score: Score,
  recording: Recording,
  decoded: ReadonlyMap<string, Decoded>,
  instrument: Instrument,
  sampleRate: number,
): Generator<number, Rendering> {
  const strings = channelStrings(recording, instrument);
  const frames = Math.ceil(scoreDuration(score) * sampleRate);
  const channels = instrument.strings.map(() => new Float32Array(frames));
  const cache = new Map<string, Float32Array>();
  const notes = [...score.notes].sort((a, b) => a.time - b.time);
  for (let i = 0; i < notes.length; i++) {
    const note = notes[i];
    if (note.fret > FARTHEST_FRET)
      throw new RangeError(`recordings are not moved by more than ${FARTHEST_FRET} semitones`);
    const of = recording.channels.findIndex(c => c.string === score.open[note.string - 1]);
    const index = strings[of];
    if (index === undefined || index === null)
      throw new RangeError(`there is no recording for string ${score.open[note.string - 1]} on this instrument`);
    const { file, onset, newtonPerFullScale } = recording.channels[of];
    const key = `${file}/${note.fret}`;
    let samples = cache.get(key);
    if (!samples) {
      const source = decoded.get(file);
      if (!source) throw new Error(`the recording ${file} is missing`);
      const moved =
        note.fret === 0
          ? source.sampleRate
          : Math.round((source.sampleRate * 2 ** (note.fret / 12)) / RATE_STEP) * RATE_STEP;
      samples = fadeEnd(resample(source.channels[0], moved, sampleRate), sampleRate);
      cache.set(key, samples);
    }
    const lead = (onset / 2 ** (note.fret / 12)) * sampleRate;
    const at = Math.round(note.time * sampleRate - lead);
    const next = notes.find((other, j) => j > i && other.string === note.string);
    const touch = 0.02 * sampleRate;
    const end = Math.min(
      Math.round((note.time + note.duration) * sampleRate),
      next ? Math.round(next.time * sampleRate - touch) : Number.POSITIVE_INFINITY,
    );
    addDamped(channels[index], samples, at, end, sampleRate, newtonPerFullScale * note.velocity);
    yield (i + 1) / notes.length;
  }
  return { channels };
}
