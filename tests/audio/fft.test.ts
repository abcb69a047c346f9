import { describe, expect, test } from 'vitest';
import { powerOfTwo, RealFft } from '../../shared/audio/fft.ts';
import { largestDifference, noise } from './signals.ts';

/** The definition: X[k] = Σ x[n] exp(−j2πkn/N). */
function definition(x: ArrayLike<number>): { re: Float64Array; im: Float64Array } {
  const n = x.length;
  const re = new Float64Array(n / 2 + 1);
  const im = new Float64Array(n / 2 + 1);
  for (let k = 0; k <= n / 2; k++)
    for (let i = 0; i < n; i++) {
      re[k] += x[i] * Math.cos((2 * Math.PI * ((k * i) % n)) / n);
      im[k] -= x[i] * Math.sin((2 * Math.PI * ((k * i) % n)) / n);
    }
  return { re, im };
}

describe('general sizes', () => {
  test.each([4, 8, 64, 512, 1024])('%i points equal the definition, and back', size => {
    const x = noise(size, size);
    const fft = new RealFft(size);
    const out = fft.spectrum();
    fft.forward(out, x);
    const wanted = definition(x);
    expect(largestDifference(out.re, wanted.re)).toBeLessThan(1e-11 * size);
    expect(largestDifference(out.im, wanted.im)).toBeLessThan(1e-11 * size);
    const back = new Float64Array(size);
    fft.inverse(back, out);
    expect(largestDifference(back, x)).toBeLessThan(1e-13);
  });

  test('a short signal is followed by zeros, an offset is honoured', () => {
    const fft = new RealFft(16);
    const out = fft.spectrum();
    fft.forward(out, [9, 9, 1, 2], 2);
    expect(out.re[0]).toBeCloseTo(3, 12);
    expect(out.re[8]).toBeCloseTo(-1, 12);
  });

  test('sizes that are no power of two are refused by name', () => {
    for (const size of [0, 3, 100, 2.5]) expect(() => new RealFft(size)).toThrow(String(size));
    expect([1, 2, 3, 1000, 1024].map(powerOfTwo)).toEqual([1, 2, 4, 1024, 1024]);
  });
});
