/**
 * Uniformly partitioned overlap-save convolution with a frequency-domain delay line (T. G. Stockham, AFIPS 1966;
 * J.-S. Soo and K. K. Pang, IEEE Trans. ASSP 38 (1990) 373): many strings in, their products summed in frequency, one
 * inverse transform for each output. Blocks of 128 samples, no latency. What it keeps depends on the input alone, never
 * on the kernels, so any number of kernel sets can be heard over the same past.
 */
import { forward256, inverseTail256 } from './fft256.ts';
import { BLOCK, type KernelSpectra, SPECTRUM } from './partition.ts';

/**
 * y += x·h for two partitions, packed spectra. Of the forms tried in V8 (1, 2, 4 or 8 at a time; parts interleaved or
 * apart; by bin or by partition; Float32) two at a time, interleaved, Float64 ran fastest in both Node 20 and Chromium
 * 156. The end of each loop is a local number: read from an imported constant it made the loop four times slower.
 */
function multiplyAdd2(y: Float64Array, x0: Float64Array, h0: Float64Array, x1: Float64Array, h1: Float64Array): void {
  const end = 256;
  y[0] += x0[0] * h0[0] + x1[0] * h1[0];
  y[1] += x0[1] * h0[1] + x1[1] * h1[1];
  for (let k = 2; k < end; k += 2) {
    const ar = x0[k];
    const ai = x0[k + 1];
    const br = h0[k];
    const bi = h0[k + 1];
    const cr = x1[k];
    const ci = x1[k + 1];
    const dr = h1[k];
    const di = h1[k + 1];
    y[k] += ar * br - ai * bi + (cr * dr - ci * di);
    y[k + 1] += ar * bi + ai * br + (cr * di + ci * dr);
  }
}

const NOTHING = new Float64Array(SPECTRUM);

export class Convolver {
  readonly strings: number;
  /** Blocks of input kept: the longest kernel, in partitions. */
  readonly depth: number;
  /** Samples before and in the current block, by string. */
  #windows: Float64Array[] = [];
  /** Packed spectra of past windows, [string][slot], a ring. */
  #history: Float64Array[][] = [];
  /** 1 where a slot is all zeros, [string × depth + slot]. */
  #silent: Uint8Array;
  /** Whether the last block of each string was all zeros. */
  #quiet: Uint8Array;
  #slot = 0;
  #sum = new Float64Array(SPECTRUM);

  constructor(strings: number, depth: number) {
    if (!(Number.isInteger(strings) && strings > 0 && Number.isInteger(depth) && depth > 0))
      throw new RangeError(`convolver needs whole numbers of strings and partitions, got ${strings} and ${depth}`);
    this.strings = strings;
    this.depth = depth;
    for (let s = 0; s < strings; s++) {
      this.#windows.push(new Float64Array(SPECTRUM));
      this.#history.push(Array.from({ length: depth }, () => new Float64Array(SPECTRUM)));
    }
    this.#silent = new Uint8Array(strings * depth).fill(1);
    this.#quiet = new Uint8Array(strings).fill(1);
  }

  /** Forgets all input. */
  reset(): void {
    for (const window of this.#windows) window.fill(0);
    this.#silent.fill(1);
    this.#quiet.fill(1);
  }

  /**
   * Takes one block of every string; strings that `inputs` lacks are silent. Returns how many samples were not finite;
   * they count as 0.
   */
  push(inputs: readonly Float32Array[]): number {
    let bad = 0;
    const size = BLOCK;
    const slot = this.#slot + 1 === this.depth ? 0 : this.#slot + 1;
    this.#slot = slot;
    for (let s = 0; s < this.strings; s++) {
      const at = s * this.depth + slot;
      const input = s < inputs.length ? inputs[s] : null;
      const window = this.#windows[s];
      // Squares of 32-bit samples neither vanish nor overflow in 64 bits: 0 means all zeros, NaN or infinity a bad one.
      let even = 0;
      let odd = 0;
      if (input !== null)
        for (let i = 0; i < size; i += 2) {
          even += input[i] * input[i];
          odd += input[i + 1] * input[i + 1];
        }
      const energy = even + odd;
      const quiet = energy === 0 ? 1 : 0;
      if (quiet === 1 && this.#quiet[s] === 1) {
        this.#silent[at] = 1;
        continue;
      }
      for (let i = 0; i < size; i++) window[i] = window[size + i];
      if (quiet === 1 || input === null) window.fill(0, size);
      else if (energy - energy === 0) for (let i = 0; i < size; i++) window[size + i] = input[i];
      else
        for (let i = 0; i < size; i++) {
          const x = input[i];
          const ok = x - x === 0;
          if (!ok) bad++;
          window[size + i] = ok ? x : 0;
        }
      forward256(this.#history[s][slot], window);
      this.#silent[at] = 0;
      this.#quiet[s] = quiet;
    }
    return bad;
  }

  /** The current block of one output through `kernels`, 128 samples into `out`. */
  render(out: Float64Array, kernels: KernelSpectra, output: number): void {
    const sum = this.#sum;
    const depth = this.depth;
    const silent = this.#silent;
    const spectra = kernels.spectra[output];
    const strings = Math.min(this.strings, spectra.length);
    const partitions = Math.min(depth, kernels.packed.partitions);
    let heldX: Float64Array = NOTHING;
    let heldH: Float64Array = NOTHING;
    let held = false;
    let any = false;
    for (let s = 0; s < strings; s++) {
      const history = this.#history[s];
      const kernel = spectra[s];
      let slot = this.#slot;
      for (let p = 0; p < partitions; p++, slot = slot === 0 ? depth - 1 : slot - 1) {
        const h = kernel[p];
        if (h === null || silent[s * depth + slot] === 1) continue;
        if (!held) {
          heldX = history[slot];
          heldH = h;
          held = true;
          continue;
        }
        if (!any) sum.fill(0);
        any = true;
        held = false;
        multiplyAdd2(sum, heldX, heldH, history[slot], h);
      }
    }
    if (held) {
      if (!any) sum.fill(0);
      any = true;
      multiplyAdd2(sum, heldX, heldH, NOTHING, NOTHING);
    }
    if (any) inverseTail256(out, sum);
    else out.fill(0);
  }
}
