/**
 * The sound of a build, block by block: strings in, kernels, volume, limiter, outputs. No clock and no context: the audio
 * thread, file rendering and the tests run this same class, around the same binary (`binary.ts`).
 */
import { Convolver, type ConvolverSize, sizeOf } from './convolver.ts';
import { FADE_SECONDS, KernelFade } from './fade.ts';
import { Limiter, LOOK_AHEAD } from './limiter.ts';
import { BLOCK, checkPacked, type PackedKernels } from './partition.ts';

/** Most strings a set of kernels can have. */
export const MAX_STRINGS = 12;
/** Longest kernel, seconds: what the slowest network's tail asks for, and more. */
const LONGEST_KERNEL = 1;
/** Longest kernel in samples that an engine takes unless told otherwise, at a sample rate in Hz. */
export const longestKernel = (sampleRate: number): number => Math.ceil(LONGEST_KERNEL * sampleRate);

export interface EngineConfig {
  /** Hz. */
  sampleRate: number;
  strings: number;
  outputs: number;
  /** Longest kernel in samples, what the input history is kept for; longestKernel() if not given. */
  maxTaps?: number;
  /** Room for exactly this, in place of `maxTaps`. */
  size?: ConvolverSize;
  /** Keep the output below −1 dBFS true peak, LOOK_AHEAD samples late; true if not given. */
  limiter?: boolean;
  /** Linear gain before the limiter; 1 if not given. */
  volume?: number;
  /** Seconds in which the volume rises from nothing at the start; 0 (at once) if not given. */
  rise?: number;
  /** Longest crossfade between kernel sets, seconds; FADE_SECONDS if not given. */
  fade?: number;
}

/** Where `readMeters` puts what; after METER.output come peak and mean square of each output. */
export const METER = { gain: 0, bad: 1, blocks: 2, output: 3 } as const;
/** Numbers that `readMeters` writes for a number of outputs. */
export const meterSize = (outputs: number): number => METER.output + 2 * outputs;

/** Seconds in which a change of volume is reached. */
const VOLUME_SECONDS = 0.05;

/** What an engine has room for unless told otherwise: laws of a dozen strings under four coils, with as many stages. */
const LAWS = { rows: 24, gatherings: 6, lawBytes: 24 * 12_800 };

/** The sizes of an engine for kernels of at most `maxTaps`. */
function usualSize(strings: number, outputs: number, maxTaps: number): ConvolverSize {
  const depth = Math.ceil(maxTaps / BLOCK);
  const paths = strings * outputs + 4 * LAWS.rows * strings;
  return { strings, outputs, depth, paths, partitions: 2 * strings * outputs * depth, ...LAWS };
}

/** Throws where a kernel set does not hang together, or an engine has no room for it. */
function checkFits(packed: PackedKernels, size: ConvolverSize): void {
  checkPacked(packed);
  const needed = sizeOf(packed);
  if (needed.depth > size.depth)
    throw new RangeError(`kernels of ${needed.depth * BLOCK} taps, the engine takes ${size.depth * BLOCK}`);
  if (needed.strings > size.strings)
    throw new RangeError(`kernels for ${needed.strings} strings, the engine takes ${size.strings}`);
  for (const what of ['paths', 'partitions', 'rows', 'gatherings', 'lawBytes'] as const)
    if (needed[what] > size[what])
      throw new RangeError(`a kernel set with ${what} ${needed[what]}, the engine takes ${size[what]}`);
}

/** The same for the engine that plays: throws where it could not take a kernel set. */
export const checkKernels = (packed: PackedKernels, outputs: number, sampleRate: number): void =>
  checkFits(packed, usualSize(MAX_STRINGS, outputs, longestKernel(sampleRate)));

export class Engine {
  readonly config: Required<Omit<EngineConfig, 'size'>>;
  /** Delay of the limiter, samples; kernels and laws have their own. */
  readonly latency: number;
  #convolver: Convolver;
  #kernels: KernelFade;
  #limiter: Limiter | null;
  #blocks: Float64Array[] = [];
  #volume = 0;
  #volumeTarget: number;
  #volumeStep = 0;
  #peak: Float64Array;
  #energy: Float64Array;
  #samples = 0;
  #lowestGain = 1;
  #bad = 0;
  #processed = 0;

  constructor(config: EngineConfig) {
    const { sampleRate, strings, outputs } = config;
    if (!(sampleRate > 0)) throw new RangeError(`sample rate must be positive, got ${sampleRate}`);
    if (!(Number.isInteger(outputs) && outputs > 0)) throw new RangeError(`outputs must be 1 or more, got ${outputs}`);
    const usual = { maxTaps: longestKernel(sampleRate), limiter: true, volume: 1, rise: 0, fade: FADE_SECONDS };
    const filled = { ...usual, ...config };
    this.config = filled;
    this.#convolver = new Convolver(config.size ?? usualSize(strings, outputs, filled.maxTaps));
    this.#kernels = new KernelFade(this.#convolver, sampleRate, filled.fade);
    this.#limiter = filled.limiter ? new Limiter(outputs, sampleRate) : null;
    this.latency = filled.limiter ? LOOK_AHEAD : 0;
    for (let o = 0; o < outputs; o++) this.#blocks.push(new Float64Array(BLOCK));
    this.#peak = new Float64Array(outputs);
    this.#energy = new Float64Array(outputs);
    this.#volumeTarget = filled.volume;
    this.reset();
  }

  /** Forgets all sound, keeps the kernels, and starts from quiet again. */
  reset(): void {
    this.#convolver.reset();
    this.#limiter?.reset();
    this.#volume = this.config.rise > 0 ? 0 : this.#volumeTarget;
    this.#volumeStep = this.#volumeTarget / Math.max(1, this.config.rise * this.config.sampleRate);
  }

  /**
   * Goes to another kernel set: by a crossfade, or at once if `immediately` (before the first block). What is longer
   * than maxTaps or has more strings than the engine is refused.
   */
  setKernels(packed: PackedKernels, immediately = false): void {
    checkFits(packed, this.#convolver.size);
    this.#kernels.target(packed, immediately);
  }

  /** The kernel set that is heard, or that is being left by a fade; null before the first. */
  get heard(): PackedKernels | null {
    return this.#kernels.heard;
  }

  /** A packed set whose data is not needed any more, to be handed back; null when there is none. */
  takeSpent(): PackedKernels | null {
    return this.#kernels.takeSpent();
  }

  /** Volume, linear gain; reached along a straight line. */
  setVolume(gain: number): void {
    if (!(gain >= 0 && gain < Number.POSITIVE_INFINITY)) throw new RangeError(`volume must be 0 or more, got ${gain}`);
    this.#volumeTarget = gain;
    this.#volumeStep = (gain - this.#volume) / (VOLUME_SECONDS * this.config.sampleRate);
  }

  /** One block: 128 samples of each string (missing strings are silent) to 128 of each output. Allocates nothing. */
  process(inputs: readonly Float32Array[], outputs: readonly Float32Array[]): void {
    const size = BLOCK;
    this.#bad += this.#convolver.push(inputs);
    const blocks = this.#blocks;
    this.#kernels.render(blocks);
    this.#guard();
    this.#applyVolume();
    if (this.#limiter !== null) {
      this.#limiter.process(blocks);
      this.#lowestGain = Math.min(this.#lowestGain, this.#limiter.gain);
    }
    for (let o = 0; o < outputs.length; o++) {
      const block = blocks[Math.min(o, blocks.length - 1)];
      const output = outputs[o];
      for (let i = 0; i < size; i++) output[i] = block[i];
    }
    this.#measure();
    this.#processed++;
  }

  /**
   * Lowest limiter gain (linear), numbers that were not finite and blocks since the start, then peak (linear) and mean
   * square of each output since the last reading: see METER.
   */
  readMeters(out: Float32Array): void {
    out[METER.gain] = this.#lowestGain;
    out[METER.bad] = this.#bad;
    out[METER.blocks] = this.#processed;
    for (let o = 0; o < this.#blocks.length; o++) {
      out[METER.output + 2 * o] = this.#peak[o];
      out[METER.output + 2 * o + 1] = this.#samples > 0 ? this.#energy[o] / this.#samples : 0;
    }
    this.#peak.fill(0);
    this.#energy.fill(0);
    this.#samples = 0;
    this.#lowestGain = 1;
  }

  /** A block with anything not finite becomes silence, and the past that may have made it is forgotten. */
  #guard(): void {
    const size = BLOCK;
    let finite = 0;
    for (let o = 0; o < this.#blocks.length; o++) {
      const block = this.#blocks[o];
      for (let i = 0; i < size; i++) finite += block[i] * 0;
    }
    if (finite === 0) return;
    for (let o = 0; o < this.#blocks.length; o++) {
      const block = this.#blocks[o];
      for (let i = 0; i < size; i++) if (!Number.isFinite(block[i])) this.#bad++;
      block.fill(0);
    }
    this.#convolver.reset();
  }

  #applyVolume(): void {
    const size = BLOCK;
    const target = this.#volumeTarget;
    if (this.#volume === target) {
      if (target === 1) return;
      for (let o = 0; o < this.#blocks.length; o++) {
        const block = this.#blocks[o];
        for (let i = 0; i < size; i++) block[i] *= target;
      }
      return;
    }
    const step = this.#volumeStep;
    for (let i = 0; i < size; i++) {
      const next = this.#volume + step;
      this.#volume = step > 0 ? Math.min(next, target) : Math.max(next, target);
      for (let o = 0; o < this.#blocks.length; o++) this.#blocks[o][i] *= this.#volume;
    }
  }

  #measure(): void {
    const size = BLOCK;
    for (let o = 0; o < this.#blocks.length; o++) {
      const block = this.#blocks[o];
      let peak = this.#peak[o];
      let energy = 0;
      for (let i = 0; i < size; i++) {
        const x = block[i];
        const magnitude = x < 0 ? -x : x;
        if (magnitude > peak) peak = magnitude;
        energy += x * x;
      }
      this.#peak[o] = peak;
      this.#energy[o] += energy;
    }
    this.#samples += BLOCK;
  }
}
