/**
 * Comb and aperture against figures worked out apart from this code, by the formula named beside each. The E2 string is
 * that of the published unit-weight chart: 648 mm, core .016 in, E = 200 GPa, T = 77.842 N.
 */
import { describe, expect, test } from 'vitest';
import type { ApertureWindow, StringSpec } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { comb, combNulls } from '../../shared/sensor/comb.ts';
import { fieldWindow } from '../../shared/sensor/field.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import {
  FWHM_PER_SIGMA,
  gaussianWindow,
  raisedCosineWindow,
  rectangleWindow,
  windowGain,
  windowSensitivity,
} from '../../shared/sensor/windows.ts';
import { stringModel, waveNumber } from '../../shared/string/stiff.ts';

const E2: StringSpec = {
  name: 'E2',
  scale: 0.648,
  saddle: 0,
  pitch: 82.40688922821748,
  gauge: 0.046 * 0.0254,
  core: 0.016 * 0.0254,
  unitWeight: 0.00038216 * 17.857967,
  inharmonicity: 8.0863e-5,
};
const stiff = stringModel(E2);
const ideal = stringModel({ ...E2, inharmonicity: 0 });
const E4ideal = stringModel({ ...E2, name: 'E4', pitch: 329.62755691287, inharmonicity: 0 });
const db = (x: number) => 20 * Math.log10(x);

/** Where a falling function crosses `level`, by bisection. */
function crossing(f: (x: number) => number, level: number, low: number, high: number): number {
  for (let i = 0; i < 200; i++) {
    const middle = (low + high) / 2;
    if (f(middle) > level) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
const HALF_POWER = Math.SQRT1_2;
/** A rod 4.8 mm across, 5 mm below the string. */
const rod = fieldWindow({ shape: 'disc', size: 0.0048, length: 0, at: [0] }, { y: 0, angle: 0, z: 0.005 });

describe('position comb', () => {
  test('P01 first null of the string without stiffness: c/2d', () => {
    expect(ideal.speed).toBeCloseTo(106.79934, 4);
    expect(combNulls(ideal, 0.041, 2000)[0].frequency).toBeCloseTo(1302.43, 2);
  });

  test('P02 first maximum: c/4d', () => {
    const magnitude = (f: number) => -Math.abs(comb(waveNumber(ideal, f), 0.162));
    let [low, high] = [100, 250];
    while (high - low > 1e-7) {
      const a = low + (high - low) / 3;
      const b = high - (high - low) / 3;
      if (magnitude(a) < magnitude(b)) high = b;
      else low = a;
    }
    expect(low).toBeCloseTo(164.814, 3);
  });

  test('P03, P04 |2 sin kd| a quarter of the scale away', () => {
    expect(Math.abs(2 * comb(waveNumber(ideal, 82.40688922821748), 0.162))).toBeCloseTo(Math.SQRT2, 6);
    expect(Math.abs(2 * comb(waveNumber(ideal, 250), 0.162))).toBeCloseTo(1.376261, 6);
  });

  test('P05 stiffness moves the nulls: mode number L/d in f = f0 n √(1 + B n²) (H. Fletcher, JASA 36 (1964) 203)', () => {
    const nulls = combNulls(stiff, 0.041, 9000);
    expect(Math.abs(nulls[0].frequency - 1315.52)).toBeLessThan(0.05);
    const cents = [1, 2, 5].map(m => 1200 * Math.log2(nulls[m - 1].frequency / (m * 1302.43)));
    expect(cents[0]).toBeCloseTo(17.3, 1);
    expect(cents[1]).toBeCloseTo(67.3, 1);
    expect(cents[2]).toBeCloseTo(353.8, 1);
    // The wave number at the null's frequency puts a node over the pickup: dispersion relation and nulls agree.
    for (const n of nulls) expect(comb(waveNumber(stiff, n.frequency), 0.041)).toBeCloseTo(0, 9);
  });

  test('P07 the round trip to the saddle: 2d/c', () => {
    expect(((2 * 0.162) / ideal.speed) * 48_000).toBeCloseTo(145.6189, 3);
    const [first] = combNulls(ideal, 0.162, 1000);
    expect(48_000 / first.frequency).toBeCloseTo(145.6189, 3);
  });
});

describe('aperture windows', () => {
  const rectangle: ApertureWindow = { shape: 'rectangle', width: 0.015, depth: 0 };

  test('P08 rectangle, half power: sinc', () => {
    expect(crossing(x => rectangleWindow(2 * Math.PI * x), HALF_POWER, 0.1, 0.9)).toBeCloseTo(0.442946, 6);
  });

  test('P09 rectangle, first null: c/w', () => {
    const null1 = crossing(f => windowGain(rectangle, rod, waveNumber(ideal, f)), 0, 5000, 9000);
    expect(null1).toBeCloseTo(7119.96, 2);
  });

  test('P10 rectangle, loss at 5 kHz', () => {
    expect(db(windowGain(rectangle, rod, waveNumber(ideal, 5000)))).toBeCloseTo(-8.7587, 3);
  });

  test('P12, P13 Gaussian, half power: kσ = √ln 2', () => {
    expect(crossing(gaussianWindow, HALF_POWER, 0.1, 2)).toBeCloseTo(0.832555, 6);
    const window: ApertureWindow = { shape: 'gaussian', width: 0.005 * FWHM_PER_SIGMA, depth: 0 };
    const f = crossing(x => windowGain(window, rod, waveNumber(ideal, x)), HALF_POWER, 100, 9000);
    expect(f).toBeCloseTo(2830.29, 2);
    expect(FWHM_PER_SIGMA).toBeCloseTo(2.35482, 5);
  });

  test('P14, P15 raised cosine: half power, and one half at f w/c = 1', () => {
    expect(crossing(x => raisedCosineWindow(2 * Math.PI * x), HALF_POWER, 0.1, 1.5)).toBeCloseTo(0.720291, 6);
    expect(raisedCosineWindow(2 * Math.PI)).toBeCloseTo(0.5, 12);
    expect(raisedCosineWindow(4 * Math.PI)).toBeCloseTo(0, 12);
  });

  // The definition itself: W(k) = ∫ S cos(kx) dx / ∫ S dx, by the trapezoidal rule on the drawn sensitivity.
  for (const shape of ['pole', 'rectangle', 'raised-cosine', 'gaussian'] as const)
    test(`the ${shape} window equals the integral of its sensitivity`, () => {
      const window: ApertureWindow = { shape, width: 0.012, depth: null };
      const reach = shape === 'pole' ? 0.2 : shape === 'gaussian' ? 0.06 : 0.006;
      const n = shape === 'pole' ? 20_000 : 200_000;
      for (const k of [0, 60, 200, 523.6, 900]) {
        let [over, under] = [0, 0];
        for (let i = 0; i <= n; i++) {
          const x = (reach * i) / n;
          const s = windowSensitivity(window, rod, x) * (i === 0 || i === n ? 0.5 : 1);
          over += s * Math.cos(k * x);
          under += s;
        }
        expect(windowGain(window, rod, k)).toBeCloseTo(over / under, 5);
      }
    });
});

describe('two coils and slant', () => {
  const notch = (speed: number) => speed / (2 * 0.0185);
  /** sin k(d − s/2) + sin k(d + s/2) over 2 sin kd. */
  const pair = (k: number, d: number, s: number) => (comb(k, d - s / 2) + comb(k, d + s / 2)) / (2 * comb(k, d));

  test('P18, P19 notch of two coils 18.5 mm apart: c/2s', () => {
    const at = (model: typeof ideal, near: number) =>
      crossing(f => pair(waveNumber(model, f), 0.1234, 0.0185), 0, near * 0.99, near * 1.01);
    expect(at(ideal, 2886)).toBeCloseTo(2886.47, 2);
    expect(Math.abs(at(E4ideal, 11546) - 11545.9)).toBeLessThan(0.1);
    expect(notch(ideal.speed)).toBeCloseTo(2886.47, 2);
  });

  test('P21 two-coil loss at 1 kHz: cos(ks/2)', () => {
    expect(db(Math.abs(pair(waveNumber(ideal, 1000), 0.162, 0.0185)))).toBeCloseTo(-1.3551, 3);
  });

  test('P23 slant spreads the distances: 10° over 52.5 mm, tan', () => {
    const [build] = demoBuilds();
    const parallel = { ...build.instrument, spread: { saddle: 0.0525, nut: 0.0525 } };
    const pickup = { ...build.pickups[0], slant: (10 * Math.PI) / 180 };
    const coil = { ...pickup.coils[0], along: 0 };
    const x = [0, 5].map(i => coilOnString({ instrument: parallel }, pickup, coil, i).x);
    expect((x[1] - x[0]) * 1000).toBeCloseTo(9.2572, 3);
    expect(x[1]).toBeGreaterThan(x[0]);
  });
});
