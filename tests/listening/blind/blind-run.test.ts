import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  blindResult,
  drawBlindRun,
  hiddenNow,
  isFinished,
  trialsOf,
  type Which,
  withAnswer,
} from '../../../src/listening/blind/blind-run.ts';
import { below, cryptoWord, shuffled } from '../../../src/listening/blind/shuffle.ts';

/** A linear congruential generator's words (the constants of Numerical Recipes, 1992). */
const seeded = (seed: number) => () => (seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0);
/** Its low bits are poor; the high ones are mixed in. */
const words = (seed: number) => {
  const next = seeded(seed);
  return () => (next() ^ (next() >>> 16)) >>> 0;
};

describe('chance', () => {
  test('whole numbers are uniform: chi-squared of six kinds', () => {
    const counts = new Array<number>(6).fill(0);
    for (let i = 0; i < 60000; i++) counts[below(6, cryptoWord)]++;
    const chi = counts.reduce((sum, c) => sum + (c - 10000) ** 2 / 10000, 0);
    // five degrees of freedom, upper 1e-6 point 35.9: fails by chance once in a million runs
    expect(chi).toBeLessThan(35.9);
  });

  test('words beyond the last whole round are drawn again', () => {
    const given = [2 ** 32 - 1, 7];
    expect(below(3, () => given.shift()!)).toBe(1);
    expect(() => below(0, () => 1)).toThrow('got 0');
  });

  test('a shuffle keeps every item', () => {
    fc.assert(
      fc.property(fc.array(fc.integer()), fc.integer({ min: 1 }), (items, seed) => {
        expect(shuffled(items, words(seed)).sort()).toEqual([...items].sort());
      }),
    );
  });
});

describe('a blind run', () => {
  test('tells nothing before its end, and then every trial', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom<Which>(0, 1), { minLength: 5, maxLength: 25 }),
        fc.nat(),
        (answers, seed) => {
          let run = drawBlindRun(answers.length, words(seed));
          answers.forEach((answer, i) => {
            expect(trialsOf(run)).toBeNull();
            expect(hiddenNow(run)).toBe(run.hidden[i]);
            run = withAnswer(run, answer);
          });
          expect(isFinished(run)).toBe(true);
          expect(() => withAnswer(run, 0)).toThrow('every trial');
          const trials = trialsOf(run)!;
          expect(trials.map(t => t.answer)).toEqual(answers);
          const hits = run.hidden.filter((x, i) => x === answers[i]).length;
          expect(blindResult(trials).correct).toBe(hits);
        },
      ),
    );
  });

  test('X is either build as often, whatever it was before', () => {
    const pairs = [0, 0, 0, 0];
    const { hidden } = drawBlindRun(40000, words(11));
    for (let i = 1; i < hidden.length; i++) pairs[2 * hidden[i - 1] + hidden[i]]++;
    for (const count of pairs) expect(Math.abs(count / 10000 - 1)).toBeLessThan(0.05);
  });

  test('12 of 16: chance would do this 1 time in 26', () => {
    // 2517/65536 by hand: (1820 + 560 + 120 + 16 + 1)/2^16
    const trials = Array.from({ length: 16 }, (_, i) => ({ x: 0 as Which, answer: (i < 12 ? 0 : 1) as Which }));
    const result = blindResult(trials);
    expect(result.probability).toBeCloseTo(2517 / 65536, 14);
    expect(result.oneIn).toBe(26);
    expect(result.needed).toBe(12);
  });
});
