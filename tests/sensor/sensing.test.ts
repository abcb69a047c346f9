/** What a coil makes of a string, against adding up what point sensors along its window would. */
import { describe, expect, test } from 'vitest';
import type { ApertureWindow } from '../../shared/document/build.ts';
import { comb, combNulls, stringWaves } from '../../shared/sensor/comb.ts';
import { fieldWindow } from '../../shared/sensor/field.ts';
import { MIXED, sensing } from '../../shared/sensor/sensing.ts';
import { FWHM_PER_SIGMA, windowExtent, windowSensitivity } from '../../shared/sensor/windows.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';
import { impedance, partial, stringModel, waveNumber } from '../../shared/string/stiff.ts';

const string = stringModel(STRING_SETS[0].instrument.strings[5]);
/** Two rods under a turned coil, the string beside their middle: a window that leans. */
const leaning = fieldWindow(
  { shape: 'disc', size: 5.2e-3, length: 0, at: [4.75e-3, -4.75e-3] },
  { y: 2e-3, angle: 0.35, z: 5e-3 },
);
const frequencies = Float64Array.of(0, 60, 500, 2345, 7000, 15_000);

describe('velocity', () => {
  const x = 0.0613;
  test.each(['pole', 'rectangle', 'raised-cosine', 'gaussian'] as const)(
    '%s: point sensors weighed by the window, j sin(k(x + u))/Z',
    shape => {
      const window: ApertureWindow = { shape, width: 0.012, depth: null };
      const got = sensing({ senses: 'velocity', at: { x, field: leaning }, window }, stringWaves(string, frequencies));
      const reach = shape === 'pole' || shape === 'gaussian' ? 0.06 : 0.006;
      const n = 40_000;
      for (let i = 1; i < frequencies.length; i++) {
        const f = frequencies[i];
        const k = waveNumber(string, f);
        let [over, under] = [0, 0];
        for (let j = 0; j < n; j++) {
          const u = reach * (((j + 0.5) / n) * 2 - 1);
          const s = windowSensitivity(window, leaning, u);
          over += s * Math.sin(k * (x + u));
          under += s;
        }
        // the pole window's far feet, beyond what is summed, weigh less than 1e-4
        expect(Math.abs(got.im[i] * impedance(string, f) - over / under)).toBeLessThan(shape === 'pole' ? 2e-4 : 1e-6);
        expect(got.re[i]).toBe(0);
      }
    },
  );

  test('a point, and standing still', () => {
    const got = sensing(
      { senses: 'velocity', at: { x, field: leaning }, window: null },
      stringWaves(string, frequencies),
    );
    for (let i = 1; i < frequencies.length; i++)
      expect(got.im[i] * impedance(string, frequencies[i])).toBeCloseTo(
        Math.sin(waveNumber(string, frequencies[i]) * x),
        12,
      );
    expect(got.im[0]).toBe(0);
  });

  test('strings that are mixed have their impedance alone', () => expect(MIXED.velocity(0.4)).toBe(2.5));
});

test('waves: wave number and mobility of each frequency, at 0 Hz the limit', () => {
  const { k, mobility } = stringWaves(string, frequencies);
  frequencies.forEach((f, i) => {
    expect(k[i]).toBe(waveNumber(string, f));
    expect(mobility[i] * impedance(string, f)).toBeCloseTo(1, 12);
  });
});

describe('nulls', () => {
  // H. Fletcher, JASA 36 (1964) 203: partials of a fretted string; a sensor over a node of a mode does not hear it.
  test('over a node of a partial, its null falls on that partial, open and fretted', () => {
    for (const fret of [0, 3, 12]) {
      const speaking = string.length * 2 ** (-fret / 12);
      const nulls = combNulls(string, speaking / 4, 9000, fret);
      expect(nulls.length).toBeGreaterThan(4);
      nulls.forEach(({ order, partial: number, frequency }, i) => {
        expect(order).toBe(i + 1);
        expect(number).toBeCloseTo(4 * order, 9);
        expect(frequency).toBeCloseTo(partial(string, 4 * order, fret), 6);
        expect(comb(waveNumber(string, frequency), speaking / 4)).toBeCloseTo(0, 9);
      });
      const next = partial(string, 4 * (nulls.length + 1), fret);
      expect(next).toBeGreaterThan(9000);
      expect(combNulls(string, speaking / 4, next, fret)).toHaveLength(nulls.length + 1);
    }
  });
  test('none where nothing lies between sensor and saddle', () => {
    expect(combNulls(string, 0, 9000)).toEqual([]);
    expect(combNulls(string, -0.01, 9000)).toEqual([]);
  });
});

test('extent of every window is the full width at half of its drawn sensitivity', () => {
  for (const shape of ['pole', 'raised-cosine', 'gaussian', 'rectangle'] as const) {
    const window: ApertureWindow = { shape, width: 0.012, depth: null };
    const steps = Array.from({ length: 60_001 }, (_, i) => (i - 30_000) * 1e-6);
    const wide = steps.filter(u => windowSensitivity(window, leaning, u) >= 0.5);
    const most = Math.max(...steps.map(u => windowSensitivity(window, leaning, u)));
    expect(most).toBeCloseTo(1, 2);
    expect(most).toBeLessThanOrEqual(1.01);
    expect(Math.abs(windowExtent(window, leaning) - (wide[wide.length - 1] - wide[0]))).toBeLessThan(6e-5);
  }
  // 2 √(2 ln 2), any table of the normal distribution
  expect(FWHM_PER_SIGMA).toBeCloseTo(2.354820045, 8);
});
