import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Build, type Pickup, RANGE } from '../../../shared/document/build.ts';
import { parseBuild } from '../../../shared/document/reading/parse-build.ts';
import { demoBass, demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { positionLimits, slantLimits } from '../../../shared/sensor/limits.ts';
import { coilOnString } from '../../../shared/sensor/placement.ts';
import { STRING_SETS } from '../../../shared/string/sets.ts';
import { frameFor, toInstrument, toScreen } from '../../../src/sound/plan/frame.ts';
import { lanes } from '../../../src/sound/plan/lanes.ts';
import { coilOutlines, END, facesOn, sensedBy } from '../../../src/sound/plan/outlines.ts';
import { arrowStep, dimension, dimensionNumber, dragStep, snapped } from '../../../src/sound/plan/plan-figures.ts';
import { nodes, nodesOverCoils, speakingLength, wavePath } from '../../../src/sound/plan/standing-wave.ts';

const [two, single] = demoBuilds();
const withPickup = (build: Build, pickup: Pickup): Build => ({
  ...build,
  pickups: [{ ...pickup, id: build.pickups[0].id, coils: build.pickups[0].coils.map(c => ({ ...c })) }],
});

/** Builds on any ready instrument, with a pickup anywhere that is accepted. */
const anyPlaced = fc
  .record({
    set: fc.constantFrom(...STRING_SETS),
    base: fc.constantFrom(two, single),
    share: fc.double({ min: 0.08, max: 0.44, noNaN: true }),
    slant: fc.double({ min: -0.5, max: 0.5, noNaN: true }),
    fan: fc.double({ min: 0, max: 0.01, noNaN: true }),
  })
  .map(({ set, base, share, slant, fan }) => {
    const strings = set.instrument.strings.map((s, i) => ({ ...s, scale: s.scale + i * fan, saddle: (-i * fan) / 2 }));
    const instrument = { ...set.instrument, strings };
    const scale = Math.min(...strings.map(s => s.scale));
    return withPickup({ ...base, instrument }, { ...base.pickups[0], position: share * scale, slant });
  })
  .filter(build => parseBuild(build).ok);

describe('limits of pickups', () => {
  test('both ends are accepted by the document, a hair beyond the near one is not', () => {
    fc.assert(
      fc.property(anyPlaced, build => {
        const pickup = build.pickups[0];
        const [low, high] = positionLimits(build, pickup);
        expect(low).toBeLessThanOrEqual(pickup.position + 1e-12);
        for (const position of [low + 1e-9, high])
          expect(parseBuild(withPickup(build, { ...pickup, position }))).toMatchObject({ ok: true });
        expect(parseBuild(withPickup(build, { ...pickup, position: low - 1e-5 })).ok).toBe(false);
      }),
      { numRuns: 200 },
    );
  });

  test('no slant within the limits turns a coil over the saddle', () => {
    fc.assert(
      fc.property(anyPlaced, fc.double({ min: 0, max: 1, noNaN: true }), (build, t) => {
        const pickup = build.pickups[0];
        const [low, high] = slantLimits(build, pickup);
        expect(low).toBeGreaterThanOrEqual(RANGE.slant[0]);
        expect(high).toBeLessThanOrEqual(RANGE.slant[1]);
        const turned = withPickup(build, { ...pickup, slant: low + t * (high - low) });
        for (const coil of turned.pickups[0].coils)
          build.instrument.strings.forEach((_, i) => {
            expect(coilOnString(turned, turned.pickups[0], coil, i).x).toBeGreaterThanOrEqual(RANGE.position[0] - 1e-9);
          });
      }),
      { numRuns: 100 },
    );
  });
});

describe('drawing to scale', () => {
  const room = { compact: false, width: 1330, unit: 1, labelLanes: 2, dimensionLanes: 2 };

  test('one scale along and across, the 12th fret in sight, and back again', () => {
    for (const { instrument } of STRING_SETS) {
      const build = { ...two, instrument };
      for (const width of [290, 900, 1330]) {
        const frame = frameFor(build, [build], { ...room, width });
        const a = toScreen(frame, { x: 0.1, y: 0.02 });
        const b = toScreen(frame, { x: 0.1 + 0.03, y: 0.02 + 0.03 });
        expect(b.x - a.x).toBeCloseTo(a.y - b.y, 9);
        const back = toInstrument(frame, a.x, a.y);
        expect([back.x, back.y]).toEqual([expect.closeTo(0.1, 12), expect.closeTo(0.02, 12)]);
        const twelfth = toScreen(frame, { x: instrument.strings[0].scale / 2, y: 0 });
        expect(twelfth.x).toBeLessThan(frame.width);
        expect(frame.width).toBeGreaterThanOrEqual(width);
        // outer strings and the poles of every pickup lie within the field
        const edge = Math.max(instrument.spread.saddle, build.pickups[0].poles.spread) / 2;
        expect(toScreen(frame, { x: 0, y: edge }).y).toBeGreaterThan(frame.top);
        expect(toScreen(frame, { x: 0, y: -edge }).y).toBeLessThan(frame.bottom);
      }
    }
  });

  test('lanes never let spans come closer than the gap', () => {
    const span = fc.tuple(fc.nat(500), fc.nat(120)).map(([from, size]) => ({ from, to: from + size }));
    fc.assert(
      fc.property(fc.array(span, { maxLength: 24 }), fc.nat(12), (spans, gap) => {
        const found = lanes(spans, gap);
        spans.forEach((a, i) => {
          spans.slice(0, i).forEach((b, j) => {
            if (found[i] === found[j]) expect(a.from >= b.to + gap || b.from >= a.to + gap).toBe(true);
          });
        });
        // no lane is left out
        expect(new Set(found).size).toBe(spans.length ? Math.max(...found) + 1 : 0);
      }),
    );
  });

  test('coils of one pickup do not overlap unless they share a place', () => {
    const pickups = [demoBuilds()[0].pickups[0], demoBuilds()[1].pickups[0], demoBass().pickups[0]];
    for (const pickup of pickups) {
      const outlines = coilOutlines(two.instrument, pickup);
      for (const a of outlines)
        for (const b of outlines)
          if (a.id < b.id) {
            const apart = Math.abs(a.along - b.along) >= (a.width + b.width) / 2;
            expect(apart || a.bass > b.treble || b.bass > a.treble).toBe(true);
          }
    }
  });

  test('an outline holds all that stands in its coil, with room beyond', () => {
    const [pickup] = two.pickups;
    const poles = fc.record({
      kind: fc.constantFrom('one' as const, 'two' as const, 'rail' as const),
      size: fc.double({ min: 0.5e-3, max: 20e-3, noNaN: true }),
      spread: fc.double({ min: 0.01, max: 0.2, noNaN: true }),
      pair: fc.double({ min: 1e-3, max: 30e-3, noNaN: true }),
    });
    const under = fc.constantFrom<(number[] | null)[]>(null, [1], [6], [2, 3]);
    fc.assert(
      fc.property(poles, under, (poles, strings) => {
        const placed = { ...pickup, poles, coils: pickup.coils.map(coil => ({ ...coil, strings })) };
        for (const outline of coilOutlines(two.instrument, placed)) {
          const coil = placed.coils.find(one => one.id === outline.id)!;
          const faces = facesOn(two.instrument, placed, coil);
          expect(faces.length).toBeGreaterThan(0);
          for (const { x, y, along, across } of faces) {
            expect(outline.along - outline.width / 2).toBeLessThan(x - along / 2);
            expect(outline.along + outline.width / 2).toBeGreaterThan(x + along / 2);
            expect(outline.bass).toBeLessThanOrEqual(y - across / 2 - END + 1e-12);
            expect(outline.treble).toBeGreaterThanOrEqual(y + across / 2 + END - 1e-12);
          }
        }
      }),
    );
  });

  test('the halves of a split pickup sense their own strings only', () => {
    const bass = demoBass();
    const [split] = bass.pickups;
    const under = split.coils.map(coil => sensedBy(bass.instrument, split, coil).map(s => s.index));
    expect(under.flat().sort()).toEqual([0, 1, 2, 3]);
    expect(under).toEqual([
      [2, 3],
      [0, 1],
    ]);
  });
});

describe('standing waves', () => {
  test('the fifth partial of an open 648 mm string has its first node at 129.6 mm', () => {
    expect(nodes(0.648, 5)).toEqual([0.1296, 0.2592, 0.3888, 0.5184].map(x => expect.closeTo(x, 12)));
    expect(nodes(0.648, 1)).toEqual([]);
  });

  test('at the 12th fret the string speaks with half its length', () => {
    expect(speakingLength(two.instrument, 5, 12)).toBeCloseTo(0.324, 12);
  });

  test('a coil on a node is found, with the distance, and only then', () => {
    const at = (position: number): Build => withPickup(single, { ...single.pickups[0], position });
    const [hit] = nodesOverCoils(at(0.1306), 5, 0, 5);
    expect(hit).toMatchObject({ node: 1, off: expect.closeTo(-1e-3, 9) });
    expect(nodesOverCoils(at(0.19), 5, 0, 5)).toEqual([]);
    expect(nodesOverCoils(at(0.1306), 5, 0, 1)).toEqual([]);
  });

  test('the drawn wave crosses the string at its nodes', () => {
    const frame = frameFor(two, [two], { width: 1330, unit: 1, compact: false, labelLanes: 1, dimensionLanes: 1 });
    const points = [...wavePath(frame, two.instrument, 0, 0, 5).matchAll(/[ML]([\d.-]+) ([\d.-]+)/g)].map(m => [
      +m[1],
      +m[2],
    ]);
    expect(points.every(point => point.every(Number.isFinite))).toBe(true);
    const [saddle, nut] = [two.instrument.spread.saddle / 2, two.instrument.spread.nut / 2];
    const off = points.map(
      ([x, y]) => frame.centre - (saddle + ((nut - saddle) * x) / frame.scale / 0.648) * frame.scale - y,
    );
    const sides = points.map(([x], i) => ({ x: x / frame.scale, up: off[i] })).filter(p => Math.abs(p.up) > 0.5);
    const crossings = sides.slice(1).flatMap((p, i) => (p.up * sides[i].up < 0 ? [(p.x + sides[i].x) / 2] : []));
    expect(crossings.slice(0, 2)).toEqual([0.1296, 0.2592].map(x => expect.closeTo(x, 2)));
  });
});

describe('figures', () => {
  test('one decimal of a millimetre, a thousandth of an inch', () => {
    expect(dimensionNumber(0.162, 'mm')).toBe('162.0');
    expect(dimension(0.04104, 'mm')).toBe('41.0 mm');
    expect(dimensionNumber(0.0254 * 6.375, 'in')).toBe('6.375');
    expect(dimension(0.0254, 'in')).toBe('1.000 in');
    expect(dimensionNumber(0.16296, 'mm')).toBe('163.0');
  });

  test('arrow keys step 1 mm and 0.1 mm, 1/32 in and 5 thousandths', () => {
    expect(arrowStep('mm', false)).toBe(1e-3);
    expect(arrowStep('mm', true)).toBe(1e-4);
    expect(arrowStep('in', false)).toBeCloseTo(0.0254 / 32, 12);
    expect(arrowStep('in', true)).toBeCloseTo(0.0254 * 0.005, 12);
  });
});

test('a drag stops at half millimetres or 64ths of an inch, with Shift at tenths and 0.005 in', () => {
  expect(snapped(0.13436, dragStep('mm', false))).toBe(0.1345);
  expect(snapped(0.13436, dragStep('mm', true))).toBe(0.1344);
  expect(snapped(0.13436, dragStep('in', false)) / 0.0254).toBeCloseTo(Math.round((0.13436 / 0.0254) * 64) / 64, 12);
  expect(snapped(0.13436, dragStep('in', true)) / 0.0254).toBeCloseTo(5.29, 12);
});
