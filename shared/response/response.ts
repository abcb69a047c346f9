/**
 * From a build, a string and a test point to the exact complex response over bridge force:
 *
 *   TP1  1                                           N/N
 *   TP2  Σ w_j σ_j · F_j                             (m/s)/N   coils in use, mixed as wired, without windows
 *   TP3  Σ w_j s_j · F_j                             V/N       with windows, sensitivity, distance
 *   TP4  Σ N_j(f) s_j · F_j                          V/N       at the jack, nothing plugged in
 *   TP5  the same with cable, buffers and input      V/N
 *
 * F_j is what the coil senses (`sensor/sensing.ts`; j/Z (W_j sin(k x_j) + V_j cos(k x_j)) for velocity, k the stiff
 * string's wave number, Z = μω/k); w_j the wiring weight, σ_j polarity × winding, s_j = σ_j × sensitivity × level on this
 * string, N_j the network's gain from that coil's EMF to the output. There is no delay in it: at TP2 and TP3 it is purely
 * imaginary as long as every sensor is one of velocity.
 *
 * A string that carries a mixture of strings has no such place: `uncombed.ts` stands behind this door for it.
 *
 * Everything that costs time is kept: per string and frequency list the wave numbers, per sensor the factor F. Pass the
 * same `Float64Array` of frequencies again to profit.
 */

import { type Spectrum, spectrum } from '../complex.ts';
import { type Build, type Coil, type Pickup, POINT, type StringSpec, type TestPoint } from '../document/build.ts';
import { type StringWaves, stringWaves } from '../sensor/comb.ts';
import { coilOnString, isUnder } from '../sensor/placement.ts';
import { type Sensor, sensing } from '../sensor/sensing.ts';
import { stringModel } from '../string/stiff.ts';
import { addCoil, coilStrength, type Gains, gainsOf } from './gains.ts';
import { uncombed } from './uncombed.ts';

/** One string over one frequency list, with the factors worked out so far. */
interface Bench {
  waves: StringWaves;
  factors: Map<string, Spectrum>;
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

let fieldNumbers = 0;
/** Fields by number: the same field is the same object (`sensor/field.ts`). */
const numbered = new WeakMap<object, number>();
function numberOf(field: object): number {
  let number = numbered.get(field);
  if (number === undefined) numbered.set(field, (number = fieldNumbers++));
  return number;
}

/** A sensor's factor over the list. Least recently used entries go first. */
function factorOf(bench: Bench, sensor: Sensor): Spectrum {
  const { senses, at, window } = sensor;
  const seen = window && `${numberOf(at.field)}/${window.shape}/${window.shape === 'pole' ? '' : window.width}`;
  const name = `${senses}/${at.x}/${seen}`;
  let factor = bench.factors.get(name);
  if (factor) bench.factors.delete(name);
  else factor = sensing(sensor, bench.waves);
  bench.factors.set(name, factor);
  if (bench.factors.size > KEPT) bench.factors.delete(bench.factors.keys().next().value!);
  return factor;
}

/**
 * What a coil senses of the string at `index` through its window, over the force on the bridge: velocity, (m/s)/N, for a
 * sensor of velocity.
 */
export function coilFactor(
  build: Build,
  pickup: Pickup,
  coil: Coil,
  index: number,
  frequencies: Float64Array,
): Spectrum {
  const at = coilOnString(build, pickup, coil, index);
  return factorOf(benchOf(build.instrument.strings[index], frequencies), {
    senses: pickup.senses,
    at,
    window: coil.window,
  });
}

function assemble(build: Build, index: number, point: TestPoint, frequencies: Float64Array, gains: Gains): Spectrum {
  const sum = spectrum(frequencies.length);
  if (point === POINT.force) {
    sum.re.fill(1);
    return sum;
  }
  const bench = benchOf(build.instrument.strings[index], frequencies);
  for (const pickup of build.pickups) {
    for (const coil of pickup.coils) {
      if (!isUnder(coil, index)) continue;
      const at = coilOnString(build, pickup, coil, index);
      const sensor = { senses: pickup.senses, at, window: point === POINT.velocity ? null : coil.window };
      const strength = coilStrength(coil, point) * (point === POINT.velocity ? 1 : at.level);
      addCoil(sum, gains, pickup, coil, strength, factorOf(bench, sensor));
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

/**
 * `response` of every string; the network is solved once.
 * @param mixed indices of strings that carry a mixture of strings and go without a comb (`uncombed.ts`)
 */
export function responses(
  build: Build,
  point: TestPoint,
  frequencies: Float64Array,
  output = 0,
  mixed: readonly number[] = [],
): Spectrum[] {
  const gains = gainsOf(build, point, frequencies, output);
  const flat = mixed.length > 0 ? uncombed(build, point, frequencies.length, gains) : null;
  return build.instrument.strings.map((_, index) =>
    flat && mixed.includes(index) ? flat : assemble(build, index, point, frequencies, gains),
  );
}

/** Response without a comb, of a signal in which the strings are mixed (`uncombed.ts`). */
export const mixedResponse = (build: Build, point: TestPoint, frequencies: Float64Array, output = 0): Spectrum =>
  uncombed(build, point, frequencies.length, gainsOf(build, point, frequencies, output));
