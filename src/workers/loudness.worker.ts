/** Renders a take through a build and measures it: integrated loudness (ITU-R BS.1770) and true peak. */
import { type Loudness, measureLoudness } from '../../shared/audio/measure.ts';
import type { PackedKernels } from '../../shared/audio/partition.ts';

export type { Loudness } from '../../shared/audio/measure.ts';

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
  return measureLoudness(take.channels, kernels, take.sampleRate);
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
