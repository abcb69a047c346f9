/** From single choices to an order: places, counts, and who is told apart from whom. */
import { describe, expect, test } from 'vitest';
import { bradleyTerry, compareItems } from '../../shared/statistics/bradley-terry.ts';
import { type Choice, preferenceResult } from '../../shared/statistics/preference.ts';

/** `n` choices of one over another. */
const times = (n: number, chosen: number, over: number): Choice[] =>
  Array.from({ length: n }, () => ({ chosen, over }));

describe('an order of preference', () => {
  test('two builds: log odds of the wins, standard error sqrt(1/a + 1/b) of their difference, half of each from the mean', () => {
    const result = preferenceResult(2, [...times(12, 1, 0), ...times(4, 0, 1)]);
    expect(result).toMatchObject({ determined: true, choices: 16 });
    expect(result.ranked.map(r => [r.item, r.chosen, r.offered])).toEqual([
      [1, 12, 16],
      [0, 4, 16],
    ]);
    const [first, second] = result.ranked;
    expect(first.ability).toBeCloseTo(Math.log(3) / 2, 8);
    expect(second.ability).toBeCloseTo(-Math.log(3) / 2, 8);
    expect(first.standardError).toBeCloseTo(Math.sqrt(1 / 12 + 1 / 4) / 2, 8);
    expect(first.againstTop).toBeNull();
    expect(second.againstTop!.probability).toBeCloseTo(0.25, 8);
    // log 3 = 1.10 lies within 1.96 · 0.577 = 1.13: not told apart, one place
    expect(result.anyDistinct).toBe(false);
    expect(result.ranked.map(r => r.place)).toEqual([1, 1]);
    expect(second.againstTop!.distinct).toBe(false);
    // one choice more on either side of the limit: log(13/4) = 1.179 against 1.121
    const told = preferenceResult(2, [...times(13, 1, 0), ...times(4, 0, 1)]);
    expect(told.anyDistinct).toBe(true);
    expect(told.ranked.map(r => r.place)).toEqual([1, 2]);
    expect(told.ranked[1].againstTop).toMatchObject({ distinct: true, interval: expect.any(Array) });
  });

  test('places: equal to the one above unless told apart from the first of that place', () => {
    // 0 and 1 alike, both far above 2 and 3 alike
    const choices = [
      ...[...times(20, 0, 1), ...times(20, 1, 0), ...times(20, 2, 3), ...times(20, 3, 2)],
      ...[0, 1].flatMap(high => [2, 3].flatMap(low => [...times(27, high, low), ...times(3, low, high)])),
    ];
    const { ranked, anyDistinct, choices: made, determined } = preferenceResult(4, choices);
    expect({ anyDistinct, made, determined }).toEqual({ anyDistinct: true, made: 200, determined: true });
    expect(ranked.map(r => r.place)).toEqual([1, 1, 3, 3]);
    expect(new Set(ranked.slice(0, 2).map(r => r.item))).toEqual(new Set([0, 1]));
    for (const r of ranked) expect(r.offered).toBe(100);
    expect(ranked.map(r => r.chosen)).toEqual([74, 74, 26, 26]);
    // against the top, in the table's own order, as the ranking says
    const wins = [0, 1, 2, 3].map(i =>
      [0, 1, 2, 3].map(j => choices.filter(c => c.chosen === i && c.over === j).length),
    );
    const ranking = bradleyTerry(wins);
    for (const r of ranked.slice(1)) {
      const { probability, interval, distinct } = compareItems(ranking, r.item, ranked[0].item);
      expect(r.againstTop).toEqual({ probability, interval, distinct });
    }
    for (let i = 1; i < 4; i++) expect(ranked[i].ability).toBeLessThanOrEqual(ranked[i - 1].ability);
  });

  test('a chain of small steps is told apart from its place’s first, not from the neighbour', () => {
    const step = (high: number, low: number) => [...times(26, high, low), ...times(14, low, high)];
    const choices = [
      ...step(0, 1),
      ...step(1, 2),
      ...step(2, 3),
      ...step(0, 2),
      ...step(1, 3),
      ...times(30, 0, 3),
      ...times(10, 3, 0),
    ];
    const { ranked } = preferenceResult(4, choices);
    expect(ranked.map(r => r.item)).toEqual([0, 1, 2, 3]);
    ranked.forEach((r, i) => {
      if (i === 0) return;
      const first = ranked.find(one => one.place === ranked[i - 1].place)!;
      const wins = [0, 1, 2, 3].map(a =>
        [0, 1, 2, 3].map(b => choices.filter(c => c.chosen === a && c.over === b).length),
      );
      const apart = compareItems(bradleyTerry(wins), first.item, r.item).distinct;
      expect(r.place).toBe(apart ? i + 1 : ranked[i - 1].place);
    });
    expect(new Set(ranked.map(r => r.place)).size).toBeGreaterThan(1);
    expect(ranked[1].place).toBe(1);
  });

  test('one that always won: the choices fix no ranking, nothing is told apart', () => {
    const result = preferenceResult(3, [...times(9, 0, 1), ...times(9, 0, 2), ...times(9, 1, 2)]);
    expect(result).toMatchObject({ determined: false, anyDistinct: false, choices: 27 });
    expect(result.ranked.map(r => r.item)).toEqual([0, 1, 2]);
    expect(result.ranked.every(r => r.place === 1)).toBe(true);
  });
});
