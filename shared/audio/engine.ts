/**
 * The sound of a build, block by block: strings in, kernels, volume, limiter, outputs. No clock and no context: the audio
 * thread, file rendering and the tests run this same class, around the same binary (`binary.ts`).
 */
import { Convolver, type ConvolverSize, sizeOf } from './convolver.ts';
import { FADE_SECONDS, fadeWeights, KernelFade } from './fade.ts';
import { BLOCK, checkPacked, type PackedKernels } from './partition.ts';
import { Generator } from './sources.ts';

/** Samples that the limiter is late by (`vector/limiter.ts`). */
export const LOOK_AHEAD = 96;
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
  // hum, and a noise for each output
  const sources = 1 + outputs;
  const paths = (strings + sources) * outputs + 4 * LAWS.rows * strings;
  return { block: BLOCK, strings, sources, outputs, depth, paths, partitions: 2 * strings * outputs * depth, ...LAWS };
}

/** Throws where a kernel set does not hang together, or an engine has no room for it. */
function checkFits(packed: PackedKernels, size: ConvolverSize): void {
  checkPacked(packed);
  const needed = sizeOf(packed);
  if (needed.block !== size.block)
    throw new RangeError(`kernels for blocks of ${needed.block} samples, the engine has ${size.block}`);
  if (needed.depth > size.depth)
    throw new RangeError(`kernels of ${needed.depth * size.block} taps, the engine takes ${size.depth * size.block}`);
  if (needed.strings > size.strings)
    throw new RangeError(`kernels for ${needed.strings} strings, the engine takes ${size.strings}`);
  for (const what of ['sources', 'paths', 'partitions', 'rows', 'gatherings', 'lawBytes'] as const)
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
  /** What makes the sources of the newest set; those of an older one that fades go on. */
  #generators: (Generator | null)[];
  #volume = 0;
  #volumeTarget: number;
  #volumeStep = 0;
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
    const size = config.size ?? usualSize(strings, outputs, filled.maxTaps);
    const weights = fadeWeights(filled.fade * sampleRate, size.block);
    this.#convolver = new Convolver(size, sampleRate, weights);
    this.#kernels = new KernelFade(this.#convolver, weights.length);
    this.#generators = new Array(size.sources).fill(null);
    this.latency = filled.limiter ? LOOK_AHEAD : 0;
    this.#volumeTarget = filled.volume;
    this.reset();
  }

  /** Forgets all sound, keeps the kernels, and starts from quiet again. */
  reset(): void {
    this.#convolver.reset();
    this.#convolver.forgetLimiter();
    this.#volume = this.config.rise > 0 ? 0 : this.#volumeTarget;
    this.#volumeStep = this.#volumeTarget / Math.max(1, this.config.rise * this.config.sampleRate);
  }

  /**
   * Goes to another kernel set: by a crossfade, or at once if `immediately` (before the first block). What is longer
   * than maxTaps or has more strings than the engine is refused.
   */
  setKernels(packed: PackedKernels, immediately = false): void {
    checkFits(packed, this.#convolver.size);
    for (const [i, source] of packed.sources.entries())
      if (JSON.stringify(this.#generators[i]?.source) !== JSON.stringify(source))
        this.#generators[i] = new Generator(source, this.config.sampleRate);
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

  /**
   * One block of each string (missing strings are silent) to one of each output. What is not finite becomes silence, and the
   * past that may have made it is forgotten. Allocates nothing.
   */
  process(inputs: readonly Float32Array[], outputs: readonly Float32Array[]): void {
    const convolver = this.#convolver;
    this.#bad += convolver.push(inputs, this.#generators);
    this.#dropSources();
    const bad = this.#kernels.render();
    if (bad > 0) {
      this.#bad += bad;
      convolver.reset();
    }
    const gain = convolver.finish(this.#volume, this.#volumeStep, this.#volumeTarget, this.config.limiter);
    this.#lowestGain = Math.min(this.#lowestGain, gain);
    this.#moveVolume();
    const { heard } = convolver;
    for (let o = 0; o < outputs.length; o++) outputs[o].set(heard[Math.min(o, heard.length - 1)]);
    this.#samples += convolver.size.block;
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
    const { meters } = this.#convolver;
    for (let o = 0; o < meters.length; o++) {
      out[METER.output + 2 * o] = meters[o][0];
      out[METER.output + 2 * o + 1] = this.#samples > 0 ? meters[o][1] / this.#samples : 0;
      meters[o].fill(0);
    }
    this.#samples = 0;
    this.#lowestGain = 1;
  }

  /** Sources that no set hears any more are off, and cost nothing. */
  #dropSources(): void {
    const used = this.#kernels.sources;
    for (let i = used; i < this.#generators.length; i++) this.#generators[i] = null;
  }

  #moveVolume(): void {
    const step = this.#volumeStep;
    const next = this.#volume + step * this.#convolver.size.block;
    this.#volume = step > 0 ? Math.min(next, this.#volumeTarget) : Math.max(next, this.#volumeTarget);
  }
}
