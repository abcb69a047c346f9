/**
 * Which kernel set is heard. A new set is faded in over the same input history, equal gain (the two weights sum to 1:
 * what is alike in both stays at its level). A set that comes during a fade waits until the fade has ended; only the
 * newest waits.
 */
import type { Convolver } from './convolver.ts';
import { BLOCK, type KernelSpectra } from './partition.ts';

/** Longest fade, seconds; whole blocks are used, so it may be up to a block shorter. */
export const FADE_SECONDS = 0.02;

/**
 * Rising weights of a fade over `blocks` blocks. A straight ramp has two corners, whose spectrum falls with 12 dB an
 * octave only; half a cosine bends there instead. Measured 500 Hz and more beside a 1 kHz sine whose sign is changed
 * (20 ms, windows of 0.34 s): −87 dB straight, −110 dB so.
 */
const fadeWeights = (blocks: number): Float64Array =>
  Float64Array.from({ length: blocks * BLOCK }, (_, i) => 0.5 - 0.5 * Math.cos((Math.PI * (i + 1)) / (blocks * BLOCK)));

/** Spent kernel sets that can wait to be collected; more than this are left to the garbage collector. */
const SPENT = 8;

export class KernelFade {
  #current: KernelSpectra | null = null;
  #next: KernelSpectra | null = null;
  #pending: KernelSpectra | null = null;
  #spent: (KernelSpectra | null)[] = new Array(SPENT).fill(null);
  #weights: Float64Array;
  /** Samples of the running fade that are past. */
  #at = 0;
  #mix = new Float64Array(BLOCK);

  constructor(sampleRate: number, seconds = FADE_SECONDS) {
    this.#weights = fadeWeights(Math.max(1, Math.floor((seconds * sampleRate) / BLOCK)));
  }

  get fading(): boolean {
    return this.#next !== null;
  }

  /** The set to go to: at once if nothing has been heard yet and `immediately`, else by a fade. */
  target(kernels: KernelSpectra, immediately = false): void {
    if (immediately) {
      this.#retire(this.#current);
      this.#retire(this.#next);
      this.#retire(this.#pending);
      this.#current = kernels;
      this.#next = null;
      this.#pending = null;
    } else if (this.#next === null) {
      this.#next = kernels;
      this.#at = 0;
    } else {
      this.#retire(this.#pending);
      this.#pending = kernels;
    }
  }

  /** The current block of one output, 128 samples into `out`. */
  render(out: Float64Array, convolver: Convolver, output: number): void {
    if (this.#current === null) out.fill(0);
    else convolver.render(out, this.#current, Math.min(output, this.#current.packed.outputs - 1));
    if (this.#next === null) return;
    const mix = this.#mix;
    const weights = this.#weights;
    convolver.render(mix, this.#next, Math.min(output, this.#next.packed.outputs - 1));
    const at = this.#at;
    const size = BLOCK;
    for (let i = 0; i < size; i++) out[i] += weights[at + i] * (mix[i] - out[i]);
  }

  /** To be called once a block, after all outputs are rendered. */
  advance(): void {
    if (this.#next === null) return;
    this.#at += BLOCK;
    if (this.#at < this.#weights.length) return;
    this.#retire(this.#current);
    this.#current = this.#next;
    this.#next = this.#pending;
    this.#pending = null;
    this.#at = 0;
  }

  /** A set that is no longer heard, once each; null when there is none. */
  takeSpent(): KernelSpectra | null {
    for (let i = 0; i < SPENT; i++) {
      const set = this.#spent[i];
      if (set !== null) {
        this.#spent[i] = null;
        return set;
      }
    }
    return null;
  }

  #retire(set: KernelSpectra | null): void {
    if (set === null) return;
    for (let i = 0; i < SPENT; i++)
      if (this.#spent[i] === null) {
        this.#spent[i] = set;
        return;
      }
  }
}
