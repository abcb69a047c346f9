/**
 * Which kernel set is heard. A new set is first copied to the convolver's other place, over several blocks where it is
 * long, then faded in over the same input history, equal gain (the two weights sum to 1: what is alike in both stays at
 * its level). A set that comes meanwhile waits until the fade has ended; only the newest waits.
 */
import type { Convolver, KernelPlace } from './convolver.ts';
import { allPartitions, type PackedKernels } from './partition.ts';

/** Longest fade, seconds; whole blocks are used, so it may be up to a block shorter. */
export const FADE_SECONDS = 0.02;

/**
 * Rising weights of a fade of at most so many samples, in whole blocks. A straight ramp has two corners, whose spectrum falls
 * with 12 dB an octave only; half a cosine bends there instead. Measured 500 Hz and more beside a 1 kHz sine whose sign is
 * changed (20 ms, windows of 0.34 s): −87 dB straight, −110 dB so.
 */
export function fadeWeights(samples: number, block: number): Float32Array {
  const length = Math.max(1, Math.floor(samples / block)) * block;
  return Float32Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((Math.PI * (i + 1)) / length));
}

/** Sets handed back that can wait to be collected; more than this are left to the garbage collector. */
const SPENT = 8;
/**
 * Blocks, at most, in which a set with laws runs unheard before its fade: its bent signals have a past of their own, and
 * what their kernels remember beyond this is faded in.
 */
const WARM = 48;
/** Partitions copied in one block, at least; and as part of those that the heard set makes the block work through. */
const COPIED = { least: 32, part: 0.5 };

const sourcesOf = (set: PackedKernels | null): number => (set === null ? 0 : set.sources.length);

export class KernelFade {
  #convolver: Convolver;
  #place: KernelPlace = 0;
  #current: PackedKernels | null = null;
  #next: PackedKernels | null = null;
  #waiting: PackedKernels | null = null;
  /** Partitions of the next set that are copied, and whether all of it is there. */
  #copied = 0;
  #there = false;
  #spent: (PackedKernels | null)[] = new Array(SPENT).fill(null);
  #length: number;
  /** Blocks that the next set still runs unheard. */
  #warming = 0;
  /** Samples of the running fade that are past. */
  #at = 0;

  /** @param length samples of a fade */
  constructor(convolver: Convolver, length: number) {
    this.#convolver = convolver;
    this.#length = length;
  }

  /** The set that is heard alone, or that a fade leaves; null: none yet. Its data may have been handed back. */
  get heard(): PackedKernels | null {
    return this.#current;
  }

  /** Most sources of a set that is heard, comes or waits. */
  get sources(): number {
    return Math.max(sourcesOf(this.#current), sourcesOf(this.#next), sourcesOf(this.#waiting));
  }

  /** The set to go to: at once if `immediately`, else by a fade. */
  target(kernels: PackedKernels, immediately = false): void {
    if (immediately) {
      if (!this.#there) this.#retire(this.#next);
      this.#warming = 0;
      this.#retire(this.#waiting);
      this.#convolver.copy(this.#place, kernels, 0, allPartitions(kernels));
      this.#current = kernels;
      this.#next = null;
      this.#waiting = null;
      this.#retire(kernels);
    } else if (this.#next === null) this.#begin(kernels);
    else {
      this.#retire(this.#waiting);
      this.#waiting = kernels;
    }
  }

  /** Sends the current block on its way out. Returns how many samples were not finite; all is silence then. */
  render(): number {
    const fading = this.#bring();
    const convolver = this.#convolver;
    const { outputs } = convolver.size;
    const here = this.#place;
    const there = here === 0 ? 1 : 0;
    if (this.#current !== null) convolver.bend(here);
    if (fading || this.#warming > 0) convolver.bend(there);
    const heard = Math.min(outputs, this.#current?.outputs ?? 0);
    const coming = fading ? Math.min(outputs, this.#next?.outputs ?? 0) : 0;
    if (heard > 0) convolver.render(here, heard);
    if (coming > 0) convolver.render(there, coming);
    const bad = convolver.mix(here, heard, heard === 0 ? 0 : coming, this.#at);
    if (fading) this.#advance();
    return bad;
  }

  /** A set whose data is not needed any more, once each; null when there is none. */
  takeSpent(): PackedKernels | null {
    for (let i = 0; i < SPENT; i++) {
      const set = this.#spent[i];
      if (set !== null) {
        this.#spent[i] = null;
        return set;
      }
    }
    return null;
  }

  #begin(kernels: PackedKernels): void {
    this.#next = kernels;
    this.#copied = 0;
    this.#there = false;
    this.#warming = 0;
    this.#at = 0;
  }

  /** Copies what this block may of the next set, then lets it run unheard; true where it may be heard. */
  #bring(): boolean {
    const next = this.#next;
    if (next === null || this.#at > 0) return next !== null;
    if (this.#warming > 0) return --this.#warming === 0;
    const all = allPartitions(next);
    if (!this.#there) {
      const busy = this.#current === null ? 0 : allPartitions(this.#current);
      const to = Math.min(all, this.#copied + Math.max(COPIED.least, Math.ceil(busy * COPIED.part)));
      this.#convolver.copy(this.#place === 0 ? 1 : 0, next, this.#copied, to);
      this.#copied = to;
      if (to < all) return false;
      this.#there = true;
      this.#retire(next);
      this.#warming = next.gatherings.length === 0 ? 0 : Math.min(WARM, next.partitions + 1);
    }
    return this.#warming === 0;
  }

  #advance(): void {
    this.#at += this.#convolver.size.block;
    if (this.#at < this.#length) return;
    this.#place = this.#place === 0 ? 1 : 0;
    this.#current = this.#next;
    this.#next = null;
    const waiting = this.#waiting;
    this.#waiting = null;
    if (waiting !== null) this.#begin(waiting);
  }

  #retire(set: PackedKernels | null): void {
    if (set === null) return;
    for (let i = 0; i < SPENT; i++)
      if (this.#spent[i] === null) {
        this.#spent[i] = set;
        return;
      }
  }
}
