/** Strings against figures from outside the project; each source stands beside its check. */
import { describe, expect, test } from 'vitest';
import type { StringSpec } from '../../shared/document/build.ts';
import { fretFromNut } from '../../shared/string/frets.ts';
import { lateralStiffness, pluckAmplitude, t60 } from '../../shared/string/pluck.ts';
import { bendingOf, inharmonicityOf, partial, stringModel, tensionOf } from '../../shared/string/stiff.ts';
import { massPerLength, rodMass } from '../../shared/string/wire.ts';
import { LB_PER_IN } from '../../shared/units.ts';

const within = (got: number, expected: number, tolerance: number) =>
  expect(Math.abs(got - expected), `${got} against ${expected}`).toBeLessThanOrEqual(tolerance);

const INCH = 0.0254;
const LBF = 4.4482216152605;
const E2: StringSpec = {
  name: 'E2',
  scale: 0.648,
  saddle: 0,
  pitch: 82.4069,
  gauge: 0.046 * INCH,
  core: 0.4064e-3,
  unitWeight: 0.00038216 * LB_PER_IN,
  inharmonicity: null,
};
const cents = (ratio: number) => 1200 * Math.log2(ratio);

describe('frets: twelve-tone equal temperament', () => {
  test('648 and 864 mm', () => {
    within(fretFromNut(0.648, 1) * 1e3, 36.3694, 1e-3);
    within(fretFromNut(0.648, 12) * 1e3, 324, 1e-6);
    within(fretFromNut(0.864, 1) * 1e3, 48.4926, 1e-3);
  });
});

describe('tension', () => {
  // A public table of tensions that treats every string as a solid rod of 7850 kg/m³.
  test('solid rods of .010 and .036 in at 648 mm', () => {
    within(tensionOf(rodMass(0.01 * INCH, 7850), 0.648, 329.6276), 72.591, 0.01);
    within(tensionOf(rodMass(0.036 * INCH, 7850), 0.648, 110), 104.768, 0.01);
  });
  // Unit weights of a published tension chart, T = UW (2Lf)²/g in its own units.
  test('from published unit weights', () => {
    within(stringModel(E2).tension, 77.842, 0.01);
    within(tensionOf(0.00001794 * LB_PER_IN, 25.5 * INCH, 329.63) / LBF, 13.1, 0.1);
    within(tensionOf(0.00012671 * LB_PER_IN, 25.5 * INCH, 146.83) / LBF, 18.4, 0.1);
  });
  // Unit weights (lb/in) of a published tension chart of nickel-plated steel strings; cores as in `shared/string/sets.ts`.
  // Plain ones stand there for a density of 7806 kg/m³; what wound ones weigh varies from maker to maker by as much.
  test.each([
    [0.009, null, 0.00001794],
    [0.01, null, 0.00002215],
    [0.013, null, 0.00003744],
    [0.017, null, 0.00006402],
    [0.026, 0.014, 0.00012671],
    [0.036, 0.014, 0.00023964],
    [0.046, 0.016, 0.00038216],
    [0.052, 0.018, 0.00048109],
    [0.059, 0.018, 0.00064191],
    [0.045, 0.018, 0.0003698],
    [0.065, 0.0215, 0.00079569],
    [0.085, 0.0245, 0.00133702],
    [0.105, 0.0275, 0.00198395],
    [0.13, 0.0306, 0.00301941],
  ])('%f in on a core of %f in weighs what is published, within 1 %% plain and 5 %% wound', (gauge, core, weight) => {
    const spec = { ...E2, gauge: gauge * INCH, core: core === null ? null : core * INCH, unitWeight: null };
    within(massPerLength(spec) / (weight * LB_PER_IN), 1, core === null ? 0.01 : 0.05);
  });
});

describe('stiffness: H. Fletcher, JASA 36 (1964) 203', () => {
  test('B of a plain and of a wound string', () => {
    const plain = tensionOf(rodMass(0.254e-3, 7850), 0.648, 329.6276);
    within(inharmonicityOf(bendingOf(0.254e-3, 200e9), plain, 0.648), 1.32312e-5, 1e-9);
    within(stringModel(E2).B, 8.0863e-5, 1e-8);
  });
  test('partial 20 of the low E', () => {
    const s = stringModel({ ...E2, inharmonicity: 8.0863e-5 });
    within(partial(s, 20), 1674.58, 0.01);
    within(cents(partial(s, 20) / partial(s, 1) / 20), 27.485, 0.01);
  });
  test('B rises fourfold at fret 12', () => {
    const s = stringModel(E2);
    const atFret = (fret: number) => ((partial(s, 2, fret) / partial(s, 1, fret) / 2) ** 2 - 1) as number;
    // (f2/2f1)² = (1 + 4B)/(1 + B)
    const B = (r: number) => r / (3 - r);
    within(B(atFret(12)) / B(atFret(0)), 4, 1e-9);
  });
  // J. A. Kemp, SN Applied Sciences 2 (2020) 636: about 100 cents at partial 10 of fret 12 and at partial 6 of fret 21.
  test('B at fret 21 against fret 12 as measured on a bass', () => {
    const sharp = (n: number, B: number) => cents(Math.sqrt((1 + B * n * n) / (1 + B)));
    const solve = (n: number) => {
      let [low, high] = [0, 0.1];
      for (let i = 0; i < 80; i++) {
        const mid = (low + high) / 2;
        if (sharp(n, mid) < 100) low = mid;
        else high = mid;
      }
      return low;
    };
    const measured = solve(6) / solve(10);
    within(measured, 2.835, 0.01);
    within(measured / 2 ** (9 / 6), 1, 0.01);
  });
});

describe('pluck: Fletcher and Rossing, The Physics of Musical Instruments, ch. 2', () => {
  test('mode amplitudes at one fifth', () => {
    for (const [n, expected] of [
      [1, 0.744439],
      [2, 0.301132],
      [3, 0.133836],
      [5, 0],
    ])
      within(pluckAmplitude(n, 1 / 5, 1), expected, 1e-6);
  });
  test('second mode against the first at one eighth', () => {
    const level = 20 * Math.log10(pluckAmplitude(2, 1 / 8, 1) / pluckAmplitude(1, 1 / 8, 1));
    within(level, -6.7083, 1e-3);
  });
  // M. Zollner, Physics of the Electric Guitar, ch. 1.5: s = T L/(x(L − x)); 1000 to 2000 N/m for a pick at 6 to 10 cm.
  test('lateral stiffness of the low E at 80 mm', () => {
    within(lateralStiffness(77.842, 0.08, 0.648), 1110.1, 0.1);
  });
  test('decay time: ln 1000', () => {
    within(t60(1), 6.90776, 1e-5);
  });
});
