/**
 * From a build to the graph that the engine plays: which parts are linear, between which laws, and what enters beside the
 * strings.
 *
 *   strings ──displacement over the coil──▶ flux law ──▶ Σ of a coil ──d/dt, network──▶ outputs
 *   mains field ──turns, network──▶ outputs
 *   white noise ──√(4kT Re Z)──▶ outputs
 *
 * Without laws everything collapses to one kernel for each string and output, and what is off is not there at all.
 */
import type { BentSignal, Path, SoundGraph } from '../audio/graph.ts';
import { flux, type Law } from '../audio/law.ts';
import type { HumSource } from '../audio/sources.ts';
import { harnessCircuit } from '../circuit/harness.ts';
import { humGains, meanTurns, turnsOf } from '../circuit/hum.ts';
import { type Spectrum, spectrum } from '../complex.ts';
import { amplitudeOfDb } from '../decibels.ts';
import {
  type Build,
  type Coil,
  isBehindNetwork,
  isVoltage,
  type NetworkPoint,
  type Pickup,
  type TestPoint,
  type VoltagePoint,
} from '../document/build.ts';
import { faceDepth } from '../sensor/field.ts';
import { coilOnString, isUnder } from '../sensor/placement.ts';
import { kernelDelay } from './delay.ts';
import { coilStrength, type Gains, gainsOf } from './gains.ts';
import { impulseResponses, kernels } from './kernel.ts';
import { coilKey, mixingWeights } from './mixing.ts';
import { coilFactor, responses } from './response.ts';

/** What is heard beside the linear response to the strings; what is not given is off. */
export interface Beside {
  /** Indices of strings that carry a mixture of strings and go without a comb (`uncombed.ts`). */
  uncombed?: readonly number[];
  /** The mains field that the coils stand in. */
  hum?: HumSource;
  /** Temperature of all resistances, K: their noise is heard. */
  temperature?: number;
  /** Whether coils feel that a string comes nearer and goes away while it moves. */
  motion?: boolean;
}

/** Area that a turn encloses, m²: a long coil of mean width 9.5 mm with 55 mm between its round ends (common practice). */
const TURN_AREA = 55e-3 * 9.5e-3 + (Math.PI / 4) * 9.5e-3 ** 2;

/**
 * EMF of the mains field's harmonics against that of the fundamental, dB, from the second on: odd ones, from a median
 * distortion of the field of 10 % (Y. Hamnerius et al., URSI GASS 2011); their shares from memory.
 */
const HUM_SHAPE = [-30, -10, Number.NEGATIVE_INFINITY, -14, Number.NEGATIVE_INFINITY, -18];

/**
 * A uniform field of mains frequency, Hz, whose fundamental has `density` T (root mean square): its change, T/s. Half of the
 * homes in Sweden have less than 0.05 µT (the same source).
 */
export function humField(frequency: number, density = 5e-8): HumSource {
  const fundamental = Math.SQRT2 * density * 2 * Math.PI * frequency;
  return { kind: 'hum', frequency, harmonics: [0, ...HUM_SHAPE].map(dB => fundamental * amplitudeOfDb(dB)) };
}

/** Output voltage over the change of a uniform field square to the coils, V/(T/s), of every output. */
function humCurves(build: Build, point: VoltagePoint, frequencies: Float64Array): Spectrum[] {
  if (isBehindNetwork(point)) {
    const scale = meanTurns(build) * TURN_AREA;
    return humGains(build, point, frequencies).map(({ re, im }) => ({
      re: re.map(x => x * scale),
      im: im.map(x => x * scale),
    }));
  }
  return build.outputs.map((_, output) => {
    const sum = spectrum(frequencies.length);
    const weights = mixingWeights(build, output);
    for (const pickup of build.pickups)
      for (const coil of pickup.coils) {
        const weight = weights.get(coilKey(pickup.id, coil.id)) ?? 0;
        const all = weight * coil.winding * turnsOf(coil) * TURN_AREA;
        for (let i = 0; i < sum.re.length; i++) sum.re[i] += all;
      }
    return sum;
  });
}

/**
 * What makes white noise of mean square 1 as strong as the thermal noise of all resistances at every output: the root of
 * its density 4kT Re Z (J. B. Johnson, Phys. Rev. 32 (1928) 97; H. Nyquist, ibid. 110) over that of the white one, 2 over
 * the sample rate. Outputs are counted as independent.
 */
function noiseCurves(
  build: Build,
  point: NetworkPoint,
  frequencies: Float64Array,
  kelvin: number,
  rate: number,
): Spectrum[] {
  const circuit = harnessCircuit(build, point);
  return build.outputs.map((_, output) => ({
    re: circuit.thermalNoise(frequencies, output, kelvin).map(density => Math.sqrt((density * rate) / 2)),
    im: new Float64Array(frequencies.length),
  }));
}

/** Samples that a network's kernel is late by: what the band limit rings ahead of an edge (`kernel.ts`). */
const NETWORK_DELAY = 80;
/** Seconds that a noise kernel is late by: it is the same forwards and backwards. */
const NOISE_DELAY = 0.02;

/** One coil that reaches an output. */
interface Heard {
  pickup: Pickup;
  coil: Coil;
}

function heardCoils(build: Build, gains: readonly Gains[]): Heard[] {
  const reaches = (key: string) => gains.some(g => ('network' in g ? g.network.has(key) : g.wiring.get(key)));
  return build.pickups.flatMap(pickup =>
    pickup.coils.filter(coil => reaches(coilKey(pickup.id, coil.id))).map(coil => ({ pickup, coil })),
  );
}

/**
 * Distance of a string from the charge under it, m, and the power by which the flux falls with it there: from the slope of
 * the level, which falls by one power more (`sensor/field.ts`: 4 over a small pole, 2 over a long rail).
 */
function fall(build: Build, { pickup, coil }: Heard, index: number): { distance: number; power: number } {
  const { gap } = coilOnString(build, pickup, coil, index);
  const distance = gap + (coil.window.depth ?? faceDepth(pickup.poles.size));
  const step = Math.min(0.02 * distance, gap / 2);
  const [near, far] = [-step, step].map(by => {
    const { treble, bass } = pickup.height;
    const moved = { ...pickup, height: { treble: treble + by, bass: bass + by } };
    return coilOnString(build, moved, coil, index).level;
  });
  return { distance, power: Math.log(near / far) / Math.log((distance + step) / (distance - step)) - 1 };
}

/** Least power of a fall: a field that hardly falls bends nothing. */
const LEAST_POWER = 0.05;

/** Flux over displacement in units of `distance`, whose slope at rest is `level` per m. */
function fluxLaw({ distance, power }: ReturnType<typeof fall>, level: number): Law {
  const p = Math.max(LEAST_POWER, power);
  const law = flux(p);
  const scale = (-level * distance) / p;
  return {
    ...law,
    value: x => scale * law.value(x),
    slope: x => scale * law.slope(x),
    beyond: [scale * law.beyond[0], scale * law.beyond[1]],
  };
}

/** jω times a curve, or over it. */
function turned({ re, im }: Spectrum, frequencies: Float64Array, way: 1 | -1, factor: number): Spectrum {
  const by = frequencies.map(f => factor * (way === 1 ? 2 * Math.PI * f : -1 / (2 * Math.PI * f)));
  return { re: im.map((x, i) => -x * by[i]), im: re.map((x, i) => x * by[i]) };
}

/** The stage of all coils' fluxes, and the paths from its signals (numbered from `first` on) to every output. */
function movingCoils(build: Build, point: VoltagePoint, rate: number, strings: readonly number[], first: number) {
  const gainsAt = (f: Float64Array): Gains[] => build.outputs.map((_, output) => gainsOf(build, point, f, output));
  const coils = heardCoils(build, gainsAt(Float64Array.of(1000)));
  const pairs = coils.flatMap(heard =>
    strings.filter(s => isUnder(heard.coil, s)).map(s => ({ heard, s, field: fall(build, heard, s) })),
  );
  const { responses: displacements } = impulseResponses(
    f =>
      pairs.map(({ heard: { pickup, coil }, s, field }) =>
        turned(coilFactor(build, pickup, coil, s, f), f, -1, 1 / field.distance),
      ),
    pairs.map(({ s }) => kernelDelay(build.instrument.strings[s], rate)),
    rate,
  );
  const stage: BentSignal[] = coils.map(heard =>
    pairs.flatMap(({ heard: whose, s, field }, i) => {
      if (whose !== heard) return [];
      const { level } = coilOnString(build, heard.pickup, heard.coil, s);
      return [{ law: fluxLaw(field, level), paths: [{ from: s, kernel: displacements[i] }] }];
    }),
  );
  const { responses: after } = impulseResponses(
    f =>
      gainsAt(f).flatMap(gains =>
        coils.map(({ pickup, coil }) => {
          const key = coilKey(pickup.id, coil.id);
          const flat = 'wiring' in gains ? (gains.wiring.get(key) ?? 0) : 0;
          const none = { re: new Float64Array(f.length).fill(flat), im: new Float64Array(f.length) };
          const gain = 'network' in gains ? (gains.network.get(key) ?? none) : none;
          return turned(gain, f, 1, coilStrength(coil, point));
        }),
      ),
    build.outputs.flatMap(() => coils.map(() => NETWORK_DELAY)),
    rate,
  );
  const outputs = build.outputs.map((_, o) =>
    coils.map((_, c): Path => ({ from: first + c, kernel: after[o * coils.length + c] })),
  );
  return { stage, outputs };
}

/**
 * The graph of `build` at `point` for `sampleRate` Hz. With laws it is late by `SoundGraph.late` and by what the engine says
 * of its laws; else kernels and delays are those of `kernels`.
 */
export function soundGraph(build: Build, point: TestPoint, sampleRate: number, beside: Beside = {}): SoundGraph {
  const { uncombed = [], hum, temperature, motion = false } = beside;
  const count = build.instrument.strings.length;
  const sources: SoundGraph['sources'][number][] = [];
  const outputs: Path[][] = build.outputs.map(() => []);
  const add = (
    source: (typeof sources)[number],
    to: readonly number[],
    { responses: made }: ReturnType<typeof impulseResponses>,
  ) => {
    for (const output of to) outputs[output].push({ from: count + sources.length, kernel: made[output] });
    sources.push(source);
  };
  const every = build.outputs.map((_, output) => output);
  if (hum && isVoltage(point)) {
    const delays = every.map(() => NETWORK_DELAY);
    add(
      hum,
      every,
      impulseResponses(f => humCurves(build, point, f), delays, sampleRate),
    );
  }
  if (temperature !== undefined && isBehindNetwork(point)) {
    const delays = every.map(() => Math.round(NOISE_DELAY * sampleRate));
    const made = impulseResponses(f => noiseCurves(build, point, f, temperature, sampleRate), delays, sampleRate);
    for (const output of every) add({ kind: 'noise', seed: 1 + output }, [output], made);
  }
  if (!motion || !isVoltage(point)) {
    const set = kernels(build, point, sampleRate, uncombed);
    set.outputs.forEach((of, output) => {
      outputs[output].unshift(...of.map((kernel, from) => ({ from, kernel })));
    });
    return { strings: count, sources, stages: [], outputs, late: 0 };
  }
  const strings = build.instrument.strings.map((_, s) => s);
  const mixed = strings.filter(s => uncombed.includes(s));
  const moving = strings.filter(s => !uncombed.includes(s));
  const coils = movingCoils(build, point, sampleRate, moving, count + sources.length);
  const { responses: straight } = impulseResponses(
    f => every.flatMap(output => responses(build, point, f, output, uncombed).filter((_, s) => mixed.includes(s))),
    every.flatMap(() => mixed.map(s => kernelDelay(build.instrument.strings[s], sampleRate) + NETWORK_DELAY)),
    sampleRate,
  );
  for (const output of every)
    outputs[output].push(
      ...coils.outputs[output],
      ...mixed.map((from, i) => ({ from, kernel: straight[output * mixed.length + i] })),
    );
  return { strings: count, sources, stages: [coils.stage], outputs, late: NETWORK_DELAY };
}
