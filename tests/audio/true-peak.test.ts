import fc from 'fast-check';
import { expect, test } from 'vitest';
import { truePeak } from '../../shared/audio/true-peak.ts';
import { truePeak as densely, noise } from './signals.ts';

/** A signal of stretches of any level and length, some of them silent. */
const stretches = fc.array(
  fc.record({
    seed: fc.integer({ min: 1, max: 999 }),
    level: fc.constantFrom(0, 0.01, 0.3, 0.5, 0.9, 1),
    length: fc.integer({ min: 1, max: 90 }),
  }),
  { minLength: 1, maxLength: 12 },
);
const signalOf = (list: { seed: number; level: number; length: number }[]): Float32Array =>
  Float32Array.from(list.flatMap(({ seed, level, length }) => Array.from(noise(length, seed, level))));

/** Every value between samples, none passed over: four-fold, by a sinc under a Kaiser window of 24 samples. */
function everyValue(x: Float32Array): number {
  let peak = 0;
  const bessel = (v: number) => {
    let [sum, term] = [1, 1];
    for (let k = 1; k < 40; k++) sum += term *= (v / (2 * k)) ** 2;
    return sum;
  };
  for (let phase = 0; phase < 4; phase++) {
    const row = Array.from({ length: 24 }, (_, i) => {
      const t = phase / 4 + 11 - i;
      const window = bessel(6.76 * Math.sqrt(Math.max(0, 1 - (t / 12) ** 2))) / bessel(6.76);
      return t === 0 ? 1 : (window * Math.sin(Math.PI * t)) / (Math.PI * t);
    });
    const whole = row.reduce((sum, v) => sum + v, 0);
    for (let n = 0; n < x.length + 12; n++) {
      let sum = 0;
      for (let i = 0; i < 24; i++) sum += (x[n + i - 11] ?? 0) * (row[i] / whole);
      peak = Math.max(peak, Math.abs(sum));
    }
  }
  return peak;
}

test('what is passed over because it cannot matter does not matter', () => {
  fc.assert(
    fc.property(stretches, list => {
      const x = signalOf(list);
      expect(truePeak([x], 48000)).toBeCloseTo(everyValue(x), 9);
    }),
    { numRuns: 300 },
  );
});

test('the highest of several channels counts, wherever it lies', () => {
  const quiet = noise(500, 1, 0.1);
  const loud = noise(700, 2, 0.7);
  expect(truePeak([quiet, loud], 48000)).toBe(truePeak([loud], 48000));
  expect(truePeak([loud, quiet], 48000)).toBe(truePeak([loud], 48000));
  // another way of looking between samples, sixteen-fold
  expect(20 * Math.log10(truePeak([loud], 48000) / densely(loud))).toBeGreaterThan(-0.7);
});

test('silence and nothing have none', () => {
  expect(truePeak([new Float32Array(100)], 48000)).toBe(0);
  expect(truePeak([new Float32Array(0)], 48000)).toBe(0);
  expect(truePeak([], 48000)).toBe(0);
});
