/**
 * Takes through builds to WAV files, with the kernels and the engine that the page is heard by. Pure; a worker and the
 * command line run it.
 *
 * Level: the sounds of one take at one test point belong together. Matched, each is brought to the level match's target;
 * true, all get the gain that brings the reference there, so their differences stay. Should a true peak
 * then pass `CEILING`, all sounds of that take and test point are lowered alike: what is compared stays comparable.
 */

import { integratedLoudness } from '../../shared/audio/loudness.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { FILE_BLOCK, packGraph } from '../../shared/audio/partition.ts';
import { truePeak } from '../../shared/audio/true-peak.ts';
import { writeWav } from '../../shared/audio/wav-write.ts';
import { amplitudeOfDb, dbOfAmplitude } from '../../shared/decibels.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import type { Letter } from '../../shared/document/sheet.ts';
import { heardLoudness, matchGain } from '../../shared/response/level-match.ts';
import { soundGraph } from '../../shared/response/sound-graph.ts';
import { words } from '../words/take-words.ts';
import { renderedName } from './file-names.ts';

/** Highest true peak, dBTP. */
export const CEILING = -1;

export type Bits = 16 | 24 | '32f';
export interface LetteredBuild {
  letter: Letter;
  build: Build;
}
/** A take as the forces of a build's strings. */
export interface Forces {
  channels: readonly Float32Array[];
  /** Hz. */
  sampleRate: number;
  /** Indices of strings that carry a mixture of strings and go through no comb. */
  uncombed?: readonly number[];
}

export interface NamedTake {
  id: string;
  name: string;
  /** What file names call it; its id if not given. */
  stem?: string;
}

export interface FileOptions {
  bits: Bits;
  matched: boolean;
  /** Letter of the build whose loudness sets true levels. */
  reference: Letter;
}

export interface RenderedFile {
  name: string;
  bytes: Uint8Array<ArrayBuffer>;
  /** Gain from the engine's units (N, m/s, V) to full scale, dB. */
  gain: number;
  /** Integrated loudness that a meter reads from the file as it is, LUFS: one channel counts once. */
  loudness: number;
  /** True peak of the file, dBTP. */
  peak: number;
  /** By how much its take and test point were lowered for the peaks' sake, dB, 0 or more. */
  lowered: number;
}

/** A take through a build at a test point, in its own unit: one array per output. Null: `onProgress` ended it. */
export function renderThrough(
  build: Build,
  { channels, sampleRate, uncombed }: Forces,
  point: TestPoint,
  onProgress?: (part: number) => boolean | undefined,
): Float32Array[] | null {
  const packed = packGraph(soundGraph(build, point, sampleRate, uncombed && { uncombed }), 1, FILE_BLOCK);
  return renderOffline(channels, packed, { sampleRate, ...(onProgress && { onProgress }) });
}

/** A take through a build, not yet levelled. */
export interface Sound {
  letter: Letter;
  outputs: Float32Array[];
  /** Hz. */
  sampleRate: number;
  /** As the model's level match defines it, LUFS of the engine's own units; −Infinity: silence. */
  loudness: number;
  /** True peak, dB over one engine unit. */
  peak: number;
}

/** The first half of a file, the same whatever it is levelled with. */
export function renderSound(
  { letter, build }: LetteredBuild,
  forces: Forces,
  point: TestPoint,
  onProgress?: (part: number) => void,
): Sound {
  const { sampleRate } = forces;
  const outputs = renderThrough(build, forces, point, part => {
    onProgress?.(part);
    return undefined;
  })!;
  return {
    letter,
    outputs,
    sampleRate,
    loudness: heardLoudness(outputs, sampleRate),
    peak: dbOfAmplitude(truePeak(outputs, sampleRate)),
  };
}

/** What the sounds of one take and test point have in common. */
export interface Levels {
  /** Gain of each sound from the engine's units (N, m/s, V) to full scale, dB. */
  gains: number[];
  /** By how much all were lowered for the peaks' sake, dB, 0 or more. */
  lowered: number;
  /** Samples of each file: kernels differ in length, but files that are compared are equally long. */
  length: number;
}

/** Levels the sounds of one take at one test point together. */
export function levelsOf(sounds: readonly Sound[], { matched, reference }: FileOptions): Levels {
  const at = Math.max(
    0,
    sounds.findIndex(s => s.letter === reference),
  );
  const gains = sounds.map(own => matchGain((matched ? own : sounds[at]).loudness));
  const lowered = Math.max(0, ...sounds.map((own, i) => own.peak + gains[i] - CEILING));
  return {
    gains: gains.map(gain => gain - lowered),
    lowered,
    length: Math.max(...sounds.map(s => s.outputs[0].length)),
  };
}

/** What a file says of itself. */
export interface FileTitle extends LetteredBuild {
  take: NamedTake;
  point: TestPoint;
  options: FileOptions;
}

/** The second half: a sound at its gain (dB) as a file of `length` samples. */
export function writeSound(
  { outputs, sampleRate, peak }: Sound,
  { gain, lowered, length }: { gain: number; lowered: number; length: number },
  { letter, build, take, point, options }: FileTitle,
): RenderedFile {
  const linear = amplitudeOfDb(gain);
  const { bits, matched } = options;
  const channels = outputs.map(output => {
    const channel = new Float32Array(length);
    output.forEach((x, n) => {
      channel[n] = x * linear;
    });
    return channel;
  });
  // matched as heard, from both loudspeakers; stated as the file is, which one channel makes 3.01 LU less
  const stated = integratedLoudness(channels, sampleRate);
  const bytes = writeWav(channels, {
    sampleRate,
    bits,
    dither: bits === '32f' ? undefined : letter.charCodeAt(0) + 97 * point,
    metadata: {
      title: words.title(letter, build.name, take.name),
      comment: words.comment({
        letter,
        build: build.name,
        instrument: build.instrument.name,
        take,
        point,
        reference: matched ? null : options.reference,
        loudness: stated,
        gain,
        bits,
      }),
    },
  });
  const name = renderedName({
    letter,
    build: build.name,
    take: take.stem ?? take.id,
    point,
    matched,
    sampleRate,
    bits,
  });
  return { name, bytes, gain, loudness: stated, peak: peak + gain, lowered };
}

/**
 * The files of one take at one test point, named and levelled together, one after the other.
 * @param forces the take on the strings of each build
 */
export function renderGroup(
  builds: readonly LetteredBuild[],
  forces: (build: Build) => Forces,
  take: NamedTake,
  point: TestPoint,
  options: FileOptions,
): RenderedFile[] {
  const sounds = builds.map(one => renderSound(one, forces(one.build), point));
  const { gains, ...rest } = levelsOf(sounds, options);
  return sounds.map((sound, i) =>
    writeSound(sound, { gain: gains[i], ...rest }, { ...builds[i], take, point, options }),
  );
}
