import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { abxResult, guessProbability, minimumCorrect } from '../../shared/statistics/binomial.ts';

/** The same tail with whole numbers of any size. */
function exact(k: number, n: number): number {
  let sum = 0n;
  let c = 1n;
  for (let i = 0; i <= n; i++) {
    if (i >= k) sum += c;
    c = (c * BigInt(n - i)) / BigInt(i + 1);
  }
  return Number((sum * 10n ** 30n) / 2n ** BigInt(n)) / 1e30;
}

describe('guessing in a forced choice', () => {
  test.each([
    [12, 16, 0.0384064],
    [9, 10, 0.0107422],
    [8, 10, 0.0546875],
  ])('%i of %i: %f (binomial tail)', (k, n, p) => {
    expect(Math.abs(guessProbability(k, n) - p)).toBeLessThan(1e-7);
  });

  test('minimum correct for p <= 0.05, 5 to 25 trials (published ABX tables)', () => {
    const table = [5, 6, 7, 7, 8, 9, 9, 10, 10, 11, 12, 12, 13, 13, 14, 15, 15, 16, 16, 17, 18];
    expect(table.map((_, i) => minimumCorrect(i + 5))).toEqual(table);
  });

  test('minimum correct for p <= 0.01', () => {
    expect([10, 12, 16, 20, 25].map(n => minimumCorrect(n, 0.01))).toEqual([10, 11, 14, 16, 19]);
  });

  test('too few trials can show nothing', () => {
    expect(minimumCorrect(4)).toBeNull();
    expect(minimumCorrect(0)).toBeNull();
  });

  test('every tail equals whole-number arithmetic', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 400 }), fc.nat(400), (n, k) => {
        const correct = Math.min(k, n);
        const p = exact(correct, n);
        expect(Math.abs(guessProbability(correct, n) - p)).toBeLessThan(1e-12 + 1e-9 * p);
      }),
    );
  });

  test('12 of 16 is 1 time in 26', () => {
    expect(abxResult(12, 16)).toMatchObject({ oneIn: 26, needed: 12 });
    expect(abxResult(0, 0)).toMatchObject({ probability: 1, oneIn: 1, needed: null });
  });

  test('nonsense is refused', () => {
    expect(() => guessProbability(5, 4)).toThrow('5 correct of 4 trials');
    expect(() => guessProbability(1.5, 4)).toThrow('got 1.5');
  });
});
