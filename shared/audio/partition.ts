/**
 * Kernels cut into partitions of one block and brought to frequency, ready for the engine: the heavy part of a change of
 * build, done outside the audio thread.
 */
import FFT from 'fft.js';

/** Samples a block: the render quantum of Web Audio. */
export const BLOCK = 128;
/** Numbers of one partition's spectrum: 128 complex bins. */
export const SPECTRUM = 2 * BLOCK;
/** Numbers of a path's entry: string, output, partitions, and where its kernel begins, in partitions. */
export const PATH = 4;

/** Spectra of a kernel set, plain data that can be transferred: a sparse matrix of strings and outputs. */
export interface PackedKernels {
  outputs: number;
  strings: number;
  /** Blocks of the longest kernel. */
  partitions: number;
  /** PATH numbers for each kernel that is not zero. */
  paths: Uint32Array;
  /** Float32, kernel after kernel; within each [group of four bins][partition][four real, four imaginary parts]. */
  data: ArrayBuffer;
  /** Whatever number the set goes by; the audio thread tells it when the set is heard. */
  id?: number;
}

const fft = new FFT(BLOCK);

/** exp(jπn/256): what turns the transform of a block into half a transform of twice the length (vector/transform.ts). */
const twist = Float64Array.from({ length: SPECTRUM }, (_, i) => {
  const angle = (Math.PI * (i >> 1)) / SPECTRUM;
  return i % 2 === 0 ? Math.cos(angle) : Math.sin(angle);
});

/** Partitions up to the last tap that is not zero. */
function partitionsOf(kernel: Float32Array): number {
  let taps = kernel.length;
  while (taps > 0 && kernel[taps - 1] === 0) taps--;
  return Math.ceil(taps / BLOCK);
}

/**
 * Packs `outputs[output][string]` (impulse responses of any lengths, at the sample rate they will run at) times a linear
 * `gain`. Transformed in 64 bits, kept in 32.
 */
export function packKernels(outputs: readonly (readonly Float32Array[])[], gain = 1): PackedKernels {
  const strings = outputs[0]?.length ?? 0;
  if (strings === 0 || outputs.some(kernels => kernels.length !== strings))
    throw new RangeError('a kernel set needs at least one output, with one kernel for each string');
  if (!Number.isFinite(gain)) throw new RangeError(`kernel gain must be finite, got ${gain}`);
  let taps = 1;
  let total = 0;
  const paths: number[] = [];
  outputs.forEach((kernels, output) => {
    kernels.forEach((kernel, string) => {
      taps = Math.max(taps, kernel.length);
      const partitions = partitionsOf(kernel);
      if (partitions === 0) return;
      paths.push(string, output, partitions, total);
      total += partitions;
    });
  });
  const data = new Float32Array(total * SPECTRUM);
  for (let at = 0; at < paths.length; at += PATH) {
    const [string, output, partitions, place] = paths.slice(at, at + PATH);
    const spectra = data.subarray(place * SPECTRUM, (place + partitions) * SPECTRUM);
    packKernel(spectra, outputs[output][string], partitions, gain);
  }
  return {
    outputs: outputs.length,
    strings,
    partitions: Math.ceil(taps / BLOCK),
    paths: Uint32Array.from(paths),
    data: data.buffer,
  };
}

function packKernel(spectra: Float32Array, kernel: Float32Array, partitions: number, gain: number): void {
  const time = new Float64Array(SPECTRUM);
  const spectrum = new Float64Array(SPECTRUM);
  // The engine's inverse transform leaves out its factor of 1/128.
  const scale = gain / BLOCK;
  for (let p = 0; p < partitions; p++) {
    const start = p * BLOCK;
    for (let n = 0; n < BLOCK; n++) {
      const tap = start + n < kernel.length ? kernel[start + n] * scale : 0;
      time[2 * n] = tap * twist[2 * n];
      time[2 * n + 1] = tap * twist[2 * n + 1];
    }
    fft.transform(spectrum, time);
    for (let bin = 0; bin < BLOCK; bin++) {
      const at = ((bin >> 2) * partitions + p) * 8 + (bin & 3);
      spectra[at] = spectrum[2 * bin];
      spectra[at + 4] = spectrum[2 * bin + 1];
    }
  }
}

/** Partitions of all kernels of a set; known also when its data has been handed on. */
export const allPartitions = ({ paths }: PackedKernels): number =>
  paths.length === 0 ? 0 : paths[paths.length - 2] + paths[paths.length - 1];

/** Throws where a set's paths and its data do not belong together. */
export function checkPacked(packed: PackedKernels): void {
  const { paths, data, strings, outputs } = packed;
  let place = 0;
  for (let at = 0; at < paths.length; at += PATH) {
    if (paths[at] >= strings || paths[at + 1] >= outputs || paths[at + 3] !== place)
      throw new RangeError(`path ${at / PATH} of a kernel set leads nowhere`);
    place += paths[at + 2];
  }
  if (data.byteLength !== place * SPECTRUM * 4)
    throw new RangeError(`packed kernels hold ${data.byteLength} bytes, expected ${place * SPECTRUM * 4}`);
}
