/**
 * The figures a loaded pickup is known by: resonance frequency and height, −3 dB point, low-frequency level. The peak is
 * found on a logarithmic grid and then closed in on with exact solves (golden-section search).
 */

import { type Spectrum, spectrum } from '../complex.ts';
import { dbOfAmplitude, dbOfPower } from '../decibels.ts';
import type { NetworkPoint } from '../document/build.ts';
import { maximumAt } from '../golden-section.ts';
import { harnessCircuit } from './harness.ts';
import type { Wired } from './solder-places.ts';

export interface LoadedFigures {
  /** Frequency of the highest peak, Hz; null: the curve has none. */
  peakHz: number | null;
  /** Height of the peak above the low-frequency level, dB; 0 without a peak. */
  peakDb: number;
  /** Where the curve falls 3.01 dB below the low-frequency level for good, Hz; null: not below 100 kHz, or no signal. */
  minus3dBHz: number | null;
  /** Low-frequency level against the EMF, dB; −Infinity: no signal. */
  dcDb: number;
}

/** Magnitudes at the given frequencies. */
export type GainOf = (frequencies: Float64Array) => Float64Array;

const LOW = 20;
const HIGH = 100e3;
/** Half-power in decibels. */
const HALF = dbOfPower(2);
const STEPS = 400;
const grid = Float64Array.from({ length: STEPS + 1 }, (_, i) => LOW * (HIGH / LOW) ** (i / STEPS));
/** What stands for low frequencies: 1 Hz, or 100 Hz where something in the path keeps low frequencies out. */
const PLATEAU = Float64Array.of(1, 100);
/** Lower than this above the low-frequency level, dB, a bump is rounding. */
const LEAST = 1e-6;

/** Maximum of `f` between a and b on a logarithmic scale, to one part in 10⁹. */
const maximum = (f: (x: number) => number, a: number, b: number): number =>
  Math.exp(maximumAt(x => f(Math.exp(x)), Math.log(a), Math.log(b), 1e-9));

/** Where `f` crosses zero between a and b, by bisection on a logarithmic scale. */
function crossing(f: (x: number) => number, a: number, b: number): number {
  let [low, high] = [Math.log(a), Math.log(b)];
  const positive = f(a) > 0;
  while (high - low > 1e-11) {
    const middle = (low + high) / 2;
    if (f(Math.exp(middle)) > 0 === positive) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}

/** LoadedFigures of any magnitude curve. */
export function resonance(gain: GainOf): LoadedFigures {
  const one = Float64Array.of(0);
  const at = (f: number): number => {
    one[0] = f;
    return gain(one)[0];
  };
  const [lowest, low] = gain(PLATEAU);
  const plateau = lowest > low / 2 ? lowest : low;
  if (!(plateau > 1e-12)) return { peakHz: null, peakDb: 0, minus3dBHz: null, dcDb: -Infinity };
  const curve = gain(grid);
  let top = -1;
  for (let i = 1; i < STEPS; i++)
    if (curve[i] >= curve[i - 1] && curve[i] >= curve[i + 1] && (top < 0 || curve[i] > curve[top])) top = i;
  let peakHz: number | null = null;
  let peakDb = 0;
  if (top > 0) {
    const f = maximum(at, grid[top - 1], grid[top + 1]);
    const height = dbOfAmplitude(at(f) / plateau);
    if (height > LEAST) [peakHz, peakDb] = [f, height];
  }
  const below = (f: number) => dbOfAmplitude(at(f) / plateau) + HALF;
  const level = plateau / Math.SQRT2;
  let minus3dBHz: number | null = null;
  for (let i = STEPS; i > 0 && minus3dBHz === null && curve[STEPS] < level; i--)
    if (curve[i - 1] >= level && curve[i] < level) minus3dBHz = crossing(below, grid[i - 1], grid[i]);
  return { peakHz, peakDb, minus3dBHz, dcDb: dbOfAmplitude(plateau) };
}

/** Sums gains, each with a weight. */
export function weightedSum(gains: Map<string, Spectrum>, weight: (emf: string) => number, count: number): Spectrum {
  const sum = spectrum(count);
  for (const [emf, gain] of gains) {
    const w = weight(emf);
    if (w === 0) continue;
    for (let i = 0; i < count; i++) {
      sum.re[i] += w * gain.re[i];
      sum.im[i] += w * gain.im[i];
    }
  }
  return sum;
}

/** Magnitude of the sum of all coils' gains, equal EMFs that all aid each other at low frequencies. */
export function aidingGain(wired: Wired, point: NetworkPoint, output = 0): GainOf {
  const circuit = harnessCircuit(wired, point);
  const low = circuit.sweep(PLATEAU)[output].gains;
  const sign = (emf: string): number => (low.get(emf)!.re[1] < 0 ? -1 : 1);
  return frequencies => {
    const sum = weightedSum(circuit.sweep(frequencies)[output].gains, sign, frequencies.length);
    return sum.re.map((x, i) => Math.hypot(x, sum.im[i]));
  };
}

/**
 * LoadedFigures of the selected position at one output: what the connected coils' equal, aiding EMFs make at the jack (4) or
 * at the end of the chain (5).
 */
export const loadedFigures = (wired: Wired, point: NetworkPoint, output = 0): LoadedFigures =>
  resonance(aidingGain(wired, point, output));
