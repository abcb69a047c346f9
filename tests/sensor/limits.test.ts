/** Where a pickup may stand, against trying place by place what the document accepts of each coil on each string. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Instrument, type Pickup, RANGE } from '../../shared/document/build.ts';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import {
  broughtIn,
  clamp,
  combLimits,
  farthest,
  isAccepted,
  misplaced,
  positionLimits,
  slantLimits,
} from '../../shared/sensor/limits.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';

const [two] = demoBuilds();
const split = demoBass().pickups[0];
const NEAREST = 3e-3;

/** Whether every coil crosses every string it lies under between 3 mm and 0.6 of its length. */
const accepted = (instrument: Instrument, pickup: Pickup, slack = 1e-8): boolean =>
  pickup.coils.every(coil =>
    instrument.strings.every((string, i) => {
      if (coil.strings !== null && !coil.strings.includes(i + 1)) return true;
      const { x } = coilOnString({ instrument }, pickup, coil, i);
      return x > NEAREST - slack && x < 0.6 * string.scale + slack;
    }),
  );

const anyPlace = fc
  .record({
    set: fc.constantFrom(...STRING_SETS),
    base: fc.constantFrom(...two.pickups, split),
    share: fc.double({ min: 0.001, max: 0.7, noNaN: true }),
    slant: fc.double({ min: -0.78, max: 0.78, noNaN: true }),
    fan: fc.double({ min: 0, max: 0.015, noNaN: true }),
    apart: fc.double({ min: 0.5, max: 6, noNaN: true }),
  })
  .map(({ set, base, share, slant, fan, apart }) => {
    const strings = set.instrument.strings.map((s, i) => ({ ...s, scale: s.scale + i * fan, saddle: (-i * fan) / 2 }));
    const instrument: Instrument = { ...set.instrument, strings };
    const coils = base.coils.map(c => ({ ...c, along: c.along * apart }));
    const pickup: Pickup = { ...base, coils, slant, position: share * strings[0].scale };
    return { instrument, pickup };
  });

test('a coil’s nearest and farthest places are those of its strings', () => {
  fc.assert(
    fc.property(anyPlace, ({ instrument, pickup }) => {
      for (const coil of pickup.coils) {
        const places = instrument.strings
          .map(({ scale }, i) => ({ i, scale, x: coilOnString({ instrument }, pickup, coil, i).x }))
          .filter(({ i }) => coil.strings === null || coil.strings.includes(i + 1));
        const shares = places.map(({ x, scale }) => x / scale);
        const far = places[shares.indexOf(Math.max(...shares))];
        const limits = combLimits(instrument, pickup, coil);
        if (places.length === 0) {
          expect(misplaced(limits)).toBeNull();
          continue;
        }
        expect(limits.nearest).toBe(Math.min(...places.map(({ x }) => x)));
        expect(limits.low).toBe(NEAREST);
        expect(limits.farthest / limits.high).toBeCloseTo(far.x / (0.6 * far.scale), 12);
        expect(instrument.strings[limits.far].scale * 0.6).toBe(limits.high);
      }
      expect(isAccepted(instrument, pickup)).toBe(accepted(instrument, pickup, 1e-9));
    }),
    { numRuns: 300 },
  );
});

test('over the saddle, beyond the strings, or neither; a rounding is no fault', () => {
  const at = { nearest: 0.05, low: 0.003, farthest: 0.2, high: 0.38, far: 0 };
  expect(misplaced(at)).toBeNull();
  expect(misplaced({ ...at, nearest: 0.00299 })).toBe('near');
  expect(misplaced({ ...at, nearest: 0.003 - 1e-10 })).toBeNull();
  expect(misplaced({ ...at, farthest: 0.381 })).toBe('far');
  expect(misplaced({ ...at, farthest: 0.38 + 1e-10 })).toBeNull();
});

test('clamped between low and high', () => expect([0, 1.5, 3].map(value => clamp(value, [1, 2]))).toEqual([1, 1.5, 2]));

test('the page moves a pickup up to 0.45 of the shortest string, never beyond what a document takes', () => {
  const strings = two.instrument.strings.map((s, i) => ({ ...s, scale: 0.7 - 0.01 * i }));
  expect(farthest({ ...two.instrument, strings })).toBeCloseTo(0.45 * 0.65, 12);
  expect(farthest({ ...two.instrument, strings: strings.map(s => ({ ...s, scale: 1.4 })) })).toBe(RANGE.position[1]);
});

describe('places and slants', () => {
  test('position limits are the ends of what is accepted, cut at the page’s farthest or where it stands', () => {
    fc.assert(
      fc.property(anyPlace, ({ instrument, pickup }) => {
        fc.pre(accepted(instrument, pickup, 0));
        const [low, high] = positionLimits({ instrument }, pickup);
        const takes = (position: number) => accepted(instrument, { ...pickup, position });
        expect(takes(low)).toBe(true);
        expect(takes(high)).toBe(true);
        expect(low <= NEAREST + 1e-9 || !takes(low - 1e-5)).toBe(true);
        const cut = Math.max(pickup.position, farthest(instrument));
        expect(high).toBeLessThanOrEqual(cut + 1e-9);
        expect(high > cut - 1e-9 || high > RANGE.position[1] - 1e-9 || !takes(high + 1e-5)).toBe(true);
      }),
      { numRuns: 300 },
    );
  });

  test('of a pickup that can stand nowhere the limits are one place', () => {
    const wide = {
      ...two.pickups[0],
      coils: [-1, 1].map(s => ({ ...two.pickups[0].coils[0], along: s * 0.4 })),
    };
    const [low, high] = positionLimits(two, wide);
    expect(low).toBe(high);
  });

  test('slant limits are the ends of what is accepted', () => {
    fc.assert(
      fc.property(anyPlace, ({ instrument, pickup }) => {
        const takes = (slant: number) => accepted(instrument, { ...pickup, slant });
        const limits = slantLimits({ instrument }, pickup);
        if (!accepted(instrument, pickup)) {
          // nothing is known about the way there: it may turn to the ends that fit, else it stays
          for (const slant of limits) expect(slant === pickup.slant || takes(slant)).toBe(true);
          return;
        }
        limits.forEach((slant, i) => {
          expect(takes(slant)).toBe(true);
          const beyond = slant + (i === 0 ? -1e-6 : 1e-6);
          expect(slant === RANGE.slant[i] || !takes(beyond)).toBe(true);
        });
      }),
      { numRuns: 200 },
    );
  });

  test('over the saddle and turned, with neither end accepted, it stays as it is turned', () => {
    const lost = { ...two.pickups[0], position: -0.2, slant: 0.3 };
    expect(slantLimits(two, lost)).toEqual([0.3, 0.3]);
  });
});

describe('a pickup brought in', () => {
  const { instrument } = two;
  const [pair] = two.pickups;

  test('is accepted, with as little done to it as the steps allow', () => {
    fc.assert(
      fc.property(anyPlace, ({ instrument, pickup }) => {
        const got = broughtIn(pickup, instrument);
        if (accepted(instrument, pickup, 0)) {
          expect(got).toBe(pickup);
          return;
        }
        if (got === null) {
          expect(accepted(instrument, { ...pickup, position: 0.1, slant: 0 })).toBe(false);
          return;
        }
        expect(accepted(instrument, got)).toBe(true);
        const turned = pickup.slant === 0 ? 1 : got.slant / pickup.slant;
        const [first] = pickup.coils;
        const together = first.along === 0 ? 1 : got.coils[0].along / first.along;
        // all gentler combinations have no place: tried millimetre by millimetre
        const gentler = [1, 0.75, 0.5, 0.25, 0].flatMap(t => [1, 0.5, 0].map(s => [t, s]));
        for (const [t, s] of gentler) {
          if (Math.abs(t - together) < 1e-9 && Math.abs(s - turned) < 1e-9) break;
          const one = {
            ...pickup,
            slant: pickup.slant * s,
            coils: pickup.coils.map(c => ({ ...c, along: c.along * t })),
          };
          for (let position = 0.003; position < 0.6; position += 0.001)
            expect(accepted(instrument, { ...one, position }, -1e-7)).toBe(false);
        }
      }),
      { numRuns: 60 },
    );
  });

  test('moves no farther than it must: up to the page’s farthest from beyond, to the nearest place from the saddle', () => {
    const far = broughtIn({ ...pair, slant: 0, position: 0.5 }, instrument)!;
    expect(far.position).toBe(farthest(instrument));
    expect(far.slant).toBe(0);
    expect(far.coils).toBe(pair.coils);
    const apart = Math.max(...pair.coils.map(c => -c.along));
    const near = broughtIn({ ...pair, slant: 0, position: 0.0031 }, instrument)!;
    expect(near.position).toBeCloseTo(NEAREST + apart, 12);
  });

  test('cannot stand under strings of which one ends before another begins', () => {
    const strings = instrument.strings.map((s, i) => ({ ...s, scale: 0.2, saddle: i === 0 ? 0.2 : 0 }));
    expect(broughtIn(pair, { ...instrument, strings })).toBeNull();
  });
});
