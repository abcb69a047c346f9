import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bradleyTerry, compareItems, standardError } from '../../shared/statistics/bradley-terry.ts';

// A. Agresti, Categorical Data Analysis, 2nd ed. (2002), section 10.6, table 10.10: seven teams, 13 games a pair, wins of
// the row over the column. Estimates of table 10.11, with the last team at 0.
const TEAMS = [
  [0, 7, 9, 7, 7, 9, 11],
  [6, 0, 7, 5, 11, 9, 9],
  [4, 6, 0, 7, 7, 8, 12],
  [6, 8, 6, 0, 6, 7, 10],
  [6, 2, 6, 7, 0, 7, 12],
  [4, 4, 5, 6, 6, 0, 6],
  [2, 4, 1, 3, 1, 7, 0],
];
const PUBLISHED = [1.58, 1.44, 1.29, 1.25, 1.11, 0.68, 0];

/** −Log likelihood of abilities, by its definition; with a prior, half a win and half a loss of each against 0. */
const surprise = (theta: readonly number[], wins: readonly (readonly number[])[], prior: boolean): number => {
  const logOdds = (t: number) => Math.log(1 + Math.exp(-t));
  let sum = 0;
  wins.forEach((row, i) => {
    row.forEach((w, j) => {
      if (i !== j) sum += w * logOdds(theta[i] - theta[j]);
    });
    if (prior) sum += (logOdds(theta[i]) + logOdds(-theta[i])) / 2;
  });
  return sum;
};

/** Second derivatives of a function of several variables by differences. */
const curvature = (f: (x: readonly number[]) => number, at: readonly number[]): number[][] => {
  const h = 1e-3;
  const moved = (i: number, j: number, a: number, b: number) =>
    f(at.map((v, k) => v + (k === i ? a * h : 0) + (k === j ? b * h : 0)));
  return at.map((_, i) =>
    at.map((_, j) => (moved(i, j, 1, 1) - moved(i, j, 1, -1) - moved(i, j, -1, 1) + moved(i, j, -1, -1)) / (4 * h * h)),
  );
};

const minor = (m: readonly (readonly number[])[], r: number, c: number) =>
  m.filter((_, i) => i !== r).map(row => row.filter((_, j) => j !== c));
const det = (m: readonly (readonly number[])[]): number =>
  m.length === 0 ? 1 : m[0].reduce((sum, v, j) => sum + (j % 2 ? -v : v) * det(minor(m, 0, j)), 0);
/** Inverse by cofactors. */
const inverse = (m: readonly (readonly number[])[]): number[][] =>
  m.map((_, i) => m.map((_, j) => (((i + j) % 2 ? -1 : 1) * det(minor(m, j, i))) / det(m)));
/** Covariance of the differences from their mean. */
const centred = (c: readonly (readonly number[])[]): number[] => {
  const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
  const all = mean(c.flat());
  return c.flatMap(row => row.map((v, j) => v - mean(row) - mean(c.map(r => r[j])) + all));
};
const closeTo = (got: ArrayLike<number>, expected: readonly number[], digits: number) =>
  expected.forEach((value, i) => {
    expect(got[i], `entry ${i}`).toBeCloseTo(value, digits);
  });

describe('Bradley-Terry', () => {
  test('the published example: estimates to the two digits given, standard errors about 0.3', () => {
    const ranking = bradleyTerry(TEAMS);
    expect(ranking.determined).toBe(true);
    expect(ranking.choices).toBe(21 * 13);
    PUBLISHED.forEach((published, i) => {
      const { difference, standardError } = compareItems(ranking, i, 6);
      expect(Math.abs(difference - published)).toBeLessThan(0.005);
      if (i < 6) expect(standardError.toFixed(1)).toBe('0.3');
    });
  });

  test('two items: the closed form log(a/b) with standard error sqrt(1/a + 1/b)', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 60 }), fc.integer({ min: 1, max: 60 }), (a, b) => {
        const c = compareItems(
          bradleyTerry([
            [0, a],
            [b, 0],
          ]),
          0,
          1,
        );
        expect(c.difference).toBeCloseTo(Math.log(a / b), 8);
        expect(c.standardError).toBeCloseTo(Math.sqrt(1 / a + 1 / b), 8);
        expect(c.probability).toBeCloseTo(a / (a + b), 8);
        expect(c.interval[0]).toBeLessThan(c.probability);
        expect(c.interval[1]).toBeGreaterThan(c.probability);
      }),
    );
  });

  test('at the maximum every item wins as often as expected (the likelihood equations)', () => {
    const count = fc.integer({ min: 1, max: 9 });
    fc.assert(
      fc.property(fc.array(fc.array(count, { minLength: 5, maxLength: 5 }), { minLength: 5, maxLength: 5 }), wins => {
        const { abilities } = bradleyTerry(wins);
        wins.forEach((row, i) => {
          let expected = 0;
          let won = 0;
          row.forEach((w, j) => {
            if (i === j) return;
            won += w;
            expected += (w + wins[j][i]) / (1 + Math.exp(abilities[j] - abilities[i]));
          });
          expect(expected).toBeCloseTo(won, 7);
        });
        expect(abilities.reduce((s, t) => s + t, 0)).toBeCloseTo(0, 9);
      }),
    );
  });

  test('covariance is the inverse curvature of the log likelihood, the last item held, the mean taken off', () => {
    for (const wins of [TEAMS.slice(0, 5).map(row => row.slice(0, 5)), TEAMS.slice(3).map(row => row.slice(3))]) {
      const { abilities, covariance, determined } = bradleyTerry(wins);
      expect(determined).toBe(true);
      const free = [...abilities].slice(0, -1);
      const last = abilities.at(-1)!;
      const held = inverse(curvature(theta => surprise([...theta, last], wins, false), free));
      closeTo(covariance, centred([...held.map(row => [...row, 0]), free.map(() => 0).concat(0)]), 5);
      expect(standardError(bradleyTerry(wins), 1)).toBeCloseTo(Math.sqrt(covariance[wins.length + 1]), 12);
    }
  });

  test('without a ranking of their own: the likelihood with half a win and half a loss against an average item', () => {
    const wins = [
      [0, 5, 3, 4],
      [0, 0, 2, 6],
      [0, 1, 0, 1],
      [0, 1, 0, 0],
    ];
    const ranking = bradleyTerry(wins);
    expect(ranking).toMatchObject({ determined: false, choices: 23 });
    // steepest descent from 0: slow, sure and nobody's formula but the likelihood's
    let theta = [0, 0, 0, 0];
    const at = (i: number, d: number) =>
      surprise(
        theta.map((v, k) => v + (k === i ? d : 0)),
        wins,
        true,
      );
    for (let step = 0; step < 3000; step++)
      theta = theta.map((v, i) => v - (0.1 * (at(i, 1e-4) - at(i, -1e-4))) / 2e-4);
    const mean = theta.reduce((a, b) => a + b, 0) / 4;
    closeTo(
      ranking.abilities,
      theta.map(v => v - mean),
      5,
    );
    closeTo(ranking.covariance, centred(inverse(curvature(v => surprise(v, wins, true), theta))), 4);
  });

  test('an item against itself says nothing', () => {
    const withItself = TEAMS.map((row, i) => row.map((w, j) => (i === j ? 5 : w)));
    expect(bradleyTerry(withItself)).toEqual(bradleyTerry(TEAMS));
  });

  test('one that always won has no finite ability from the choices alone: said, finite, never called distinct', () => {
    const ranking = bradleyTerry([
      [0, 3, 3],
      [0, 0, 2],
      [0, 1, 0],
    ]);
    expect(ranking.determined).toBe(false);
    expect([...ranking.abilities].every(Number.isFinite)).toBe(true);
    expect(ranking.abilities[0]).toBeGreaterThan(ranking.abilities[1]);
    expect(compareItems(ranking, 0, 2).distinct).toBe(false);
    expect(standardError(ranking, 0)).toBeGreaterThan(0.5);
  });

  test('two groups never compared, and no choices at all', () => {
    const split = bradleyTerry([
      [0, 2, 0, 0],
      [2, 0, 0, 0],
      [0, 0, 0, 3],
      [0, 0, 1, 0],
    ]);
    expect(split.determined).toBe(false);
    expect(compareItems(split, 0, 1).difference).toBeCloseTo(0, 9);
    const none = bradleyTerry([
      [0, 0],
      [0, 0],
    ]);
    expect(none).toMatchObject({ determined: false, choices: 0 });
    expect(compareItems(none, 0, 1)).toMatchObject({ difference: 0, probability: 0.5, distinct: false });
  });

  test('nonsense is refused', () => {
    expect(() => bradleyTerry([[0]])).toThrow('at least two');
    expect(() =>
      bradleyTerry([
        [0, -1],
        [1, 0],
      ]),
    ).toThrow('cannot be -1');
    expect(() =>
      bradleyTerry([
        [0, 1, 2],
        [1, 0, 1],
      ]),
    ).toThrow('2 by 2');
  });
});
