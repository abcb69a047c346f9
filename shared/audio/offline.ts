/** Rendering a whole take through a kernel set, without a context: for files, loudness and spectra. */
import { sizeOf } from './convolver.ts';
import { Engine, LOOK_AHEAD } from './engine.ts';
import type { PackedKernels } from './partition.ts';

export interface OfflineOptions {
  /** Hz. */
  sampleRate: number;
  /** Samples rendered after the end of the take; what kernels and laws still say if not given. */
  tail?: number;
  /** Linear; 1 if not given. */
  gain?: number;
  /** Limit to −1 dBFS true peak, false if not given. */
  limiter?: boolean;
  /** Called about every second of sound with the part done, 0 to 1; returning false ends the work. */
  onProgress?: (part: number) => boolean | undefined;
}

const NOTHING = new Float32Array(0);

/**
 * `channels[string]` through `packed`, with the delay of laws and limiter taken out again: one array for each output, as long
 * as the longest channel plus the tail. Fastest with kernels packed for `FILE_BLOCK`. Null if `onProgress` ended it.
 */
export function renderOffline(
  channels: readonly Float32Array[],
  packed: PackedKernels,
  options: OfflineOptions,
): Float32Array[] | null {
  const { sampleRate, gain = 1, limiter = false, onProgress } = options;
  const size = packed.block;
  const tail = options.tail ?? packed.taps + packed.latency;
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
  const blocks = Math.ceil((length + late) / size);
  const inputs = Array.from({ length: packed.strings }, () => new Float32Array(size));
  const block = Array.from({ length: packed.outputs }, () => new Float32Array(size));
  const rendered = block.map(() => new Float32Array(blocks * size));
  const stride = Math.max(1, Math.round(sampleRate / size));
  for (let b = 0; b < blocks; b++) {
    const start = b * size;
    for (let s = 0; s < inputs.length; s++) {
      const piece = channels[s]?.subarray(start, start + size) ?? NOTHING;
      inputs[s].set(piece);
      inputs[s].fill(0, piece.length);
    }
    engine.process(inputs, block);
    for (let o = 0; o < rendered.length; o++) rendered[o].set(block[o], start);
    if (onProgress !== undefined && b % stride === 0 && onProgress(b / blocks) === false) return null;
  }
  onProgress?.(1);
  return rendered.map(output => output.slice(late, late + length));
}
