/** Renders a take through a build and measures it: integrated loudness (ITU-R BS.1770) and true peak. */
import { integratedLoudness } from '../../shared/audio/loudness.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import type { PackedKernels } from '../../shared/audio/partition.ts';
import { truePeak } from '../../shared/audio/true-peak.ts';

export interface Loudness {
  /** LUFS, −Infinity for silence. */
  integrated: number;
  /** Linear, 1 is full scale. */
  truePeak: number;
}

export type ToLoudnessWorker =
  | { type: 'take'; channels: Float32Array[]; sampleRate: number }
  | { type: 'measure'; job: number; kernels: PackedKernels };
export type FromLoudnessWorker =
  | { type: 'measured'; job: number; loudness: Loudness }
  | { type: 'failed'; job: number; message: string };

const scope = self as unknown as { postMessage(message: FromLoudnessWorker): void };
let take: { channels: Float32Array[]; sampleRate: number } | null = null;

function measure(kernels: PackedKernels): Loudness {
  if (!take) throw new Error('there is no take to measure');
  const { channels, sampleRate } = take;
  const rendered = renderOffline(channels, kernels, { sampleRate }) ?? [];
  // One output is heard from both loudspeakers, and so it is measured.
  const heard = rendered.length === 1 ? [rendered[0], rendered[0]] : rendered;
  return { integrated: integratedLoudness(heard, sampleRate), truePeak: truePeak(rendered, sampleRate) };
}

addEventListener('message', ({ data }: MessageEvent<ToLoudnessWorker>) => {
  if (data.type === 'take') {
    take = { channels: data.channels, sampleRate: data.sampleRate };
    return;
  }
  try {
    scope.postMessage({ type: 'measured', job: data.job, loudness: measure(data.kernels) });
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    scope.postMessage({ type: 'failed', job: data.job, message });
  }
});
