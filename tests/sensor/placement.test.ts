import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Build, Coil, Pickup } from '../../shared/document/build.ts';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { coilOnString, onPickup, polePoints, REFERENCE_HEIGHT, stringAt } from '../../shared/sensor/placement.ts';

const [a] = demoBuilds();
const place = (build: Build, pickup: Pickup, coil: Coil) =>
  build.instrument.strings.map((_, i) => coilOnString(build, pickup, coil, i));
const unslanted = { ...a.pickups[0], slant: 0 };
const centre: Coil = { ...unslanted.coils[0], along: 0 };
const parallel: Build = { ...a, instrument: { ...a.instrument, spread: { saddle: 0.0525, nut: 0.0525 } } };

describe('where a coil crosses a string', () => {
  test('without slant every string is crossed at the position plus the coil offset', () => {
    for (const coil of unslanted.coils)
      for (const { x } of place(a, unslanted, coil)) expect(x).toBeCloseTo(unslanted.position + coil.along, 15);
  });

  test('the crossing lies on the string and on the turned coil, whatever the slant', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -0.7, max: 0.7, noNaN: true }),
        fc.double({ min: 0.08, max: 0.3, noNaN: true }),
        fc.double({ min: -0.02, max: 0.02, noNaN: true }),
        fc.nat({ max: 5 }),
        (slant, position, along, index) => {
          const pickup = { ...unslanted, slant, position };
          const { x } = coilOnString(a, pickup, { ...centre, along }, index);
          const y = stringAt(a.instrument, index, x);
          const foot = onPickup(pickup, along, 0);
          // Component of (crossing − coil centre) along the pickup's own x axis.
          const off = (x - foot.x) * Math.cos(slant) + (y - foot.y) * Math.sin(slant);
          expect(Math.abs(off)).toBeLessThan(1e-12);
        },
      ),
    );
  });

  test('positive slant moves the bass side towards the nut, and the mirror image mirrors it', () => {
    const plus = place(a, { ...unslanted, slant: 0.2 }, centre).map(p => p.x);
    const minus = place(a, { ...unslanted, slant: -0.2 }, centre).map(p => p.x);
    expect(plus[5]).toBeGreaterThan(plus[0]);
    for (const [i, x] of plus.entries()) expect(x).toBeCloseTo(minus[5 - i], 12);
  });

  test('a string whose saddle stands back has its pickup farther away', () => {
    const strings = a.instrument.strings.map((s, i) => (i === 5 ? { ...s, saddle: -0.003 } : s));
    const moved = place({ ...a, instrument: { ...a.instrument, strings } }, unslanted, centre);
    expect(moved[5].x).toBeCloseTo(0.165, 12);
    expect(moved[0].x).toBeCloseTo(0.162, 12);
  });

  test('a coil without a string there gives it nothing', () => {
    const bass = demoBass();
    const [low, high] = bass.pickups[0].coils;
    expect(place(bass, bass.pickups[0], low).map(p => p.level > 0)).toEqual([false, false, true, true]);
    expect(place(bass, bass.pickups[0], high).map(p => p.level > 0)).toEqual([true, true, false, false]);
    expect(place(bass, bass.pickups[0], low)[3].x).toBeGreaterThan(place(bass, bass.pickups[0], high)[0].x);
  });
});

describe('level', () => {
  const over = (height: number, change: Partial<Pickup> = {}): Pickup => ({
    ...unslanted,
    height: { bass: height, treble: height },
    poles: { kind: 'one', spread: 0.0525 },
    ...change,
  });
  const depth = centre.window.depth;

  test('is 1 over the pole at the reference distance, for one pole, two and a rail', () => {
    for (const kind of ['one', 'two', 'rail'] as const)
      for (const p of place(parallel, over(REFERENCE_HEIGHT, { poles: { kind, spread: 0.0525 } }), centre))
        expect(p.level).toBeCloseTo(1, 9);
  });

  test('falls with the fourth power of the depth', () => {
    const [near] = place(parallel, over(2e-3), centre);
    const [far] = place(parallel, over(4e-3), centre);
    expect(near.level / far.level).toBeCloseTo(((4e-3 + depth) / (2e-3 + depth)) ** 4, 9);
  });

  // The law's origin: ∫ h (u² + e² + h²)^−3 du against that at e = 0, by the trapezoidal rule.
  test('beside a pole it is the integral of the sensitivity along the string', () => {
    const h = REFERENCE_HEIGHT + depth;
    const spread = 0.0605;
    const p = place(parallel, over(REFERENCE_HEIGHT, { poles: { kind: 'one', spread } }), centre)[0];
    expect(p.offset).toBeCloseTo(-0.004, 6);
    const integral = (e: number) => {
      let sum = 0;
      for (let u = -0.3; u <= 0.3; u += 1e-5) sum += h * (u * u + e * e + h * h) ** -3;
      return sum;
    };
    expect(p.level).toBeCloseTo(integral(0.004) / integral(0), 5);
    expect(p.height).toBeCloseTo(Math.hypot(h, 0.004) - depth, 6);
    expect(p.gap).toBe(REFERENCE_HEIGHT);
  });

  test('is greatest where the string runs over its pole, and the same on either side', () => {
    const levels = [-0.002, 0, 0.002].map(
      miss => place(parallel, over(2e-3, { poles: { kind: 'one', spread: 0.0525 + 2 * miss } }), centre)[0].level,
    );
    expect(levels[1]).toBeGreaterThan(levels[0]);
    expect(levels[0]).toBeCloseTo(levels[2], 9);
  });

  test('height is linear from string 1 to the last', () => {
    const gaps = place(a, { ...unslanted, height: { bass: 3e-3, treble: 2e-3 } }, centre).map(p => p.gap);
    for (const [i, gap] of gaps.entries()) expect(gap).toBeCloseTo(2e-3 + i * 0.2e-3, 12);
  });

  test('poles are drawn where the levels have them', () => {
    const points = polePoints(parallel.instrument, over(2e-3, { slant: 0.1 }), centre);
    expect(points).toHaveLength(6);
    expect(Math.hypot(points[0].x - points[5].x, points[0].y - points[5].y)).toBeCloseTo(0.0525, 12);
    expect(polePoints(parallel.instrument, over(2e-3, { poles: { kind: 'two', spread: 0.05 } }), centre)).toHaveLength(
      12,
    );
    expect(polePoints(parallel.instrument, over(2e-3, { poles: { kind: 'rail', spread: 0.05 } }), centre)).toEqual([]);
  });
});
