/**
 * Kernels cut into partitions of one block and brought to frequency, ready for the engine: the heavy part of a change of
 * build, done outside the audio thread.
 */
import FFT from 'fft.js';
import { type BentSignal, linearGraph, type Path, type SoundGraph } from './graph.ts';
import { type Law, NO_LAW, tabulate } from './law.ts';
import type { Source } from './sources.ts';

/** Samples a block: the render quantum of Web Audio. */
export const BLOCK = 128;
/** Samples a block where nobody waits for them: in files. Fewer partitions, and so less work, for kernels of usual length. */
export const FILE_BLOCK = 1024;
/** Numbers of a path's entry: signal, target, partitions, and where its kernel begins, in partitions. */
export const PATH = 4;
/** Signals a gathering makes, and laws side by side in a row. */
export const LANES = 4;
/** A signal of that number and more comes from a source of the set. */
export const SOURCE = 0x8000;
/** A signal of that number and more is bent: four to each gathering. */
export const BENT = 0x10000;
/** Samples that a law is late by: what the filters to higher rates and back need (`vector/bend.ts` adds them up). */
export const LAW_LATENCY = 58;

/** Up to four signals of one stage, and the rows of four laws that they are the sums of (`vector/bend.ts`). */
export interface Gathering {
  /** From this row to before that one. */
  rows: [number, number];
  /** From this path to before that one. */
  paths: [number, number];
  /** Byte n: which of the four signals lane n adds to. */
  lanes: number;
}

/** Spectra of a kernel set, plain data that can be transferred: a sparse matrix of signals and targets. */
export interface PackedKernels {
  /** Samples of a block, and of a partition. */
  block: number;
  outputs: number;
  strings: number;
  sources: readonly Source[];
  /** Samples of the longest kernel, and the blocks it takes. */
  taps: number;
  partitions: number;
  /**
   * PATH numbers for each kernel that is not zero: those of the gatherings, then those to the outputs. Targets are
   * numbered as LANES to each row, then the outputs.
   */
  paths: Uint32Array;
  /** Float32, kernel after kernel; within each [group of four bins][partition][four real, four imaginary parts]. */
  data: ArrayBuffer;
  /** In the order in which they depend on each other. */
  gatherings: Gathering[];
  /** Where each row's laws stand in `laws`, in bytes, LANES to a row. */
  rows: Uint32Array;
  laws: ArrayBuffer;
  /** Samples that stages make the outputs late by. */
  latency: number;
  /** Whatever number the set goes by; the audio thread tells it when the set is heard. */
  id?: number;
}

/** A block's transform, and exp(jπn/2N): what turns it into half a transform of twice the length (vector/transform.ts). */
interface Transform {
  fft: FFT;
  twist: Float64Array;
}
const transforms = new Map<number, Transform>();

function transformOf(block: number): Transform {
  let transform = transforms.get(block);
  if (transform === undefined) {
    const twist = Float64Array.from({ length: 2 * block }, (_, i) => {
      const angle = (Math.PI * (i >> 1)) / (2 * block);
      return i % 2 === 0 ? Math.cos(angle) : Math.sin(angle);
    });
    transforms.set(block, (transform = { fft: new FFT(block), twist }));
  }
  return transform;
}

/** Partitions up to the last tap that is not zero. */
function partitionsOf(kernel: Float32Array, block: number): number {
  let taps = kernel.length;
  while (taps > 0 && kernel[taps - 1] === 0) taps--;
  return Math.ceil(taps / block);
}

const late = (kernel: Float32Array, samples: number): Float32Array => {
  if (samples === 0) return kernel;
  const later = new Float32Array(kernel.length + samples);
  later.set(kernel, samples);
  return later;
};

/** Packs `outputs[output][string]` (impulse responses of any lengths) times a linear `gain`: see `packGraph`. */
export function packKernels(
  outputs: readonly (readonly Float32Array[])[],
  gain = 1,
  block: number = BLOCK,
): PackedKernels {
  const strings = outputs[0]?.length ?? 0;
  if (strings === 0 || outputs.some(kernels => kernels.length !== strings))
    throw new RangeError('a kernel set needs at least one output, with one kernel for each string');
  return packGraph(linearGraph(outputs), gain, block);
}

/** A kernel on its way into a set. */
interface ToPack {
  kernel: Float32Array;
  partitions: number;
  gain: number;
}

/** The spectra of kernels, of `total` partitions in all. */
function packData(kernels: readonly ToPack[], total: number, block: number): ArrayBuffer {
  const data = new Float32Array(total * 2 * block);
  let at = 0;
  for (const { kernel, partitions, gain } of kernels) {
    packKernel(data.subarray(at, at + partitions * 2 * block), kernel, partitions, gain, block);
    at += partitions * 2 * block;
  }
  return data.buffer;
}

/**
 * Packs a graph (kernels at the sample rate they will run at), its outputs times a linear `gain`, for an engine of blocks of
 * `block` samples (a power of two from 16 on). Transformed in 64 bits, kept in 32. Paths around a law are made as late as those through it.
 */
export function packGraph(graph: SoundGraph, gain = 1, block: number = BLOCK): PackedKernels {
  const { strings, sources, stages, outputs } = graph;
  if (outputs.length === 0 || strings === 0) throw new RangeError('a graph needs at least one string and one output');
  if (!Number.isFinite(gain)) throw new RangeError(`kernel gain must be finite, got ${gain}`);
  /** Of every signal: its number in the engine, and after how many laws it comes. */
  const signals = Array.from({ length: strings + sources.length }, (_, i) => ({
    number: i < strings ? i : SOURCE + i - strings,
    stage: 0,
  }));
  const list: { path: Path; target: number; late: number; gain: number }[] = [];
  const gatherings: Gathering[] = [];
  const rows: Law[] = [];
  const add = (paths: readonly Path[], target: number, stage: number, scale: number) => {
    for (const path of paths) {
      const from = signals[path.from];
      if (from === undefined || from.stage > stage)
        throw new RangeError(`a path of stage ${stage} comes from signal ${path.from}, which is not there yet`);
      list.push({ path, target, late: (stage - from.stage) * LAW_LATENCY, gain: scale });
    }
  };
  const packed: number[] = [];
  const kernels: ToPack[] = [];
  let total = 0;
  let longest = 1;
  /** Puts what `add` has listed into the table. */
  const flush = () => {
    for (const { path, target, late: samples, gain: scale } of list.splice(0)) {
      const kernel = late(path.kernel, samples);
      longest = Math.max(longest, kernel.length);
      const partitions = partitionsOf(kernel, block);
      if (partitions === 0) continue;
      packed.push(signals[path.from].number, target, partitions, total);
      kernels.push({ kernel, partitions, gain: scale });
      total += partitions;
    }
  };
  stages.forEach((stage, s) => {
    const made: typeof signals = [];
    for (let first = 0; first < stage.length; first += LANES) {
      const four = stage.slice(first, first + LANES);
      const placed = placeBends(four);
      const firstPath = packed.length / PATH;
      const firstRow = rows.length / LANES;
      for (const lane of placed.bends) {
        if (lane !== null) add(lane.paths, rows.length, s, 1);
        rows.push(lane?.law ?? NO_LAW);
      }
      flush();
      four.forEach((_, n) => {
        made.push({ number: BENT + gatherings.length * LANES + n, stage: s + 1 });
      });
      gatherings.push({
        rows: [firstRow, rows.length / LANES],
        paths: [firstPath, packed.length / PATH],
        lanes: placed.lanes,
      });
    }
    signals.push(...made);
  });
  outputs.forEach((paths, output) => {
    add(paths, rows.length + output, stages.length, gain);
  });
  flush();
  return {
    block,
    outputs: outputs.length,
    strings,
    sources,
    taps: longest,
    partitions: Math.ceil(longest / block),
    paths: Uint32Array.from(packed),
    data: packData(kernels, total, block),
    gatherings,
    ...packLaws(rows),
    latency: stages.length * LAW_LATENCY + graph.late,
  };
}

/**
 * Which law goes to which lane of which row: the lanes are shared out among up to four signals, so that as few rows as
 * possible are needed. Lanes of whole rows, null where there is none.
 */
function placeBends(signals: readonly BentSignal[]): { bends: (BentSignal[number] | null)[]; lanes: number } {
  const share = Math.floor(LANES / signals.length);
  const rowCount = Math.max(1, ...signals.map(bends => Math.ceil(bends.length / share)));
  const bends: (BentSignal[number] | null)[] = new Array(rowCount * LANES).fill(null);
  let lanes = 0;
  signals.forEach((own, signal) => {
    for (let i = 0; i < share; i++) lanes |= signal << (8 * (signal * share + i));
    own.forEach((bend, i) => {
      bends[Math.floor(i / share) * LANES + signal * share + (i % share)] = bend;
    });
  });
  return { bends, lanes };
}

/** Tables of the laws, each once, and where each row's stand. */
function packLaws(rows: readonly Law[]): Pick<PackedKernels, 'rows' | 'laws'> {
  const places = new Map<Law, number>();
  const tables: Uint8Array[] = [];
  let bytes = 0;
  for (const law of rows) {
    if (places.has(law)) continue;
    const table = new Uint8Array(tabulate(law));
    places.set(law, bytes);
    tables.push(table);
    bytes += table.length;
  }
  const laws = new Uint8Array(bytes);
  let at = 0;
  for (const table of tables) {
    laws.set(table, at);
    at += table.length;
  }
  return { rows: Uint32Array.from(rows, law => places.get(law)!), laws: laws.buffer };
}

function packKernel(
  spectra: Float32Array,
  kernel: Float32Array,
  partitions: number,
  gain: number,
  block: number,
): void {
  const { fft, twist } = transformOf(block);
  const time = new Float64Array(2 * block);
  const spectrum = new Float64Array(2 * block);
  // The engine's inverse transform leaves out its factor of 1/N.
  const scale = gain / block;
  for (let p = 0; p < partitions; p++) {
    const start = p * block;
    for (let n = 0; n < block; n++) {
      const tap = start + n < kernel.length ? kernel[start + n] * scale : 0;
      time[2 * n] = tap * twist[2 * n];
      time[2 * n + 1] = tap * twist[2 * n + 1];
    }
    fft.transform(spectrum, time);
    for (let bin = 0; bin < block; bin++) {
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
  const { block, paths, data, strings, sources, outputs, gatherings, rows } = packed;
  let place = 0;
  let before = 0;
  for (let at = 0; at < paths.length; at += PATH) {
    const [signal, target, partitions, kernel] = paths.subarray(at, at + PATH);
    const signals =
      signal < SOURCE ? strings : signal < BENT ? SOURCE + sources.length : BENT + gatherings.length * LANES;
    // Within a table paths go target by target.
    if (signal >= signals || target >= rows.length + outputs || target < before || kernel !== place)
      throw new RangeError(`path ${at / PATH} of a kernel set leads nowhere`);
    before = target;
    place += partitions;
  }
  const bytes = place * block * 8;
  if (data.byteLength !== bytes)
    throw new RangeError(`packed kernels hold ${data.byteLength} bytes, expected ${bytes}`);
}
