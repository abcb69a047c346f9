/**
 * The whole path against a second way of working it out: mode numbers of the stiff string (H. Fletcher, JASA 36 (1964)
 * 203), the Gaussian window, and the loaded coil by impedances in series and parallel, with complex
 * arithmetic of its own.
 */
import { describe, expect, test } from 'vitest';
import type { Build } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { response } from '../../shared/response/response.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';

type Complex = readonly [number, number];
const add = (...list: Complex[]): Complex => [list.reduce((s, z) => s + z[0], 0), list.reduce((s, z) => s + z[1], 0)];
const over = ([a, b]: Complex, [c, d]: Complex): Complex => {
  const m = c * c + d * d;
  return [(a * c + b * d) / m, (b * c - a * d) / m];
};
const inverse = (z: Complex): Complex => over([1, 0], z);
const db = ([re, im]: Complex) => 20 * Math.log10(Math.hypot(re, im));

/** Gain from EMF to the input: R and L in series into C_self, tone R + C, volume at full, cable and input side by side. */
function gain(f: number): Complex {
  const w = 2 * Math.PI * f;
  const load = add([1 / 250e3 + 1 / 1e6, w * (100e-12 + 500e-12)], inverse([250e3, -1 / (w * 22e-9)]));
  return inverse(add([1, 0], [6000 * load[0] - w * 2.5 * load[1], 6000 * load[1] + w * 2.5 * load[0]]));
}

const [, recorded] = demoBuilds();
/** Strings whose B follows from gauge and core, so that it can be worked out a second way. */
const demo = { ...recorded, instrument: STRING_SETS.find(set => set.id === 'guitar-6')!.instrument };
/** Without loss in the coil, and with a window of closed form: the poles' own is tested in `sensor/field.test.ts`. */
const build: Build = {
  ...demo,
  pickups: demo.pickups.map(p => ({
    ...p,
    coils: p.coils.map(c => ({
      ...c,
      loss: { kind: 'none' },
      window: { shape: 'gaussian', width: 0.006 * 2.3548200450309493, depth: null },
    })),
  })),
};

describe('single coil 38 mm from the saddle, 250 k controls, 5 m of cable', () => {
  test('C11 gain of the network: 1, 3, 5 and 10 kHz', () => {
    const f = Float64Array.of(1000, 3000, 5000, 10_000);
    const before = response(build, 5, 3, f);
    const after = response(build, 5, 5, f);
    const expected = [-0.0563, 2.9087, 0.6755, -14.2164];
    for (const [i, level] of expected.entries()) {
      const ratio = over([after.re[i], after.im[i]], [before.re[i], before.im[i]]);
      expect(db(ratio)).toBeCloseTo(level, 3);
      expect(db(gain(f[i]))).toBeCloseTo(level, 3);
    }
  });

  test('E2 from 20 Hz to 20 kHz within 1e-9 of its maximum', () => {
    const f = Float64Array.from({ length: 300 }, (_, i) => 20 * 1000 ** (i / 299));
    const got = response(build, 5, 5, f);
    const { scale, pitch, core, gauge } = build.instrument.strings[5];
    // a steel core and rings of round steel wire about it
    const [d, w] = [core!, (gauge - core!) / 2];
    const mass = 7850 * ((Math.PI * d ** 2) / 4 + (Math.PI ** 2 * w * (d + w)) / 4);
    const tension = mass * (2 * scale * pitch) ** 2;
    const B = (Math.PI ** 3 * 200e9 * (core ?? 0) ** 4) / (64 * tension * scale ** 2);
    // 8.09e-5 by a published unit weight, which lies half a per cent above
    expect(Math.abs(B / 8.0863e-5 - 1)).toBeLessThan(0.01);
    const [pickup] = build.pickups;
    const [coil] = pickup.coils;
    const { level } = coilOnString(build, pickup, coil, 5);
    let most = 0;
    let worst = 0;
    f.forEach((hz, i) => {
      const n = Math.sqrt((Math.sqrt(1 + 4 * B * (hz / pitch) ** 2) - 1) / (2 * B));
      const k = (n * Math.PI) / scale;
      const window = Math.exp(-((k * 0.006) ** 2) / 2);
      const factor = (coil.sensitivity * level * window * Math.sin(k * 0.038) * k) / (mass * 2 * Math.PI * hz);
      const [re, im] = gain(hz);
      most = Math.max(most, factor * Math.hypot(re, im));
      worst = Math.max(worst, Math.hypot(got.re[i] + factor * im, got.im[i] - factor * re));
    });
    expect(most).toBeGreaterThan(0);
    expect(worst / most).toBeLessThan(1e-9);
  });
});
