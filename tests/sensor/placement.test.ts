import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Build, Coil, Pickup } from '../../shared/document/build.ts';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { fieldWindow } from '../../shared/sensor/field.ts';
import { coilOnString, facesOf, onPickup, REFERENCE_HEIGHT, stringAt } from '../../shared/sensor/placement.ts';

const [a] = demoBuilds();
/** Pole pieces seen from above. */
const polePoints = ({ strings }: Build['instrument'], pickup: Pickup, coil: Coil) =>
  facesOf(pickup, coil, strings.length).at.map(beside => onPickup(pickup, coil.along, beside));
const place = (build: Build, pickup: Pickup, coil: Coil) =>
  build.instrument.strings.map((_, i) => coilOnString(build, pickup, coil, i));
const unslanted = { ...a.pickups[0], slant: 0 };
const centre: Coil = { ...unslanted.coils[0], along: 0 };
/** Poles of 4.8 mm under strings whose outer ones are `outer` apart. */
const rods = (outer: number, kind: Pickup['poles']['kind'] = 'one'): Pickup['poles'] => ({
  kind,
  size: 0.0048,
  spread: kind === 'two' ? outer + 0.0095 : outer,
  pair: 0.0095,
});
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
    poles: rods(0.0525),
    ...change,
  });

  test('is 1 over the pole at the reference distance, for one pole and two', () => {
    for (const kind of ['one', 'two'] as const)
      for (const p of place(parallel, over(REFERENCE_HEIGHT, { poles: rods(0.0525, kind) }), centre))
        expect(p.level).toBeCloseTo(1, 9);
  });

  test('over a rail it is 1 in the middle and falls towards its ends', () => {
    const levels = place(parallel, over(REFERENCE_HEIGHT, { poles: rods(0.0605, 'rail') }), centre).map(p => p.level);
    expect(levels[2]).toBeGreaterThan(0.98);
    expect(levels[0]).toBeLessThan(levels[2]);
    expect(levels[0]).toBeGreaterThan(0.7);
    expect(levels[0]).toBeCloseTo(levels[5], 9);
  });

  test('is that of the field, farther from it and beside it', () => {
    const row = place(parallel, over(2e-3), centre);
    const far = place(parallel, over(4e-3), centre);
    const faces = facesOf(over(2e-3), centre, 6);
    const at = (z: number, y: number) => fieldWindow(faces, { y, angle: 0, z }).area;
    expect(row[0].level / far[0].level).toBeCloseTo(at(4.4e-3, 0.02625) / at(6.4e-3, 0.02625), 9);
    const [wide] = place(parallel, over(REFERENCE_HEIGHT, { poles: rods(0.0605) }), centre);
    expect(wide.offset).toBeCloseTo(-0.004, 6);
    expect(wide.gap).toBe(REFERENCE_HEIGHT);
  });

  test('two poles are two charges, each with its own miss, that turn with the slant', () => {
    const [, b] = demoBass().pickups;
    const bass = { ...demoBass(), instrument: { ...demoBass().instrument, spread: { saddle: 0.057, nut: 0.057 } } };
    const turned = { ...b, slant: 0.2, poles: rods(0.052, 'two') };
    const { field, offset } = coilOnString(bass, turned, turned.coils[0], 0);
    const p = polePoints(bass.instrument, turned, turned.coils[0]);
    // distances of the string, straight along x, from its own two poles
    const beside = [p[0], p[1]].map(pole => stringAt(bass.instrument, 0, pole.x) - pole.y);
    expect(beside[1] - beside[0]).toBeCloseTo(0.0095 * Math.cos(0.2), 9);
    expect(offset).toBeCloseTo((beside[0] + beside[1]) / 2, 9);
    // its feet lie apart along the string, so the window leans
    expect(Math.abs(field.odd(200))).toBeGreaterThan(0.01);
    expect(coilOnString(bass, { ...turned, slant: 0 }, turned.coils[0], 0).field.odd(200)).toBeCloseTo(0, 9);
  });

  test('is greatest where the string runs over its pole; towards the other poles, where fields meet, it loses more than away from them', () => {
    const levels = [-0.002, 0, 0.002].map(
      miss => place(parallel, over(2e-3, { poles: rods(0.0525 + 2 * miss) }), centre)[0].level,
    );
    expect(levels[1]).toBeGreaterThan(levels[0]);
    expect(levels[0]).toBeGreaterThan(levels[2]);
  });

  test('height is linear from string 1 to the last', () => {
    const gaps = place(a, { ...unslanted, height: { bass: 3e-3, treble: 2e-3 } }, centre).map(p => p.gap);
    for (const [i, gap] of gaps.entries()) expect(gap).toBeCloseTo(2e-3 + i * 0.2e-3, 12);
  });

  test('poles are drawn where the levels have them', () => {
    const points = polePoints(parallel.instrument, over(2e-3, { slant: 0.1 }), centre);
    expect(points).toHaveLength(6);
    expect(Math.hypot(points[0].x - points[5].x, points[0].y - points[5].y)).toBeCloseTo(0.0525, 12);
    expect(polePoints(parallel.instrument, over(2e-3, { poles: rods(0.05, 'two') }), centre)).toHaveLength(12);
    expect(polePoints(parallel.instrument, over(2e-3, { poles: rods(0.05, 'rail') }), centre)).toHaveLength(1);
  });
});
