/**
 * The engine's convolver, as it is called from here: uniformly partitioned overlap-save convolution with a
 * frequency-domain delay line (T. G. Stockham, AFIPS 1966; J.-S. Soo and K. K. Pang, IEEE Trans. ASSP 38 (1990) 373).
 * Many strings in, their products summed in frequency, one inverse transform for each output. Blocks of 128 samples, no
 * latency. What it keeps of the past depends on the input alone, never on the kernels, so two kernel sets can be heard
 * over the same past. The work is done in `vector/`.
 */
import { type EngineBinary, instantiate } from './binary.ts';
import { allPartitions, BLOCK, type PackedKernels, SPECTRUM } from './partition.ts';

/** One of the two places for a kernel set. */
export type KernelPlace = 0 | 1;

export interface ConvolverSize {
  strings: number;
  outputs: number;
  /** Blocks of input kept: the longest kernel, in partitions. */
  depth: number;
}

export class Convolver {
  readonly size: ConvolverSize;
  #binary: EngineBinary;
  #floats: Float32Array;
  #words: Uint32Array;
  #inputs: Float32Array[] = [];
  /** [place][output] */
  #outputs: Float32Array[][] = [[], []];
  #paths = [0, 0];

  constructor(size: ConvolverSize) {
    const { strings, outputs, depth } = size;
    if (![strings, outputs, depth].every(n => Number.isInteger(n) && n > 0))
      throw new RangeError(
        `convolver needs whole numbers of strings, outputs and partitions, got ${strings}, ${outputs} and ${depth}`,
      );
    this.size = size;
    this.#binary = instantiate();
    this.#binary.prepare(strings, depth, outputs, strings * outputs, strings * outputs * depth);
    // Memory does not grow any more: these views hold.
    const { buffer } = this.#binary.memory;
    this.#floats = new Float32Array(buffer);
    this.#words = new Uint32Array(buffer);
    const block = (address: number) => new Float32Array(buffer, address, BLOCK);
    for (let s = 0; s < strings; s++) this.#inputs.push(block(this.#binary.inputAt(s)));
    for (const place of [0, 1])
      for (let o = 0; o < outputs; o++) this.#outputs[place].push(block(this.#binary.outputAt(place, o)));
  }

  /** Forgets all input. */
  reset(): void {
    this.#binary.reset();
  }

  /**
   * Takes one block of every string; strings that `inputs` lacks are silent. Returns how many samples were not finite;
   * they count as 0.
   */
  push(inputs: readonly Float32Array[]): number {
    for (let s = 0; s < this.#inputs.length; s++) {
      if (s < inputs.length) this.#inputs[s].set(inputs[s]);
      else this.#inputs[s].fill(0);
    }
    return this.#binary.take();
  }

  /** Copies partitions `from` to `to` of a kernel set to a place; it can be heard once all of it is there. */
  copy(place: KernelPlace, kernels: PackedKernels, from: number, to: number): void {
    const part = new Float32Array(kernels.data, from * SPECTRUM * 4, (to - from) * SPECTRUM);
    this.#floats.set(part, this.#binary.kernelsAt(place) / 4 + from * SPECTRUM);
    if (to < allPartitions(kernels)) return;
    this.#words.set(kernels.paths, this.#binary.pathsAt(place) / 4);
    this.#paths[place] = kernels.paths.length / 4;
  }

  /** Renders the current block of the first `outputs` outputs through the set at a place. */
  render(place: KernelPlace, outputs: number): void {
    this.#binary.render(place, this.#paths[place], outputs);
  }

  /** The block of an output that was rendered last. */
  output(place: KernelPlace, output: number): Float32Array {
    return this.#outputs[place][output];
  }
}
