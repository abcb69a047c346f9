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

interface Sound extends LetteredBuild {
  outputs: Float32Array[];
  sampleRate: number;
}

/**
 * The files of one take at one test point, named and levelled together.
 * @param forces the take on the strings of each build
 */
export function renderGroup(
  builds: readonly LetteredBuild[],
  forces: (build: Build) => Forces,
  take: NamedTake,
  point: TestPoint,
  options: FileOptions,
  onProgress?: (build: LetteredBuild, part: number) => void,
): RenderedFile[] {
  const sounds: Sound[] = builds.map(one => {
    const source = forces(one.build);
    const outputs = renderThrough(one.build, source, point, part => {
      onProgress?.(one, part);
      return undefined;
    });
    return { ...one, outputs: outputs!, sampleRate: source.sampleRate };
  });
  // kernels differ in length: files that are compared are equally long
  const longest = Math.max(...sounds.map(s => s.outputs[0].length));
  for (const sound of sounds)
    sound.outputs = sound.outputs.map(output => {
      const padded = new Float32Array(longest);
      padded.set(output);
      return padded;
    });
  const loudness = sounds.map(s => heardLoudness(s.outputs, s.sampleRate));
  const at = sounds.findIndex(s => s.letter === options.reference);
  const gains = sounds.map((_, i) => matchGain(loudness[options.matched ? i : Math.max(0, at)]));
  const peaks = sounds.map((s, i) => dbOfAmplitude(truePeak(s.outputs, s.sampleRate)) + gains[i]);
  const lowered = Math.max(0, Math.max(...peaks) - CEILING);
  return sounds.map(({ letter, build, outputs, sampleRate }, i) => {
    const gain = gains[i] - lowered;
    const linear = amplitudeOfDb(gain);
    const { bits, matched } = options;
    const channels = outputs.map(output => output.map(x => x * linear));
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
    return { name, bytes, gain, loudness: stated, peak: peaks[i] - lowered, lowered };
  });
}
