import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { magnitudes } from '../../shared/complex.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { kernelDelay } from '../../shared/response/delay.ts';
import { BAND_LIMIT, bandLimit, CUT, type KernelSet, kernels } from '../../shared/response/kernel.ts';
import { response } from '../../shared/response/response.ts';
import { departsText } from '../../src/parts/figure-text.ts';
import { BUILDS, changed } from './builds.ts';

const [a] = demoBuilds();
const db = (x: number) => 20 * Math.log10(x);

/** Transform of a kernel at one frequency, its delay taken out. */
function transform(h: Float32Array, delay: number, f: number, sampleRate: number): [number, number] {
  const w = (2 * Math.PI * f) / sampleRate;
  // A phasor turned step by step, set right every 64 samples.
  const [cos, sin] = [Math.cos(w), Math.sin(w)];
  let [re, im] = [0, 0];
  let [c, s] = [1, 0];
  for (let n = 0; n < h.length; n++) {
    if (n % 64 === 0) {
      c = Math.cos(w * (n - delay));
      s = Math.sin(w * (n - delay));
    }
    re += h[n] * c;
    im -= h[n] * s;
    [c, s] = [c * cos - s * sin, s * cos + c * sin];
  }
  return [re, im];
}

/** Largest deviation in dB of the kernels from the exact response, within 50 dB of its maximum, from 20 Hz to 0.42 of the rate. */
function deviation(name: string, point: TestPoint, sampleRate: number): number {
  const build = BUILDS[name];
  const set = kernels(build, point, sampleRate);
  const f = Float64Array.from({ length: 60 }, (_, i) => 20 * ((0.42 * sampleRate) / 20) ** (i / 59));
  let level = 0;
  build.instrument.strings.forEach((_, s) => {
    const exact = response(build, s, point, f);
    const magnitude = f.map((_, i) => Math.hypot(exact.re[i], exact.im[i]));
    const most = Math.max(...magnitude);
    f.forEach((hz, i) => {
      const [re, im] = transform(set.outputs[0][s], set.delays[s], hz, sampleRate);
      if (magnitude[i] > most * 10 ** (-50 / 20))
        level = Math.max(level, Math.abs(db(Math.hypot(re, im) / magnitude[i])));
    });
  });
  return level;
}

describe('the curve is the filter', () => {
  for (const name of Object.keys(BUILDS))
    test(`"${name}": kernels within 0.02 dB of the exact response and 90 dB below its maximum elsewhere`, () => {
      for (const sampleRate of [44_100, 48_000, 96_000]) {
        expect(deviation(name, 5, sampleRate)).toBeLessThan(0.02);
      }
      for (const point of [1, 2, 3, 4, 5] as const) expect(deviation(name, point, 48_000)).toBeLessThan(0.002);
    });

  /** The tone control at zero with a capacitor that is not meant for it. */
  const slow = (capacitance: number) =>
    changed(a, copy => Object.assign(copy.harness.controls[0].tone!, { setting: 0, capacitance }));
  const lows = Float64Array.from({ length: 90 }, (_, i) => 20 * 100 ** (i / 89));
  /** Largest distance of sound and curve at low frequencies, dB, by the transform of these tests. */
  function farthest(build: Build, set: KernelSet): number {
    let most = 0;
    build.instrument.strings.forEach((_, s) => {
      const exact = magnitudes(response(build, s, 5, lows));
      const top = Math.max(...exact);
      exact.forEach((x, i) => {
        const [re, im] = transform(set.outputs[0][s], set.delays[s], lows[i], 48_000);
        if (x > top * 10 ** (-50 / 20)) most = Math.max(most, Math.abs(db(Math.hypot(re, im) / x)));
      });
    });
    return most;
  }
  test('a network that rings on for longer than usual gets the room it needs', () => {
    for (const microfarads of [4.7, 10, 22]) {
      const build = slow(microfarads * 1e-6);
      const set = kernels(build, 5, 48_000);
      expect(set.departure).toBeNull();
      expect(farthest(build, set)).toBeLessThan(0.02);
    }
  });
  test('one that rings on for longer than the engine plays says how far it lies from the curve', () => {
    const build = slow(100e-6);
    const set = kernels(build, 5, 48_000);
    expect(set.taps).toBe(48_000);
    const { most, at } = set.departure!;
    const own = farthest(build, set);
    expect(own).toBeGreaterThan(0.1);
    expect(Math.abs(most - own)).toBeLessThan(0.1);
    const [exact] = magnitudes(response(build, 0, 5, Float64Array.of(at)));
    const off = build.instrument.strings.map((_, s) => {
      const [re, im] = transform(set.outputs[0][s], set.delays[s], at, 48_000);
      return Math.abs(
        db(Math.hypot(re, im) / (s === 0 ? exact : magnitudes(response(build, s, 5, Float64Array.of(at)))[0])),
      );
    });
    expect(Math.max(...off)).toBeCloseTo(most, 3);
    expect(departsText('A', set.departure)).toMatch(/^A rings on .* by up to 0\.\d dB, most near [\d.]+ k?Hz\.$/);
    expect(departsText('A', null)).toBe('');
  });

  test('absolute error stays 90 dB below the maximum, the phase with it', () => {
    for (const [name, build] of Object.entries(BUILDS)) {
      const set = kernels(build, 5, 48_000);
      const f = Float64Array.from({ length: 97 }, (_, i) => 20 + i * 210);
      build.instrument.strings.forEach((_, s) => {
        const exact = response(build, s, 5, f);
        const most = Math.max(...f.map((_, i) => Math.hypot(exact.re[i], exact.im[i])));
        f.forEach((hz, i) => {
          const [re, im] = transform(set.outputs[0][s], set.delays[s], hz, 48_000);
          expect(db(Math.hypot(re - exact.re[i], im - exact.im[i]) / most), `${name} at ${hz}`).toBeLessThan(-90);
        });
      });
    }
  });

  test('at test point 1 a kernel is the band limit alone, at the delay', () => {
    const set = kernels(a, 1, 48_000);
    set.outputs[0].forEach((h, s) => {
      expect(h[set.delays[s]]).toBeGreaterThan(0.9);
      for (const f of [0, 1000, 20_000, 20_600]) expect(transform(h, set.delays[s], f, 48_000)[0]).toBeCloseTo(1, 5);
      expect(Math.abs(transform(h, set.delays[s], 24_000, 48_000)[0])).toBeLessThan(1e-5);
    });
  });
});

describe('delay', () => {
  test('depends on the string and the sample rate alone: no edit and no test point changes it', () => {
    const reference = kernels(a, 5, 48_000).delays;
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 0.37, noNaN: true }),
        fc.double({ min: -0.2, max: 0.2, noNaN: true }),
        fc.constantFrom(1, 2, 3, 4, 5),
        (position, slant, point) => {
          const build = changed(a, copy => {
            Object.assign(copy.pickups[0], { position, slant });
          });
          expect(kernels(build, point as TestPoint, 48_000).delays).toEqual(reference);
        },
      ),
      { numRuns: 8 },
    );
    expect(a.instrument.strings.map(string => kernelDelay(string, 48_000))).toEqual(reference);
  });

  test('leaves nothing before the kernels begin, even from the farthest accepted place', () => {
    for (const name of ['as far as it goes', 'split pickup, five-string bass'])
      for (const point of [2, 5] as const)
        kernels(BUILDS[name], point, 96_000).outputs[0].forEach(h => {
          const energy = (x: Float32Array) => x.reduce((sum, v) => sum + v * v, 0);
          expect(energy(h.subarray(0, 4)) / energy(h)).toBeLessThan(1e-11);
        });
  });

  test('is short: under 6 ms on a guitar at 44.1 kHz and above', () => {
    for (const rate of [44_100, 48_000, 96_000])
      for (const string of a.instrument.strings) expect(kernelDelay(string, rate) / rate).toBeLessThan(6e-3);
  });
});

describe('length', () => {
  test('is a multiple of 128 and no longer than the cut allows', () => {
    for (const build of Object.values(BUILDS)) {
      const set = kernels(build, 5, 48_000);
      expect(set.taps % 128).toBe(0);
      expect(set.taps).toBeLessThanOrEqual(4096);
      for (const output of set.outputs) for (const h of output) expect(h.length).toBe(set.taps);
      // Without the last block something more than allowed would be missing from at least one kernel.
      const needed = set.outputs[0].some((h, s) => {
        const f = Float64Array.from({ length: 600 }, (_, i) => 20 * 1000 ** (i / 599));
        const exact = response(build, s, 5, f);
        const most = Math.max(...f.map((_, i) => Math.hypot(exact.re[i], exact.im[i])));
        const last = h.subarray(set.taps - 128);
        const whole = h.reduce((sum, x) => sum + x * x, 0);
        return (
          last.reduce((sum, x) => sum + Math.abs(x), 0) > 0.02 * CUT.sum * most ||
          last.reduce((sum, x) => sum + x * x, 0) > 0.02 * CUT.energy * whole
        );
      });
      expect(needed).toBe(true);
    }
  });

  test('a silent build gives silent kernels, one for each string', () => {
    const silent = changed(a, copy => {
      copy.harness.positions[0].taps = [];
    });
    const set = kernels(silent, 5, 48_000);
    expect(set.outputs[0]).toHaveLength(6);
    for (const h of set.outputs[0]) expect(h.every(x => x === 0)).toBe(true);
  });

  test('two outputs have kernels of their own', () => {
    const stereo = changed(a, copy => {
      copy.outputs.push({ ...structuredClone(copy.outputs[0]), id: 'second', name: 'second jack' });
      copy.harness.controls = [];
      const [tap] = copy.harness.positions[0].taps;
      copy.harness.positions[0].taps = [
        { ...tap, coils: ['neck-side'] },
        { ...tap, coils: ['bridge-side'], output: 'second' },
      ];
    });
    const set = kernels(stereo, 5, 48_000);
    expect(set.outputs).toHaveLength(2);
    stereo.outputs.forEach((_, o) => {
      const f = Float64Array.of(700);
      const exact = response(stereo, 5, 5, f, o);
      const [re, im] = transform(set.outputs[o][5], set.delays[5], 700, 48_000);
      expect(Math.hypot(exact.re[0], exact.im[0])).toBeGreaterThan(0);
      expect(Math.hypot(re - exact.re[0], im - exact.im[0])).toBeLessThan(1e-5);
    });
  });
});

test('the band limit is flat, falls without a step and ends below Nyquist', () => {
  expect(bandLimit(BAND_LIMIT[0])).toBe(1);
  expect(bandLimit(0.2)).toBe(1);
  expect(bandLimit((BAND_LIMIT[0] + BAND_LIMIT[1]) / 2)).toBeCloseTo(0.5, 12);
  expect(bandLimit(BAND_LIMIT[1])).toBe(0);
  let last = 1;
  for (let i = 1; i < 1000; i++) {
    const now = bandLimit(BAND_LIMIT[0] + ((BAND_LIMIT[1] - BAND_LIMIT[0]) * i) / 1000);
    expect(now).toBeLessThanOrEqual(last);
    expect(last - now).toBeLessThan(0.004);
    last = now;
  }
});
