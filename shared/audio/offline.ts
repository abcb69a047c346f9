/** Rendering a whole take through a kernel set, without a context: for files, loudness and spectra. */
import { sizeOf } from './convolver.ts';
import { Engine } from './engine.ts';
import { LOOK_AHEAD } from './limiter.ts';
import { BLOCK, type PackedKernels } from './partition.ts';

export interface OfflineOptions {
  /** Hz. */
  sampleRate: number;
  /** Samples rendered after the end of the take; the kernels' length if not given. */
  tail?: number;
  /** Linear; 1 if not given. */
  gain?: number;
  /** Limit to −1 dBFS true peak, false if not given. */
  limiter?: boolean;
  /** Called about every second of sound with the part done, 0 to 1; returning false ends the work. */
  onProgress?: (part: number) => boolean | undefined;
}

/**
 * `channels[string]` through `packed`, with the delay of laws and limiter taken out again: one array for each output, as long as the longest channel plus the tail. Null if
 * `onProgress` ended it.
 */
export function renderOffline(
  channels: readonly Float32Array[],
  packed: PackedKernels,
  options: OfflineOptions,
): Float32Array[] | null {
  const { sampleRate, gain = 1, limiter = false, onProgress } = options;
  const tail = options.tail ?? packed.partitions * BLOCK + packed.latency;
  const length = channels.reduce((most, channel) => Math.max(most, channel.length), 0) + tail;
  const engine = new Engine({
    sampleRate,
    strings: packed.strings,
    outputs: packed.outputs,
    size: sizeOf(packed),
    limiter,
    volume: gain,
  });
  engine.setKernels(packed, true);
  const late = packed.latency + (limiter ? LOOK_AHEAD : 0);
  const blocks = Math.ceil((length + late) / BLOCK);
  const inputs = Array.from({ length: packed.strings }, () => new Float32Array(BLOCK));
  const block = Array.from({ length: packed.outputs }, () => new Float32Array(BLOCK));
  const rendered = block.map(() => new Float32Array(blocks * BLOCK));
  const stride = Math.max(1, Math.round(sampleRate / BLOCK));
  for (let b = 0; b < blocks; b++) {
    const start = b * BLOCK;
    for (let s = 0; s < inputs.length; s++) {
      const channel = channels[s];
      const input = inputs[s];
      const end = channel === undefined ? 0 : Math.max(0, Math.min(BLOCK, channel.length - start));
      for (let i = 0; i < end; i++) input[i] = channel[start + i];
      input.fill(0, end);
    }
    engine.process(inputs, block);
    for (let o = 0; o < rendered.length; o++) rendered[o].set(block[o], start);
    if (onProgress !== undefined && b % stride === 0 && onProgress(b / blocks) === false) return null;
  }
  onProgress?.(1);
  return rendered.map(output => output.slice(late, late + length));
}
