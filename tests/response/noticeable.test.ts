/** Limits of hearing against their sources, grids and integrals against closed forms. */
import { describe, expect, test } from 'vitest';
import { figureGrid, quadrature } from '../../shared/response/figure-grid.ts';
import { LEVEL_STEP, qOfHeight, resonanceShift, resonanceStep } from '../../shared/response/noticeable.ts';

const integral = (
  grid: Float64Array,
  y: (i: number) => number,
  weight: (f: number) => number,
  from: number,
  to: number,
): number => quadrature(grid, weight, from, to).reduce((sum, count, i) => sum + count * y(i), 0);

describe('what is just noticed', () => {
  // Handbook for Sound Engineers, 3.8.6: a tenth more power, 0.41 dB
  test('a level', () => expect(LEVEL_STEP).toBeCloseTo(0.4139, 4));

  // Gagné and Zurek, JASA 83 (1988): 7.9 % of the frequency at Q = 1, falling with the root of Q
  test('a resonance', () => {
    expect(resonanceStep(1000, 1)).toBeCloseTo(79, 9);
    expect(resonanceStep(2000, 1)).toBeCloseTo(158, 9);
    expect(resonanceStep(1000, 4)).toBeCloseTo(39.5, 9);
    expect(resonanceStep(300, 36)).toBeCloseTo(3.95, 9);
  });

  test('the Q of a height is that of the low-pass 1/(1 − u² + ju/Q) that peaks so high', () => {
    for (const q of [0.75, 1, 2.5, 10]) {
      let most = 0;
      for (let u = 0; u < 2; u += 1e-4) most = Math.max(most, 1 / Math.hypot(1 - u * u, u / q));
      expect(qOfHeight(20 * Math.log10(most))).toBeCloseTo(q, 3);
    }
    for (const height of [0, -3]) expect(qOfHeight(height)).toBeCloseTo(Math.SQRT1_2, 12);
  });

  test('a shift between two resonances, either way round, at the resonance half way between', () => {
    const peak = 20 * Math.log10(2 / Math.sqrt(1 - 1 / 16));
    const [low, high] = [
      { resonance: 1000, peak: peak - 1 },
      { resonance: 1200, peak: peak + 1 },
    ];
    const expected = 200 / ((0.079 * 1100) / Math.sqrt(2));
    for (const { times, extrapolated } of [resonanceShift(low, high), resonanceShift(high, low)]) {
      expect(times).toBeCloseTo(expected, 9);
      expect(extrapolated).toBe(false);
    }
    expect(resonanceShift(low, low).times).toBe(0);
  });

  test('beyond 300 to 2000 Hz it is an extrapolation, whichever of the two lies there', () => {
    const at = (a: number, b: number) =>
      resonanceShift({ resonance: a, peak: 3 }, { resonance: b, peak: 3 }).extrapolated;
    expect([at(300, 2000), at(299, 1000), at(1000, 299), at(2001, 1000), at(1000, 2001)]).toEqual([
      false,
      true,
      true,
      true,
      true,
    ]);
  });
});

describe('the grid of figures', () => {
  test('from 20 Hz to the upper edge of the octave around 8 kHz, or farther, by 1/64 octave and 12 Hz at most', () => {
    for (const [limit, top] of [
      [undefined, 8000 * Math.SQRT2],
      [6000, 8000 * Math.SQRT2],
      [15_000, 15_000],
    ] as const) {
      const grid = figureGrid(limit);
      expect([grid[0], grid[grid.length - 1]]).toEqual([20, top]);
      let short = 0;
      for (let i = 1; i < grid.length; i++) {
        expect(grid[i]).toBeGreaterThan(grid[i - 1]);
        expect(grid[i] / grid[i - 1]).toBeLessThan(2 ** (1 / 64) + 1e-12);
        expect(grid[i] - grid[i - 1]).toBeLessThan(12 + 1e-9);
        // as few as that allows
        if (grid[i] / grid[i - 1] < 2 ** (1 / 64) - 1e-9 && grid[i] - grid[i - 1] < 12 - 1e-9) short++;
      }
      expect(short).toBeLessThanOrEqual(1);
      expect(figureGrid(limit)).toBe(grid);
    }
    expect(figureGrid(15_000)).not.toBe(figureGrid());
  });

  test('integrals: straight lines exactly, ends between points too, 1/f and 1/f² by their logarithm and reciprocal', () => {
    const grid = Float64Array.of(20, 30, 45, 60, 100);
    expect(
      integral(
        grid,
        () => 1,
        () => 1,
        25,
        70,
      ),
    ).toBeCloseTo(45, 12);
    expect(
      integral(
        grid,
        i => grid[i],
        () => 1,
        25,
        70,
      ),
    ).toBeCloseTo((70 ** 2 - 25 ** 2) / 2, 9);
    expect(
      integral(
        grid,
        () => 1,
        () => 1,
        32,
        33,
      ),
    ).toBeCloseTo(1, 12);
    expect(
      integral(
        grid,
        () => 1,
        () => 1,
        0,
        1000,
      ),
    ).toBeCloseTo(80, 12);
    expect(
      integral(
        grid,
        () => 1,
        () => 1,
        200,
        300,
      ),
    ).toBe(0);
    const fine = figureGrid();
    expect(
      integral(
        fine,
        () => 1,
        f => 1 / f,
        176.8,
        353.6,
      ),
    ).toBeCloseTo(Math.LN2, 4);
    expect(
      integral(
        fine,
        () => 3,
        f => f ** -2,
        82.4,
        9000,
      ) /
        (3 * (1 / 82.4 - 1 / 9000)),
    ).toBeCloseTo(1, 3);
  });
});
