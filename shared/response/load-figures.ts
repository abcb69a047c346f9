/**
 * What coils, controls, cable and input do together, without a string: resonance and peak, and the damped second-order
 * low-pass that they are or are not. Kept by electrical content, so that moving a pickup solves nothing again. Pure.
 */

import { harnessCircuit } from '../circuit/harness.ts';
import { loadedFigures, weightedSum } from '../circuit/resonance.ts';
import type { Spectrum } from '../complex.ts';
import { dbOfAmplitude } from '../decibels.ts';
import { type Build, type NetworkPoint, POINT } from '../document/build.ts';

/**
 * The second-order low-pass 1/(1 − (f/f0)² + j f/(Q f0)) that has the network's quarter turn of phase in the same place
 * and the same height there.
 */
export interface LowPass {
  /** f0, Hz: where the phase has turned by a quarter. */
  natural: number;
  /** Q: the level there over that at low frequencies. */
  quality: number;
  /** Largest departure of the network from it between 20 Hz and 2 f0, dB; `MOST_DEPARTURE`: that or more. */
  departure: number;
  /** What the network gains from 4 f0 to 8 f0, dB per octave; a second-order low-pass tends to −12. */
  slope: number;
}

export interface LoadFigures {
  /** Frequency of the highest point, Hz; null: nothing stands out over the low frequencies. */
  resonance: number | null;
  /** That point over the level at low frequencies, dB; 0 without one. */
  peak: number;
  /** Null: the phase never turns by a quarter. */
  lowPass: LowPass | null;
}

const KEPT = 64;
const kept = new Map<string, LoadFigures | null>();
const perBuild = new WeakMap<Build, Map<string, LoadFigures | null>>();

const keyOf = ({ pickups, harness, outputs }: Build): string =>
  JSON.stringify([
    pickups.map(p => [p.id, p.coils.map(c => [c.id, c.resistance, c.inductance, c.capacitance, c.loss, c.cover])]),
    harness,
    outputs,
  ]);

/** Least height that counts as a resonance for people, dB. */
const LEAST = 0.02;
/** Largest departure at which a network is said to be a second-order low-pass, dB. */
export const SECOND_ORDER_WITHIN = 1;
/** Farther off than this, dB, one is as little a low-pass as another. */
export const MOST_DEPARTURE = 12;
/** Low frequencies, Hz, and where a quarter turn of phase is looked for. */
const LOW = 100;
const LOWEST = 20;
const SEARCH = Float64Array.from({ length: 181 }, (_, i) => 200 * 2 ** (i / 24));
const SPAN = Float64Array.from({ length: 81 }, (_, i) => i / 80);

/** The low-pass nearest to the selected position at one output. */
function lowPassOf(build: Build, point: NetworkPoint, output: number): LowPass | null {
  const circuit = harnessCircuit(build, point);
  const one = Float64Array.of(LOW);
  const low = circuit.sweep(one)[output].gains;
  const sign = (emf: string): number => (low.get(emf)!.re[0] < 0 ? -1 : 1);
  const sum = (f: Float64Array): Spectrum => weightedSum(circuit.sweep(f)[output].gains, sign, f.length);
  const base = sum(one);
  const plateau = Math.hypot(base.re[0], base.im[0]);
  const curve = sum(SEARCH);
  const turn = curve.re.findIndex((re, i) => i > 0 && re <= 0 && curve.re[i - 1] > 0);
  if (turn < 0 || !(plateau > 1e-9)) return null;
  let [a, b] = [SEARCH[turn - 1], SEARCH[turn]];
  for (let i = 0; i < 40; i++) {
    const middle = Math.sqrt(a * b);
    if (sum(Float64Array.of(middle)).re[0] > 0) a = middle;
    else b = middle;
  }
  const natural = Math.sqrt(a * b);
  const gains = (f: Float64Array): Float64Array => {
    const s = sum(f);
    return s.re.map((re, i) => Math.hypot(re, s.im[i]) / plateau);
  };
  const [quality] = gains(Float64Array.of(natural));
  const top = 2 * natural;
  const farthest = (from: number, to: number): { most: number; at: number } => {
    const f = SPAN.map(part => from * (to / from) ** part);
    const own = gains(f);
    let [most, at] = [0, from];
    for (let i = 0; i < f.length; i++) {
      const x = f[i] / natural;
      const off = Math.abs(dbOfAmplitude(own[i] * Math.hypot(1 - x * x, x / quality)));
      if (off > most) [most, at] = [off, f[i]];
    }
    return { most, at };
  };
  const { at: about } = farthest(LOWEST, top);
  const part = (top / LOWEST) ** (1 / (SPAN.length - 1));
  const departure = farthest(Math.max(LOWEST, about / part), Math.min(top, about * part)).most;
  const departs = Math.min(MOST_DEPARTURE, departure);
  const [four, eight] = gains(Float64Array.of(4 * natural, 8 * natural));
  return { natural, quality, departure: departs, slope: dbOfAmplitude(eight / four) };
}

function compute(build: Build, point: NetworkPoint, output: number): LoadFigures | null {
  const { peakHz, peakDb, dcDb } = loadedFigures(build, point, output);
  if (dcDb === -Infinity) return null;
  const stands = peakHz !== null && peakDb >= LEAST;
  return { resonance: stands ? peakHz : null, peak: stands ? peakDb : 0, lowPass: lowPassOf(build, point, output) };
}

/** Figures of the selected position at one output; null: nothing is heard there. Throws as the network does. */
export function loadFigures(build: Build, point: NetworkPoint = POINT.input, output = 0): LoadFigures | null {
  let own = perBuild.get(build);
  if (!own) perBuild.set(build, (own = new Map()));
  const place = `${point}/${output}`;
  const known = own.get(place);
  if (known !== undefined) return known;
  const key = `${place}/${keyOf(build)}`;
  let found = kept.get(key);
  if (found === undefined) {
    found = compute(build, point, output);
    kept.set(key, found);
    if (kept.size > KEPT) kept.delete(kept.keys().next().value!);
  }
  own.set(place, found);
  return found;
}
