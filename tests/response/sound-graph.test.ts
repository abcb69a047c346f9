/** A build as the engine plays it: without laws, with moving strings, and with what enters beside them. */
import { describe, expect, test } from 'vitest';
import { linearGraph } from '../../shared/audio/graph.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { FILE_BLOCK, packGraph } from '../../shared/audio/partition.ts';
import { powerDensity } from '../../shared/audio/spectrum.ts';
import { harnessSweep } from '../../shared/circuit/harness.ts';
import type { Build } from '../../shared/document/build.ts';
import { kernels } from '../../shared/response/kernel.ts';
import { coilFactor } from '../../shared/response/response.ts';
import { type Beside, humField, soundGraph } from '../../shared/response/sound-graph.ts';
import { faceDepth } from '../../shared/sensor/field.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import { largest, largestDifference, sine } from '../audio/signals.ts';
import { BUILDS, changed } from './builds.ts';

const RATE = 48000;
const neck = BUILDS['two coils at the neck'];
const bridge = BUILDS['single coil at the bridge'];

/** Strings of a build through its graph, rests of the kernels left out. */
function render(build: Build, point: 3 | 4 | 5, channels: Float32Array[], beside: Beside) {
  const packed = packGraph(soundGraph(build, point, RATE, beside), 1, FILE_BLOCK);
  return renderOffline(channels, packed, { sampleRate: RATE, tail: 0 })![0];
}
const silence = (build: Build, samples: number): Float32Array[] =>
  build.instrument.strings.map(() => new Float32Array(samples));
/** Amplitude of a frequency in the second half of a signal, whole periods of it there. */
function amplitude(y: Float32Array, frequency: number): number {
  const from = y.length / 2;
  let [re, im] = [0, 0];
  for (let n = from; n < y.length; n++) {
    re += y[n] * Math.cos((2 * Math.PI * frequency * n) / RATE);
    im += y[n] * Math.sin((2 * Math.PI * frequency * n) / RATE);
  }
  return (2 * Math.hypot(re, im)) / (y.length - from);
}

test('without laws and disturbances it is one kernel for each string and output', () => {
  for (const point of [1, 2, 3, 4, 5] as const)
    expect(soundGraph(neck, point, RATE, { uncombed: [2] })).toEqual(
      linearGraph(kernels(neck, point, RATE, [2]).outputs),
    );
  // Forces and velocities have neither hum nor noise, EMFs no noise of resistances.
  for (const [point, sources] of [
    [1, 0],
    [2, 0],
    [3, 1],
    [4, 2],
    [5, 2],
  ] as const)
    expect(soundGraph(neck, point, RATE, { hum: humField(50), temperature: 293 }).sources).toHaveLength(sources);
});

describe('thermal noise', () => {
  test.each(['two coils at the neck', 'single coil at the bridge', 'tone at zero'])('"%s": density 4kT Re Z', name => {
    // J. B. Johnson, Phys. Rev. 32 (1928) 97; H. Nyquist, ibid. 110. Re Z is what the solver sees into the same port.
    const build = BUILDS[name];
    const y = render(build, 5, silence(build, 30 * RATE), { temperature: 293.15 });
    const { frequencies, power } = powerDensity(y.subarray(RATE), RATE, 4096);
    const { impedance } = harnessSweep(build, 5, frequencies)[0];
    const exact = frequencies.map((_, i) => 4 * 1.380649e-23 * 293.15 * impedance.re[i]);
    for (let low = 200; low < 15_000; low *= 1.3) {
      let [heard, wanted] = [0, 0];
      frequencies.forEach((f, i) => {
        if (f < low || f >= 1.3 * low) return;
        heard += power[i];
        wanted += exact[i];
      });
      // about 700 blocks of at least 5 bins: 0.1 dB, three times over
      expect(Math.abs(10 * Math.log10(heard / wanted)), `${low} Hz`).toBeLessThan(0.3);
    }
  });

  test('is the same every time, and independent at two outputs', () => {
    const [a, b] = [0, 1].map(() => render(bridge, 5, silence(bridge, 4096), { temperature: 293 }));
    expect(largestDifference(a, b)).toBe(0);
    const two = changed(bridge, copy => {
      copy.outputs.push({ ...structuredClone(copy.outputs[0]), id: 'second' });
    });
    const { sources, outputs } = soundGraph(two, 5, RATE, { temperature: 293 });
    expect(sources.map(s => s.kind === 'noise' && s.seed)).toEqual([1, 2]);
    expect(outputs.map(paths => paths.at(-1)!.from)).toEqual([6, 7]);
  });
});

describe('hum', () => {
  const coil = (build: Build) => build.pickups[0].coils[0];

  test('a microtesla induces 1.491 mV at 50 Hz and 1.790 mV at 60 Hz in 8000 turns', () => {
    // N·A·ω·B of 8000 turns around 593.4 mm² (worked by hand).
    const one = changed(bridge, copy => {
      copy.pickups[0].coils[0].turns = 8000;
    });
    for (const [mains, millivolts] of [
      [50, 1.491332],
      [60, 1.789598],
    ]) {
      const y = render(one, 3, silence(one, 2 * RATE), { hum: humField(mains, 1e-6) });
      expect((1000 * amplitude(y, mains)) / Math.SQRT2).toBeCloseTo(millivolts, 3);
      expect(20 * Math.log10(amplitude(y, 3 * mains) / amplitude(y, mains))).toBeCloseTo(-10, 2);
    }
    expect(coil(one).winding).toBe(coil(bridge).winding);
  });

  test('two coils wound against each other cancel it, wound alike they add it', () => {
    const alike = changed(neck, copy => {
      for (const one of copy.pickups[0].coils) {
        one.winding = 1;
        one.turns = 5000;
      }
    });
    const against = changed(alike, copy => {
      copy.pickups[0].coils[1].winding = -1;
    });
    const of = (build: Build) => amplitude(render(build, 3, silence(build, RATE), { hum: humField(50) }), 50);
    expect(of(alike)).toBeGreaterThan(1e-5);
    expect(of(against)).toBeLessThan(1e-6 * of(alike));
  });
});

describe('moving strings', () => {
  test('as little as they move, they sound as without the law', () => {
    for (const [build, point] of [
      [neck, 5],
      [bridge, 4],
    ] as const) {
      // below 0.43 of the rate, where the filters of four times the rate begin to fall
      const channels = build.instrument.strings.map((_, s) =>
        sine(6000, 150 * 2.4 ** s, RATE, 1e-4).map((x, n) => x * Math.min(1, n / 1000)),
      );
      const straight = render(build, point, channels, {});
      const bent = render(build, point, channels, { motion: true });
      expect(largestDifference(bent, straight, 0, 5500)).toBeLessThan(2e-3 * largest(straight));
      const mixed = render(build, point, channels, { motion: true, uncombed: [1, 4] });
      const plain = render(build, point, channels, { uncombed: [1, 4] });
      expect(largestDifference(mixed, plain, 0, 5500)).toBeLessThan(2e-3 * largest(plain));
    }
  });

  test('the second harmonic is (p + 1)/2 · A/h of the first', () => {
    // The EMF is d/dt (h + A sin ωt)^−p: to the first order in A (worked by hand; exact to 0.1 dB up to A/h = 0.05).
    const [frequency, string] = [200, 5];
    const f = Float64Array.of(frequency);
    const [pickup] = bridge.pickups;
    const [coil] = pickup.coils;
    const factor = coilFactor(bridge, pickup, coil, string, f);
    const distance =
      coilOnString(bridge, pickup, coil, string).gap + (coil.window.depth ?? faceDepth(pickup.poles.size));
    const excursion = 0.04 * distance;
    const force = (excursion * 2 * Math.PI * frequency) / Math.hypot(factor.re[0], factor.im[0]);
    const channels = silence(bridge, 2 * RATE);
    channels[string] = sine(2 * RATE, frequency, RATE, force);
    const y = render(bridge, 3, channels, { motion: true });
    const level = (height: number) => {
      const moved = { ...pickup, height: { treble: height, bass: height } };
      return coilOnString(bridge, moved, coil, string).level;
    };
    const { gap } = coilOnString(bridge, pickup, coil, string);
    const slope =
      -Math.log(level(gap * 1.001) / level(gap * 0.999)) /
      Math.log((distance + 0.001 * gap) / (distance - 0.001 * gap));
    const wanted = 20 * Math.log10((slope / 2) * 0.04);
    const heard = 20 * Math.log10(amplitude(y, 2 * frequency) / amplitude(y, frequency));
    expect(Math.abs(heard - wanted)).toBeLessThan(0.15);
  });
});
