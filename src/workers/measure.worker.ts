/** Renders the take through a build once and says how loud it is and what its long-term spectrum is. */
import { renderOffline } from '../../shared/audio/offline.ts';
import { FILE_BLOCK, packGraph } from '../../shared/audio/partition.ts';
import { type PowerSpectrum, powerDensity } from '../../shared/audio/spectrum.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { heardLoudness } from '../../shared/response/level-match.ts';
import { soundGraph } from '../../shared/response/sound-graph.ts';
import { serve } from './serve.ts';
import { engineTaken } from './take-engine.ts';

/** The take that is measured. */
export interface MeasuredTake {
  channels: readonly Float32Array[];
  /** Hz. */
  sampleRate: number;
  /** Indices of strings that carry a mixture of strings. */
  uncombed: readonly number[];
}
export interface Measurement {
  /** As the model's level match defines it, LUFS of the engine's own units; −Infinity: silence. */
  loudness: number;
  /** Density of the first output. */
  density: PowerSpectrum;
}
export type MeasureJobs = {
  /** Takes a take up; the answer is each string's density. */
  take: { ask: MeasuredTake; answer: PowerSpectrum[] };
  measure: { ask: { build: Build; point: TestPoint }; answer: Measurement };
};

let take: MeasuredTake | null = null;

serve<MeasureJobs>({
  *take(next) {
    take = next;
    const { channels, sampleRate } = next;
    const densities: PowerSpectrum[] = [];
    for (const channel of channels) {
      densities.push(powerDensity(channel, sampleRate));
      yield densities.length / channels.length;
    }
    return densities;
  },
  async measure({ build, point }, { progress }) {
    await engineTaken();
    if (!take) throw new RangeError('a build came before its take');
    const { channels, sampleRate, uncombed } = take;
    const packed = packGraph(soundGraph(build, point, sampleRate, { uncombed }), 1, FILE_BLOCK);
    const onProgress = (part: number) => {
      progress(part);
      return undefined;
    };
    const outputs = renderOffline(channels, packed, { sampleRate, onProgress }) ?? [];
    const loudness = heardLoudness(outputs, sampleRate);
    return { loudness, density: powerDensity(outputs[0] ?? new Float32Array(1), sampleRate) };
  },
});
