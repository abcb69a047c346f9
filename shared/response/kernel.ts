/**
 * From a build to the FIR kernels its sound runs on: the exact response, sampled on an FFT grid, made late by the
 * string's delay, gently band-limited below Nyquist and brought back to time. The curve is the filter; nothing is
 * designed a second time, so nothing can disagree with the plot.
 */
import { longestKernel } from '../audio/engine.ts';
import { ComplexInverse } from '../audio/fft.ts';
import { power, type Spectrum } from '../complex.ts';
import { dbOfPower } from '../decibels.ts';
import type { Build, TestPoint } from '../document/build.ts';
import { kernelDelay } from './delay.ts';
import { responses } from './response.ts';

/** How far the sound of kernels lies from the curve where it lies farthest. */
export interface Departure {
  /** dB, not negative. */
  most: number;
  /** Hz. */
  at: number;
}

/** Kernels of one build at one test point. */
export interface KernelSet {
  /** Length of every kernel, a multiple of 128. */
  taps: number;
  /** Impulse responses, [output][string]. */
  outputs: Float32Array[][];
  /** Delay of each string's kernels, whole samples. */
  delays: number[];
  sampleRate: number;
  /** Where the response rings on for longer than the engine plays, what that costs; null: the curve is the filter. */
  departure: Departure | null;
}

/** Band limit: flat up to the first, nothing from the second on, as parts of the sample rate. */
export const BAND_LIMIT = [0.43, 0.5] as const;

/**
 * What may be cut off the end of a kernel: at most this much in Σ|h| against the largest magnitude of the response, which
 * bounds the error at every frequency to −100 dB of the maximum, and at most this part of its energy (−110 dB).
 */
export const CUT = { sum: 1e-5, energy: 1e-11 };

const BLOCK = 128;

/**
 * Part of a transform that a kernel may fill. What the response still has beyond the transform's end wraps to its start;
 * it has decayed through the rest by then, whose sum is within `CUT`.
 */
const ROOM = 7 / 8;

/**
 * The band limit at `part` of the sample rate: an edge whose slope is a four-term cosine window (A. Nuttall, IEEE Trans.
 * ASSP 29 (1981) 84, continuous first derivative), so its ringing dies within four times its inverse width.
 */
export function bandLimit(part: number): number {
  const u = (part - BAND_LIMIT[0]) / (BAND_LIMIT[1] - BAND_LIMIT[0]);
  if (u <= 0) return 1;
  if (u >= 1) return 0;
  const t = 2 * Math.PI * u;
  const [a0, a1, a2, a3] = [0.355768, 0.487396, 0.144232, 0.012604];
  const area = a0 * t - a1 * Math.sin(t) + (a2 / 2) * Math.sin(2 * t) - (a3 / 3) * Math.sin(3 * t);
  return 1 - area / (2 * Math.PI * a0);
}

/** An FFT size with everything on it that no build changes. */
interface Grid {
  size: number;
  /** Hz, bins 0 to size/2; bin 0 stands a thousandth of a bin above 0 Hz, where every network has a solution. */
  frequencies: Float64Array;
  limit: Float64Array;
  cos: Float64Array;
  sin: Float64Array;
  fft: ComplexInverse;
}

const grids = new Map<string, Grid>();

function gridOf(sampleRate: number, size: number): Grid {
  const name = `${sampleRate}/${size}`;
  let grid = grids.get(name);
  if (!grid) {
    const bins = size / 2 + 1;
    const frequencies = Float64Array.from({ length: bins }, (_, b) => ((b || 1e-3) * sampleRate) / size);
    const limit = Float64Array.from({ length: bins }, (_, b) => bandLimit(b / size));
    const cos = Float64Array.from({ length: size }, (_, i) => Math.cos((2 * Math.PI * i) / size));
    const sin = Float64Array.from({ length: size }, (_, i) => Math.sin((2 * Math.PI * i) / size));
    grid = { size, frequencies, limit, cos, sin, fft: new ComplexInverse(size) };
    grids.set(name, grid);
  }
  return grid;
}

/** The FFT grid frequencies (Hz) that `kernels` samples the response on first, for others to share its cached work. */
export const kernelFrequencies = (sampleRate: number): Float64Array =>
  gridOf(sampleRate, firstSize(sampleRate)).frequencies;

/** About 85 ms: what a common network needs, the slow end of its tone control included. */
const firstSize = (sampleRate: number): number => 2 ** Math.ceil(Math.log2(0.08 * sampleRate));
/** About 0.34 s: room for the slowest tail of a network that blocks direct current. */
const usualSize = (sampleRate: number): number => 4 * firstSize(sampleRate);
/** Longest kernel that the engine plays, whole blocks. */
const longest = (sampleRate: number): number => Math.floor(longestKernel(sampleRate) / BLOCK) * BLOCK;
/** Room for it: for what farads and megohms beyond the usual ring on. */
const lastSize = (sampleRate: number): number => 2 ** Math.ceil(Math.log2(longest(sampleRate) / ROOM));

/** Two real impulse responses from their half spectra by one complex inverse transform: a + jb has spectrum A + jB. */
function toTime(grid: Grid, a: Spectrum, delayA: number, b: Spectrum, delayB: number): [Float64Array, Float64Array] {
  const { size, limit, cos, sin, fft } = grid;
  const half = size / 2;
  const data = new Float64Array(2 * size);
  for (let bin = 0; bin < half; bin++) {
    const ta = (bin * delayA) % size;
    const tb = (bin * delayB) % size;
    const g = limit[bin];
    const are = g * (a.re[bin] * cos[ta] + a.im[bin] * sin[ta]);
    const aim = g * (a.im[bin] * cos[ta] - a.re[bin] * sin[ta]);
    const bre = g * (b.re[bin] * cos[tb] + b.im[bin] * sin[tb]);
    const bim = g * (b.im[bin] * cos[tb] - b.re[bin] * sin[tb]);
    if (bin === 0) {
      data[0] = are;
      data[1] = bre;
    } else {
      const mirror = 2 * (size - bin);
      data[2 * bin] = are - bim;
      data[2 * bin + 1] = aim + bre;
      data[mirror] = are + bim;
      data[mirror + 1] = bre - aim;
    }
  }
  const time = new Float64Array(2 * size);
  fft.inverse(time, data);
  const first = new Float64Array(size);
  const second = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    first[i] = time[2 * i];
    second[i] = time[2 * i + 1];
  }
  return [first, second];
}

/** Largest magnitude of a response below the band limit's upper end. */
function largest(grid: Grid, s: Spectrum): number {
  let most = 0;
  for (let b = 0; b < grid.limit.length; b++) most = Math.max(most, grid.limit[b] ** 2 * (s.re[b] ** 2 + s.im[b] ** 2));
  return Math.sqrt(most);
}

/** Samples needed so that what follows them stays within `CUT`; `most` is the largest magnitude of the response. */
function lengthFor(h: Float64Array, most: number): number {
  let whole = 0;
  for (const sample of h) whole += sample * sample;
  let sum = 0;
  let energy = 0;
  let length = h.length;
  for (; length > 0; length--) {
    const sample = h[length - 1];
    sum += Math.abs(sample);
    energy += sample * sample;
    if (sum > CUT.sum * most || energy > CUT.energy * whole) break;
  }
  return length;
}

/** Less than this, dB, is no departure: kernels are right to it everywhere. */
const NO_DEPARTURE = 0.02;
/** Where a departure is looked for, Hz: what rings for long is low. Weaker than this below the maximum, dB, nothing counts. */
const LOOKED = Float64Array.from({ length: 121 }, (_, i) => 20 * 100 ** (i / 120));
const WEAK = 50;

/** Magnitude of a kernel's transform at `f` Hz, squared. */
function powerOf(h: Float32Array, f: number, sampleRate: number): number {
  const w = (2 * Math.PI * f) / sampleRate;
  // Goertzel's recurrence
  const twice = 2 * Math.cos(w);
  let [one, two] = [0, 0];
  for (const sample of h) [one, two] = [sample + twice * one - two, one];
  return one * one + two * two - twice * one * two;
}

/** What impulse responses that were cut lack of the exact curves, where those are strong. */
function departureOf(kernels: readonly Float32Array[], curves: readonly Spectrum[], sampleRate: number): Departure {
  const found: Departure = { most: 0, at: LOOKED[0] };
  kernels.forEach((h, k) => {
    const levels = LOOKED.map((_, i) => dbOfPower(power(curves[k], i)));
    const floor = Math.max(...levels) - WEAK;
    levels.forEach((level, i) => {
      if (!(level > floor)) return;
      const off = Math.abs(dbOfPower(powerOf(h, LOOKED[i], sampleRate)) - level);
      if (off > found.most) Object.assign(found, { most: off, at: LOOKED[i] });
    });
  });
  return found;
}

/** Curves over any list of frequencies, Hz, always as many. */
export type CurvesAt = (frequencies: Float64Array) => readonly Spectrum[];

/**
 * The impulse responses of curves at `sampleRate` Hz, each made late by its own of `delays`, whole samples. Their length is
 * the shortest that keeps what is cut within `CUT`, on the shortest transform with room for it; where none has, as long as
 * the engine plays, with what that costs.
 */
export function impulseResponses(
  curvesAt: CurvesAt,
  delays: readonly number[],
  sampleRate: number,
): { responses: Float32Array[]; departure: Departure | null } {
  for (let size = firstSize(sampleRate); ; size *= 2) {
    const grid = gridOf(sampleRate, size);
    const curves = curvesAt(grid.frequencies);
    const times: Float64Array[] = [];
    for (let i = 0; i < curves.length; i += 2) {
      const j = Math.min(i + 1, curves.length - 1);
      const pair = toTime(grid, curves[i], delays[i], curves[j], delays[j]);
      times.push(pair[0]);
      if (j > i) times.push(pair[1]);
    }
    let needed = BLOCK;
    times.forEach((h, i) => {
      needed = Math.max(needed, lengthFor(h, largest(grid, curves[i])));
    });
    const room = Math.min(ROOM * size, longest(sampleRate));
    if (needed > room && size < usualSize(sampleRate)) continue;
    const taps = Math.min(room, Math.ceil(needed / BLOCK) * BLOCK);
    const cut = times.map(h => Float32Array.from(h.subarray(0, taps)));
    if (needed <= room) return { responses: cut, departure: null };
    const departure = departureOf(cut, curvesAt(LOOKED), sampleRate);
    if (departure.most < NO_DEPARTURE) return { responses: cut, departure: null };
    if (size >= lastSize(sampleRate)) return { responses: cut, departure };
  }
}

/**
 * Kernels of every string to every output of `build` at `point`, for `sampleRate` Hz.
 * @param uncombed indices of strings that carry a mixture of strings and go without a comb (`uncombed.ts`)
 */
export function kernels(
  build: Build,
  point: TestPoint,
  sampleRate: number,
  uncombed: readonly number[] = [],
): KernelSet {
  const delays = build.instrument.strings.map(s => kernelDelay(s, sampleRate));
  const { responses: all, departure } = impulseResponses(
    frequencies => build.outputs.flatMap((_, output) => responses(build, point, frequencies, output, uncombed)),
    build.outputs.flatMap(() => delays),
    sampleRate,
  );
  const outputs = build.outputs.map((_, o) => all.slice(o * delays.length, (o + 1) * delays.length));
  return { taps: all[0].length, outputs, delays, sampleRate, departure };
}
