/** A mixture of strings goes through coils, wiring and network, and through no comb. */
import { describe, expect, test } from 'vitest';
import { harnessGains } from '../../shared/circuit/harness.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { kernels } from '../../shared/response/kernel.ts';
import { mixedResponse, response } from '../../shared/response/response.ts';
import { impedance, stringModel } from '../../shared/string/stiff.ts';
import { changed } from './builds.ts';

const [two, one] = demoBuilds();
const RATE = 48_000;
const POINTS: readonly TestPoint[] = [1, 2, 3, 4, 5];
const f = Float64Array.from({ length: 60 }, (_, i) => 20 * 1000 ** (i / 59));
const flat = (build: Build, point: TestPoint, output = 0) => mixedResponse(build, point, f, output);

/** √(Tμ), the characteristic impedance of an ideal string (Morse, Vibration and Sound, 1948), the mean of all. */
const meanZ = ({ instrument: { strings } }: Build) =>
  strings.map(stringModel).reduce((sum, { tension, mass }) => sum + Math.sqrt(tension * mass), 0) / strings.length;

describe('the response without a comb', () => {
  test('of one coil it is network gain × sensitivity × sign over the mean impedance', () => {
    const [pickup] = one.pickups;
    expect(pickup.coils).toHaveLength(1);
    const [coil] = pickup.coils;
    const strength = (coil.polarity * coil.winding * coil.sensitivity) / meanZ(one);
    for (const point of [4, 5] as const) {
      const gain = harnessGains(one, point, f)[0].get(`${pickup.id}.${coil.id}`)!;
      const got = flat(one, point);
      f.forEach((_, i) => {
        expect(got.re[i] / (strength * gain.re[i])).toBeCloseTo(1, 9);
        expect(got.im[i]).toBeCloseTo(strength * gain.im[i], 12);
      });
      expect(Math.max(...got.im.map(Math.abs))).toBeGreaterThan(0);
    }
    expect(flat(one, 1).re).toEqual(new Float64Array(f.length).fill(1));
    expect(flat(one, 2).re[7] * meanZ(one)).toBeCloseTo(coil.polarity * coil.winding, 9);
    expect(flat(one, 3).re[7] / strength).toBeCloseTo(1, 9);
  });

  test('a string sensed where its comb peaks reads about as loud, by its own impedance', () => {
    const narrow = changed(one, copy => {
      for (const coil of copy.pickups[0].coils) coil.window = { shape: 'rectangle', width: 1e-6, depth: 0 };
    });
    const grid = Float64Array.from({ length: 4000 }, (_, i) => 50 + i);
    one.instrument.strings.forEach((spec, s) => {
      const combed = response(narrow, s, 2, grid);
      const most = Math.max(...combed.im.map(Math.abs));
      expect(most * impedance(stringModel(spec), 1000)).toBeCloseTo(1, 2);
      // no string of a set is far from the mean of all
      expect(Math.abs(20 * Math.log10(most * meanZ(one)))).toBeLessThan(12);
    });
  });

  test.each(POINTS)('at test point %i it does not depend on where pickups are, how slanted or high', point => {
    for (const build of [one, two]) {
      const moved = changed(build, copy => {
        for (const pickup of copy.pickups) {
          pickup.position += 0.02;
          pickup.slant += 0.1;
          pickup.height.treble += 1e-3;
        }
      });
      expect(flat(moved, point)).toEqual(flat(build, point));
      if (point > 1) expect(response(moved, 0, point, f)).not.toEqual(response(build, 0, point, f));
    }
  });

  test('coils in series add, a reversed coil cancels its like, coils under half the strings count half', () => {
    const reversed = changed(two, copy => {
      const [first, second] = copy.pickups[0].coils;
      copy.pickups[0].coils[1] = {
        ...first,
        id: second.id,
        along: second.along,
        polarity: first.polarity === 1 ? -1 : 1,
      };
    });
    expect(Math.abs(flat(two, 3).re[0])).toBeGreaterThan(0);
    expect(Math.abs(flat(reversed, 3).re[0])).toBeLessThan(1e-12);
    const split = demoBass();
    const { coils } = split.pickups[0];
    expect(coils.map(coil => coil.strings?.length)).toEqual([2, 2]);
    const signs = coils.reduce((sum, c) => sum + c.polarity * c.winding * c.sensitivity, 0);
    expect(flat(split, 3).re[0] * meanZ(split)).toBeCloseTo(signs / 2, 9);
  });
});

describe('kernels of a take with a mixture on one string', () => {
  test.each(POINTS)('at test point %i they are the response within 0.02 dB, late by the string’s delay', point => {
    for (const build of [one, two, demoBass()]) {
      const [mixture, other] = [1, 2];
      const set = kernels(build, point, RATE, [mixture]);
      const plain = kernels(build, point, RATE);
      expect(set.delays).toEqual(plain.delays);
      const exact = flat(build, point);
      f.forEach((hz, i) => {
        if (hz > 0.42 * RATE) return;
        let [re, im] = [0, 0];
        set.outputs[0][mixture].forEach((h, n) => {
          const phase = (2 * Math.PI * hz * (n - set.delays[mixture])) / RATE;
          re += h * Math.cos(phase);
          im -= h * Math.sin(phase);
        });
        const size = Math.hypot(exact.re[i], exact.im[i]);
        expect(Math.abs(20 * Math.log10(Math.hypot(re, im) / size))).toBeLessThan(0.02);
        expect(Math.hypot(re - exact.re[i], im - exact.im[i]) / size).toBeLessThan(0.003);
      });
      // the other strings keep their combs: what is cut off at the end aside, the same numbers
      const shared = Math.min(set.taps, plain.taps);
      const scale = Math.max(...plain.outputs[0][other].map(Math.abs));
      for (let n = 0; n < shared; n++)
        expect(Math.abs(set.outputs[0][other][n] - plain.outputs[0][other][n])).toBeLessThan(1e-4 * scale);
    }
  });
});
