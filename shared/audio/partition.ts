/**
 * Kernels cut into partitions of one block and brought to frequency, ready for the convolver: the heavy part of a change
 * of build, done outside the audio thread.
 */
import { forward256 } from './fft256.ts';

/** Samples a block: the render quantum of Web Audio. */
export const BLOCK = 128;
/** Numbers of one partition's packed spectrum, see fft256.ts. */
export const SPECTRUM = 2 * BLOCK;

/** Spectra of a kernel set, plain data that can be transferred: [output][string][partition][256], Float64. */
export interface PackedKernels {
  outputs: number;
  strings: number;
  /** Blocks of the longest kernel. */
  partitions: number;
  data: ArrayBuffer;
}

/**
 * Packs `outputs[output][string]` (impulse responses of any lengths, at the sample rate they will run at) times a linear
 * `gain`. Float64: Float32 spectra ran 1.5 to 2 times slower in V8 (Chromium 156), and cost 30 dB of precision.
 */
export function packKernels(outputs: readonly (readonly Float32Array[])[], gain = 1): PackedKernels {
  const strings = outputs[0]?.length ?? 0;
  if (strings === 0 || outputs.some(kernels => kernels.length !== strings))
    throw new RangeError('a kernel set needs at least one output, with one kernel for each string');
  if (!Number.isFinite(gain)) throw new RangeError(`kernel gain must be finite, got ${gain}`);
  let taps = 1;
  for (const kernels of outputs) for (const kernel of kernels) taps = Math.max(taps, kernel.length);
  const partitions = Math.ceil(taps / BLOCK);
  const data = new Float64Array(outputs.length * strings * partitions * SPECTRUM);
  const time = new Float64Array(SPECTRUM);
  // The convolver's inverse transform leaves out its factor of 1/256.
  const scale = gain / SPECTRUM;
  let at = 0;
  for (const kernels of outputs)
    for (const kernel of kernels)
      for (let p = 0; p < partitions; p++, at += SPECTRUM) {
        const start = p * BLOCK;
        if (start >= kernel.length) continue;
        for (let i = 0; i < BLOCK; i++) time[i] = start + i < kernel.length ? kernel[start + i] * scale : 0;
        forward256(data.subarray(at, at + SPECTRUM), time);
      }
  return { outputs: outputs.length, strings, partitions, data: data.buffer };
}

/** A packed set with a view of each partition: `spectra[output][string][partition]`, null where it is all zeros. */
export interface KernelSpectra {
  packed: PackedKernels;
  spectra: (Float64Array | null)[][][];
}

/** Views into a packed set; no number is copied. */
export function unpackKernels(packed: PackedKernels): KernelSpectra {
  const { outputs, strings, partitions, data } = packed;
  const expected = outputs * strings * partitions * SPECTRUM * 8;
  if (data.byteLength !== expected)
    throw new RangeError(`packed kernels hold ${data.byteLength} bytes, expected ${expected}`);
  const spectra: KernelSpectra['spectra'] = [];
  let at = 0;
  for (let o = 0; o < outputs; o++) {
    spectra[o] = [];
    for (let s = 0; s < strings; s++) {
      spectra[o][s] = [];
      for (let p = 0; p < partitions; p++, at += SPECTRUM) {
        const view = new Float64Array(data, at * 8, SPECTRUM);
        spectra[o][s][p] = isZero(view) ? null : view;
      }
    }
  }
  return { packed, spectra };
}

function isZero(values: Float64Array): boolean {
  for (let i = 0; i < values.length; i++) if (values[i] !== 0) return false;
  return true;
}
