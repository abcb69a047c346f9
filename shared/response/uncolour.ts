/**
 * Un-colouring: taking out of a recording what it was recorded through, where the response is known. The inverse is exact
 * wherever the response is strong enough and fades to nothing where it is not, so that noise is lifted by no more than a
 * stated number of dB and nothing is invented at the nulls.
 *
 * With u = |H|/h the strength against the weakest usable one, h:  G = conj(H)/|H|² · r(u),  r = 1 for u ≥ 1 and
 * u²(2 − u²) below, which meets 1 without a corner and makes |G| fall to 0 with |H|. It is Wiener's inverse with the
 * soft knee moved below the band that is used (compare N. Wiener, Extrapolation, Interpolation and Smoothing of
 * Stationary Time Series, 1949, for r = u²/(u² + 1)).
 */

import { powerOfTwo, RealFft } from '../audio/fft.ts';
import { type Spectrum, spectrum } from '../complex.ts';
import { amplitudeOfDb, dbOfAmplitude } from '../decibels.ts';
import type { Build, TestPoint } from '../document/build.ts';
import { bandLimit } from './kernel.ts';
import { response } from './response.ts';

export interface UncolourOptions {
  /** Most that anything is lifted, in dB against the frequency that needs the least; 40 if not given. */
  maximumLift?: number;
  /** Band (Hz) that is asked for: its strongest frequency is the reference, and weak places are looked for in it. */
  band?: readonly [number, number];
}

/** How one channel is un-coloured. */
export interface Uncolouring {
  /** Inverse filter at `sampleRate`; its strongest frequency passes at 0 dB. */
  kernel: Float64Array;
  /** Samples by which the kernel is late; `uncolour` takes them out again. */
  delay: number;
  sampleRate: number;
  /**
   * Linear size of the response at the reference frequency. The un-coloured signal × 1/reference is the source in its own
   * unit (N, for a response in V/N).
   */
  reference: number;
  /** Bands [from, to] in Hz where the recording is too weak to say what the source did. */
  weak: [number, number][];
  /** Most that a frequency is lifted, dB: the stated limit or less. */
  lift: number;
}

const DEFAULT_LIFT = 40;
const DEFAULT_BAND = [60, 10000] as const;
/** r(u)/u is largest at u = √(2/3): there the lift would be 4/3 · √(2/3) of 1/h. */
const KNEE = (4 / 3) * Math.sqrt(2 / 3);
/** Kernel length in seconds: the edges of a null 40 dB deep are a few Hz wide. */
const SECONDS = 1.3;

/** Number of samples of the kernel, and of the grid that its response must be given on. */
export const uncolourSize = (sampleRate: number): number => powerOfTwo(SECONDS * sampleRate);

/** Frequencies (Hz) for the response that `uncolouring` takes; the first stands just above 0. */
export function uncolourFrequencies(sampleRate: number): Float64Array {
  const size = uncolourSize(sampleRate);
  return Float64Array.from({ length: size / 2 + 1 }, (_, k) => ((k || 1e-3) * sampleRate) / size);
}

/** The inverse of response `h`, given at `uncolourFrequencies(sampleRate)`. Throws RangeError if there is no response. */
export function uncolouring(h: Spectrum, sampleRate: number, options: UncolourOptions = {}): Uncolouring {
  const size = uncolourSize(sampleRate);
  const bin = sampleRate / size;
  const limit = amplitudeOfDb(options.maximumLift ?? DEFAULT_LIFT);
  const [low, high] = options.band ?? DEFAULT_BAND;
  const first = Math.ceil(low / bin);
  const last = Math.min(Math.floor(high / bin), Math.floor(0.43 * size));
  let reference = 0;
  for (let k = first; k <= last; k++) reference = Math.max(reference, Math.hypot(h.re[k], h.im[k]));
  if (!(reference > 0) || !Number.isFinite(reference)) {
    throw new RangeError('nothing of this string reaches the recording: its response is zero');
  }
  const weakest = (reference * KNEE) / limit;
  const inverse = spectrum(size / 2 + 1);
  const isWeak = new Uint8Array(size / 2 + 1);
  let lift = 0;
  for (let k = 0; k < inverse.re.length; k++) {
    const power = h.re[k] ** 2 + h.im[k] ** 2;
    const u2 = power / weakest ** 2;
    isWeak[k] = u2 < 1 ? 1 : 0;
    // r/|H|² stays finite as |H| goes to 0: (2 − u²)/h².
    const g = (u2 < 1 ? (2 - u2) / weakest ** 2 : 1 / power) * reference * bandLimit(k / size);
    // Late by half the kernel: (−1)^k.
    const sign = k % 2 === 0 ? g : -g;
    inverse.re[k] = sign * h.re[k];
    inverse.im[k] = -sign * h.im[k];
    lift = Math.max(lift, g * Math.sqrt(power));
  }
  const kernel = new Float64Array(size);
  new RealFft(size).inverse(kernel, inverse);
  fadeEnds(kernel);
  return {
    kernel,
    delay: size / 2,
    sampleRate,
    reference,
    weak: runs(isWeak, first, last).map(([from, to]) => [(from - 1) * bin, (to + 1) * bin]),
    lift: dbOfAmplitude(lift),
  };
}

/** Short cosine slopes at the ends, where the inverse's ringing is already far down. */
function fadeEnds(kernel: Float64Array) {
  const n = kernel.length >> 4;
  for (let i = 0; i < n; i++) {
    const g = 0.5 - 0.5 * Math.cos((Math.PI * (i + 0.5)) / n);
    kernel[i] *= g;
    kernel[kernel.length - 1 - i] *= g;
  }
}

/** Runs of marked bins between two bins; runs less than 3 Hz-ish apart (4 bins) become one. */
function runs(marks: Uint8Array, first: number, last: number): [number, number][] {
  const found: [number, number][] = [];
  for (let k = first; k <= last; k++) {
    if (!marks[k]) continue;
    const before = found[found.length - 1];
    if (before && k - before[1] <= 4) before[1] = k;
    else found.push([k, k]);
  }
  return found;
}

/**
 * The inverse of what a build does to one string on the way to `output` at `point`: for a take that was recorded through
 * that build.
 */
export function uncolouringOf(
  build: Build,
  stringIndex: number,
  point: TestPoint,
  sampleRate: number,
  options: UncolourOptions & { output?: number } = {},
): Uncolouring {
  const h = response(build, stringIndex, point, uncolourFrequencies(sampleRate), options.output ?? 0);
  return uncolouring(h, sampleRate, options);
}

/** `signal` without its colour, sample for sample in place; overlap-add convolution. */
export function uncolour(signal: Float32Array, { kernel, delay }: Uncolouring): Float32Array {
  const part = kernel.length;
  const fft = new RealFft(2 * part);
  const filter = fft.spectrum();
  const block = fft.spectrum();
  const time = new Float64Array(2 * part);
  fft.forward(filter, kernel);
  const out = new Float64Array(signal.length);
  for (let start = 0; start < signal.length; start += part) {
    fft.forward(block, signal.subarray(start, Math.min(start + part, signal.length)));
    for (let k = 0; k < fft.bins; k++) {
      const re = block.re[k] * filter.re[k] - block.im[k] * filter.im[k];
      block.im[k] = block.re[k] * filter.im[k] + block.im[k] * filter.re[k];
      block.re[k] = re;
    }
    fft.inverse(time, block);
    const at = start - delay;
    const from = Math.max(0, -at);
    const to = Math.min(time.length, signal.length - at);
    for (let i = from; i < to; i++) out[at + i] += time[i];
  }
  return Float32Array.from(out);
}
