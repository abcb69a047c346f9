import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { preferenceResult } from '../../../shared/statistics/preference.ts';
import { drawPreferenceRun, isComplete, pairNow, withChoice } from '../../../src/listening/blind/preference-run.ts';
import { cryptoWord } from '../../../src/listening/blind/shuffle.ts';

describe('the plan of a preference run', () => {
  test('every pair once a round, first place balanced over two rounds, none twice in a row', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 8 }), fc.integer({ min: 1, max: 6 }), (builds, rounds) => {
        const { pairs } = drawPreferenceRun(builds, rounds, cryptoWord);
        const each = (builds * (builds - 1)) / 2;
        expect(pairs.length).toBe(each * rounds);
        const key = ([a, b]: readonly [number, number]) => `${Math.min(a, b)}-${Math.max(a, b)}`;
        for (let r = 0; r < rounds; r++)
          expect(new Set(pairs.slice(r * each, (r + 1) * each).map(key)).size).toBe(each);
        if (rounds % 2 === 0) {
          const first = new Array<number>(builds).fill(0);
          for (const [a] of pairs) first[a]++;
          for (const count of first) expect(count).toBe(((builds - 1) * rounds) / 2);
        }
        if (builds > 2) for (let i = 1; i < pairs.length; i++) expect(key(pairs[i])).not.toBe(key(pairs[i - 1]));
      }),
    );
  });
});

describe('the ranking', () => {
  /** A run whose choices are made by `prefer(i, j)`: true, i is chosen. */
  const played = (builds: number, rounds: number, prefer: (i: number, j: number, n: number) => boolean) => {
    let run = drawPreferenceRun(builds, rounds, cryptoWord);
    let n = 0;
    while (!isComplete(run)) {
      const [a, b] = pairNow(run);
      run = withChoice(run, prefer(a, b, n++) ? 0 : 1);
    }
    expect(() => withChoice(run, 0)).toThrow('every pair');
    return preferenceResult(builds, run.choices);
  };

  test('who always wins is first, but three choices prove nothing and it says so', () => {
    const { ranked, determined, anyDistinct, choices } = played(3, 1, (i, j) => i < j);
    expect(ranked.map(r => r.item)).toEqual([0, 1, 2]);
    expect(choices).toBe(3);
    expect(determined).toBe(false);
    expect(anyDistinct).toBe(false);
    expect(ranked.map(r => r.place)).toEqual([1, 1, 1]);
  });

  test('choices by the position alone leave all builds level', () => {
    const { ranked, anyDistinct } = played(4, 6, () => true);
    expect(anyDistinct).toBe(false);
    for (const r of ranked) {
      expect(r.ability).toBeCloseTo(0, 9);
      expect(r.chosen).toBe(9);
      expect(r.offered).toBe(18);
    }
  });

  test('two builds: odds and interval by hand', () => {
    // 15 of 20: log odds ln 3, variance 1/15 + 1/5 (delta method on a binomial proportion)
    const choices = Array.from({ length: 20 }, (_, i) => (i < 15 ? { chosen: 1, over: 0 } : { chosen: 0, over: 1 }));
    const { ranked, determined, anyDistinct } = preferenceResult(2, choices);
    expect(determined).toBe(true);
    expect(ranked[0].item).toBe(1);
    expect(ranked[0].ability - ranked[1].ability).toBeCloseTo(Math.log(3), 9);
    const against = ranked[1].againstTop!;
    expect(against.probability).toBeCloseTo(0.25, 9);
    const reach = 1.959964 * Math.sqrt(1 / 15 + 1 / 5);
    expect(against.interval[1]).toBeCloseTo(1 / (1 + Math.exp(Math.log(3) - reach)), 6);
    expect(against.distinct).toBe(true);
    expect(anyDistinct).toBe(true);
    expect(ranked.map(r => r.place)).toEqual([1, 2]);
  });
});
