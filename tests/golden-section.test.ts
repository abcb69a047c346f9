/** Golden-section search (J. Kiefer, Proc. AMS 4 (1953) 502): finds the top, and asks once a step. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { maximumAt } from '../shared/golden-section.ts';
import { type Steps, toEnd } from '../shared/steps.ts';

describe('golden-section search', () => {
  test('finds the top of one hill wherever it stands, the ends too', () => {
    const within = 1e-6;
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: 0.1, max: 10, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (low, width, part) => {
          const top = low + part * width;
          // steep on one side, flat on the other: no symmetry helps
          const hill = (x: number): number => (x < top ? 3 * (x - top) : top - x);
          expect(Math.abs(maximumAt(hill, low, low + width, within) - top)).toBeLessThanOrEqual(within);
        },
      ),
    );
  });

  test('asks twice, then once a step that leaves 0.618 of the stretch, and never outside of it', () => {
    let asked = 0;
    const hill = (x: number): number => {
      asked++;
      expect(x).toBeGreaterThan(2);
      expect(x).toBeLessThan(3);
      return -((x - 2.3) ** 2);
    };
    maximumAt(hill, 2, 3, 1e-3);
    expect(asked).toBe(2 + Math.ceil(Math.log(1e-3) / Math.log((Math.sqrt(5) - 1) / 2)));
  });
});

test('work in steps is done to its end in one go', () => {
  const told: number[] = [];
  function* work(): Steps<string> {
    for (const part of [0.25, 0.5, 1]) {
      told.push(part);
      yield part;
    }
    return 'done';
  }
  expect(toEnd(work())).toBe('done');
  expect(told).toEqual([0.25, 0.5, 1]);
});
