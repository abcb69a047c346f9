/**
 * From a build, a string and a test point to the exact complex response over bridge force:
 *
 *   TP1  1                                           N/N
 *   TP2  Σ w_j σ_j · j sin(k x_j)/Z                  (m/s)/N   coils in use, mixed as wired
 *   TP3  Σ w_j s_j W_j(k) · j sin(k x_j)/Z           V/N       with windows, sensitivity, distance
 *   TP4  Σ N_j(f) s_j W_j(k) · j sin(k x_j)/Z        V/N       at the jack, nothing plugged in
 *   TP5  the same with cable, buffers and input      V/N
 *
 * k is the stiff string's wave number, Z = μω/k; w_j the wiring weight, σ_j polarity × winding, s_j = σ_j × sensitivity ×
 * level on this string, W_j the aperture window, N_j the network's gain from that coil's EMF to the output. There is no
 * delay in it: at TP2 and TP3 it is purely imaginary.
 *
 * Everything that costs time is kept: per string and frequency list the wave numbers, per distance and window the factor
 * sin(kx) W/Z. Pass the same `Float64Array` of frequencies again to profit.
 */

import { harnessGains } from '../circuit/harness.ts';
import { type Spectrum, spectrum } from '../complex.ts';
import type { ApertureWindow, Build, StringSpec, TestPoint } from '../document/build.ts';
import { comb, type StringWaves, stringWaves } from '../sensor/comb.ts';
import { coilOnString } from '../sensor/placement.ts';
import { windowGain } from '../sensor/windows.ts';
import { stringModel } from '../string/stiff.ts';
import { coilKey, mixingWeights } from './mixing.ts';

/** One string over one frequency list, with the factors worked out so far. */
interface Bench {
  waves: StringWaves;
  factors: Map<string, Float64Array>;
}

/** Factors kept per string and frequency list: several builds' worth of coils, or a second of dragging. */
const KEPT = 64;

const benches = new WeakMap<Float64Array, WeakMap<StringSpec, Bench>>();

function benchOf(spec: StringSpec, frequencies: Float64Array): Bench {
  let perString = benches.get(frequencies);
  if (!perString) benches.set(frequencies, (perString = new WeakMap()));
  let bench = perString.get(spec);
  if (!bench) {
    bench = { waves: stringWaves(stringModel(spec), frequencies), factors: new Map() };
    perString.set(spec, bench);
  }
  return bench;
}

/** sin(kx) W(k)/Z over the list; without a window the bare comb. Least recently used entries go first. */
function factorOf(bench: Bench, x: number, window: ApertureWindow | null, height: number): Float64Array {
  const name = window ? `${x}/${height}/${window.shape}/${window.width}/${window.depth}` : `${x}`;
  const known = bench.factors.get(name);
  if (known) {
    bench.factors.delete(name);
    bench.factors.set(name, known);
    return known;
  }
  const { k, mobility } = bench.waves;
  const factor = new Float64Array(k.length);
  if (window)
    for (let i = 0; i < k.length; i++) factor[i] = comb(k[i], x) * windowGain(window, height, k[i]) * mobility[i];
  else for (let i = 0; i < k.length; i++) factor[i] = comb(k[i], x) * mobility[i];
  if (bench.factors.size >= KEPT) bench.factors.delete(bench.factors.keys().next().value!);
  bench.factors.set(name, factor);
  return factor;
}

/** Gain of every coil that reaches the output: of the network, or of the plain wiring. */
type Gains = { wiring: Map<string, number> } | { network: Map<string, Spectrum> };

export function gainsOf(build: Build, point: TestPoint, frequencies: Float64Array, output: number): Gains {
  if (point === 4 || point === 5)
    return { network: harnessGains(build, point, frequencies)[output] ?? new Map<string, Spectrum>() };
  return { wiring: mixingWeights(build, output) };
}

function assemble(build: Build, index: number, point: TestPoint, frequencies: Float64Array, gains: Gains): Spectrum {
  const sum = spectrum(frequencies.length);
  if (point === 1) {
    sum.re.fill(1);
    return sum;
  }
  const bench = benchOf(build.instrument.strings[index], frequencies);
  for (const pickup of build.pickups) {
    for (const coil of pickup.coils) {
      const key = coilKey(pickup.id, coil.id);
      const at = coilOnString(build, pickup, coil, index);
      if (at.level === 0) continue;
      const sense = coil.polarity * coil.winding;
      const strength = sense * coil.sensitivity * at.level;
      if ('network' in gains) {
        const gain = gains.network.get(key);
        if (!gain) continue;
        const factor = factorOf(bench, at.x, coil.window, at.height);
        for (let i = 0; i < factor.length; i++) {
          const b = strength * factor[i];
          sum.re[i] -= b * gain.im[i];
          sum.im[i] += b * gain.re[i];
        }
      } else {
        const weight = (gains.wiring.get(key) ?? 0) * (point === 2 ? sense : strength);
        if (weight === 0) continue;
        const factor = factorOf(bench, at.x, point === 2 ? null : coil.window, at.height);
        for (let i = 0; i < factor.length; i++) sum.im[i] += weight * factor[i];
      }
    }
  }
  return sum;
}

/**
 * Exact complex response of the string at `stringIndex` (0 is string 1) from bridge force to test point `point`, at
 * `frequencies` (Hz, not negative), at output `output` of the build.
 */
export const response = (
  build: Build,
  stringIndex: number,
  point: TestPoint,
  frequencies: Float64Array,
  output = 0,
): Spectrum => assemble(build, stringIndex, point, frequencies, gainsOf(build, point, frequencies, output));

/** `response` of every string; the network is solved once. */
export function responses(build: Build, point: TestPoint, frequencies: Float64Array, output = 0): Spectrum[] {
  const gains = gainsOf(build, point, frequencies, output);
  return build.instrument.strings.map((_, index) => assemble(build, index, point, frequencies, gains));
}
