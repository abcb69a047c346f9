/**
 * The engine's inner part, as it is called from here: uniformly partitioned overlap-save convolution with a
 * frequency-domain delay line (T. G. Stockham, AFIPS 1966; J.-S. Soo and K. K. Pang, IEEE Trans. ASSP 38 (1990) 373),
 * laws, and the way out. Many strings in, their products summed in frequency, one inverse transform for each output. No
 * latency. What it keeps of the past depends on the input alone, never on the kernels, so two kernel sets can be heard
 * over the same past. The work is done in `vector/`.
 */
import { type EngineBinary, instantiate } from './binary.ts';
import { allPartitions, BENT, LANES, PATH, type PackedKernels, SOURCE } from './partition.ts';
import type { Generator } from './sources.ts';

/** One of the two places for a kernel set. */
export type KernelPlace = 0 | 1;

export interface ConvolverSize {
  /** Samples of a block. */
  block: number;
  strings: number;
  sources: number;
  outputs: number;
  /** Blocks of input kept: the longest kernel, in partitions. */
  depth: number;
  /** Most paths of a set, and most partitions of all its kernels. */
  paths: number;
  partitions: number;
  /** Most rows of laws, gatherings, and bytes of laws of a set. */
  rows: number;
  gatherings: number;
  lawBytes: number;
}

/** What a set needs of everything that is sized. */
export function sizeOf(packed: PackedKernels): ConvolverSize {
  return {
    block: packed.block,
    strings: packed.strings,
    sources: packed.sources.length,
    outputs: packed.outputs,
    depth: packed.partitions,
    paths: packed.paths.length / PATH,
    partitions: allPartitions(packed),
    rows: packed.rows.length / LANES,
    gatherings: packed.gatherings.length,
    lawBytes: packed.laws.byteLength,
  };
}

/** What of a set stands at a place. */
interface Placed {
  set: PackedKernels | null;
  /** Paths to the outputs begin here, and end there. */
  from: number;
  to: number;
}

export class Convolver {
  readonly size: ConvolverSize;
  #binary: EngineBinary;
  #floats: Float32Array;
  #words: Uint32Array;
  #bytes: Uint8Array;
  #inputs: Float32Array[] = [];
  /** [place][output] */
  #outputs: number[][] = [[], []];
  /** What goes out. */
  readonly heard: Float32Array[] = [];
  /** Of each output the largest sample and the sum of squares since somebody set them to 0. */
  readonly meters: Float64Array[] = [];
  #placed: [Placed, Placed] = [
    { set: null, from: 0, to: 0 },
    { set: null, from: 0, to: 0 },
  ];

  /** @param weights those of a fade, sample by sample */
  constructor(size: ConvolverSize, sampleRate: number, weights: Float32Array) {
    const { block, strings, sources, outputs, depth, paths, partitions, rows, gatherings, lawBytes } = size;
    if (![strings, outputs, depth].every(n => Number.isInteger(n) && n > 0))
      throw new RangeError(
        `convolver needs whole numbers of strings, outputs and partitions, got ${strings}, ${outputs} and ${depth}`,
      );
    this.size = size;
    const binary = instantiate();
    this.#binary = binary;
    const sizes = [block, strings + sources, depth, outputs, paths, partitions, rows, gatherings, lawBytes] as const;
    binary.prepare(...sizes, weights.length, sampleRate);
    // Memory does not grow any more: these views hold.
    const { buffer } = binary.memory;
    this.#floats = new Float32Array(buffer);
    this.#words = new Uint32Array(buffer);
    this.#bytes = new Uint8Array(buffer);
    this.#floats.set(weights, binary.weightsAt() / 4);
    for (let i = 0; i < strings + sources; i++) this.#inputs.push(new Float32Array(buffer, binary.inputAt(i), block));
    for (let o = 0; o < outputs; o++) {
      for (const place of [0, 1]) this.#outputs[place].push(binary.outputAt(place, o));
      this.heard.push(new Float32Array(buffer, binary.heardAt(o), block));
      this.meters.push(new Float64Array(buffer, binary.metersAt(o), 2));
    }
  }

  /** Forgets all input, and what laws have made of it. */
  reset(): void {
    this.#binary.reset();
    this.#begin(0);
    this.#begin(1);
  }

  /** Forgets what stands in the limiter. */
  forgetLimiter(): void {
    this.#binary.forgetLimiter();
  }

  /**
   * Takes one block of every string and of every source; strings that `inputs` lacks are silent, and so are sources without
   * a generator. Returns how many samples were not finite; they count as 0.
   */
  push(inputs: readonly Float32Array[], generators: readonly (Generator | null)[]): number {
    const { strings, sources } = this.size;
    const given = Math.min(strings, inputs.length);
    for (let s = 0; s < given; s++) this.#inputs[s].set(inputs[s]);
    let sounding = 0;
    for (let i = 0; i < sources; i++) {
      const generator = i < generators.length ? generators[i] : null;
      if (generator === null) continue;
      // those between, if any, have nothing new to say
      for (; sounding < i; sounding++) this.#inputs[strings + sounding].fill(0);
      generator.fill(this.#inputs[strings + i]);
      sounding = i + 1;
    }
    return this.#binary.take(given, strings, strings + sounding);
  }

  /** Copies partitions `from` to `to` of a kernel set to a place; it can be heard once all of it is there. */
  copy(place: KernelPlace, kernels: PackedKernels, from: number, to: number): void {
    const numbers = 2 * this.size.block;
    const part = new Float32Array(kernels.data, from * numbers * 4, (to - from) * numbers);
    this.#floats.set(part, this.#binary.kernelsAt(place) / 4 + from * numbers);
    if (to === allPartitions(kernels)) this.#open(place, kernels);
  }

  /** One block of everything that laws bend in the set at a place; to be called before `render`, in every block. */
  bend(place: KernelPlace): void {
    const { set } = this.#placed[place];
    if (set === null) return;
    const { gatherings } = set;
    for (let g = 0; g < gatherings.length; g++) {
      const { rows, paths, lanes } = gatherings[g];
      this.#binary.bend(place, g, rows[0], rows[1], paths[0], paths[1], lanes);
    }
  }

  /** Renders the current block of the first `outputs` outputs through the set at a place. */
  render(place: KernelPlace, outputs: number): void {
    const { set, from, to } = this.#placed[place];
    this.#binary.render(place, from, to, set === null ? 0 : set.rows.length, outputs);
  }

  /**
   * What was rendered of the set at a place, which has `here` outputs, goes on its way out; outputs beyond the last sound as
   * that does. With it what was rendered of the other set, which has `there` outputs, if it has any: by the weights of a
   * fade from sample `at` on. Returns how many samples were not finite; all is silence then.
   */
  mix(place: KernelPlace, here: number, there: number, at: number): number {
    const from = this.#outputs[place];
    const to = this.#outputs[1 - place];
    let bad = 0;
    for (let o = 0; o < this.size.outputs; o++)
      bad += this.#binary.mix(
        o,
        here === 0 ? 0 : from[Math.min(o, here - 1)],
        there === 0 ? 0 : to[Math.min(o, there - 1)],
        at,
      );
    if (bad > 0) this.#binary.silence();
    return bad;
  }

  /**
   * What was mixed, through volume (linear, moving by `step` a sample as far as `target`), limiter and meters to `heard`.
   * Returns the limiter's lowest gain.
   */
  finish(volume: number, step: number, target: number, limited: boolean): number {
    return this.#binary.finish(volume, step, target, limited);
  }

  /** Writes a set's table of paths and its laws, and begins them in silence. */
  #open(place: KernelPlace, set: PackedKernels): void {
    const { paths, gatherings, laws } = set;
    const at = this.#binary.pathsAt(place) / 4;
    this.#words.set(paths, at);
    // Sources stand after all strings there is room for; bent signals have places of their own in each set.
    for (let i = 0; i < paths.length; i += PATH) {
      const bent = paths[i] - BENT;
      if (bent < 0 && paths[i] >= SOURCE) this.#words[at + i] = this.size.strings + paths[i] - SOURCE;
      if (bent >= 0) this.#words[at + i] = this.#binary.signalOf(place, Math.floor(bent / LANES)) + (bent % LANES);
    }
    this.#bytes.set(new Uint8Array(laws), this.#binary.lawsAt(place));
    const placed = this.#placed[place];
    placed.set = set;
    placed.from = gatherings.length === 0 ? 0 : gatherings[gatherings.length - 1].paths[1];
    placed.to = paths.length / PATH;
    this.#begin(place);
  }

  #begin(place: KernelPlace): void {
    const { set } = this.#placed[place];
    if (set === null) return;
    const { rows, gatherings } = set;
    for (let row = 0; row < rows.length / LANES; row++) {
      const at = row * LANES;
      this.#binary.openLaws(place, row, rows[at], rows[at + 1], rows[at + 2], rows[at + 3]);
    }
    for (let g = 0; g < gatherings.length; g++) this.#binary.open(place, g);
  }
}
