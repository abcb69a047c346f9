/** Pickups added, removed and made another kind: whatever is done, the build stays one that the schema accepts. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { harnessNetwork, pickupImpedance } from '../../../shared/circuit/harness.ts';
import { fromNotation, wire } from '../../../shared/circuit/schemes.ts';
import { type Build, PICKUP_KINDS } from '../../../shared/document/build.ts';
import { differences } from '../../../shared/document/comparing/difference.ts';
import { editBuild } from '../../../shared/document/edits/builds.ts';
import { asKind, asLoss, setKind, setLoss, wholeInductance } from '../../../shared/document/edits/coils.ts';
import { freeId, moved } from '../../../shared/document/edits/lists.ts';
import { addPickup, removePickup } from '../../../shared/document/edits/pickups.ts';
import { numberAt, valueAt, withValueAt } from '../../../shared/document/pointer.ts';
import { parseBuild } from '../../../shared/document/reading/parse-build.ts';
import { demoSheet } from '../../../shared/document/starting/demo-sheet.ts';
import { demoBass, demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { PICKUP_TYPES } from '../../../shared/sensor/typical.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { pickupRows } from '../../../src/paper/sheet-tables.ts';
import { earlierLoss } from '../../../src/sound/path/earlier-loss.ts';

const [demo] = demoBuilds();

const step = fc.oneof(
  fc.record({ do: fc.constant('add' as const), type: fc.constantFrom(...PICKUP_TYPES.map(t => t.id)) }),
  fc.record({ do: fc.constant('remove' as const), which: fc.nat(5) }),
  fc.record({ do: fc.constant('kind' as const), which: fc.nat(5), kind: fc.constantFrom(...PICKUP_KINDS) }),
  fc.record({ do: fc.constant('tap' as const), which: fc.nat(5) }),
);

describe('changes of the pickups', () => {
  test('any run of them leaves a build that is accepted and whose network can be made', () => {
    fc.assert(
      fc.property(fc.constantFrom(demo, demoBass()), fc.array(step, { maxLength: 8 }), (start, steps) => {
        let build: Build = start;
        for (const s of steps) {
          const pickup = 'which' in s ? build.pickups[s.which % build.pickups.length] : build.pickups[0];
          if (s.do === 'add') build = addPickup(build, s.type).build;
          if (s.do === 'remove') build = removePickup(build, pickup.id).build;
          if (s.do === 'kind') build = setKind(build, pickup.id, s.kind).build;
          // one coil alone, so that later steps have a tap to mend
          if (s.do === 'tap')
            build = {
              ...build,
              harness: {
                ...build.harness,
                positions: build.harness.positions.map(p => ({
                  ...p,
                  taps: p.taps.map(t => (t.pickup === pickup.id ? { ...t, coils: [pickup.coils.at(-1)!.id] } : t)),
                })),
              },
            };
          const parsed = parseBuild(build);
          expect(parsed.ok ? '' : parsed.issues[0].message).toBe('');
          expect(harnessNetwork(build, true).elements.length).toBeGreaterThan(0);
        }
      }),
    );
  });

  test('the last pickup stays', () => {
    expect(removePickup(demo, demo.pickups[0].id).build).toBe(demo);
  });

  test('what is wired to a removed pickup goes with it', () => {
    const made = fromNotation('HSS', demo.instrument)!;
    const blend = wire(made.pickups.slice(0, 2), 'blend');
    const build: Build = { ...demo, pickups: made.pickups.slice(0, 2), ...blend };
    const kept = removePickup(build, build.pickups[1].id).build;
    expect(kept.harness.blend).toBeNull();
    expect(kept.harness.positions.every(p => p.taps.every(t => t.pickup === build.pickups[0].id))).toBe(true);
  });

  test('a split pickup has its halves under all strings between them, each under its own', () => {
    for (const strings of [4, 5, 6, 7, 8]) {
      const split = asKind(demo.pickups[0], 'split', strings);
      const under = split.coils.flatMap(c => c.strings!);
      expect([...under].sort((a, b) => a - b)).toEqual(Array.from({ length: strings }, (_, i) => i + 1));
    }
  });

  test('a ladder begins with less inductance than the coil has', () => {
    const coil = demo.pickups[0].coils[0];
    const loss = asLoss('ladder', coil);
    if (loss.kind !== 'ladder') throw new Error('no ladder');
    expect(loss.sections.reduce((sum, s) => sum + s.inductance, 0)).toBeLessThan(coil.inductance);
  });

  test('whatever its loss, a coil keeps the inductance that was entered', () => {
    const [pickup] = demo.pickups;
    const coil = pickup.coils[0];
    const at = { pickup: pickup.id, coil: coil.id };
    const of = (build: typeof demo) => build.pickups[0].coils[0];
    const ladder = setLoss(demo, at.pickup, at.coil, asLoss('ladder', coil)).build;
    expect(parseBuild(ladder).ok).toBe(true);
    expect(of(ladder).inductance).toBeLessThan(coil.inductance);
    expect(wholeInductance(of(ladder))).toBeCloseTo(coil.inductance, 10);
    // what the pickup is by itself at low frequencies has not moved: R + jωL at 1 Hz
    const f = Float64Array.of(1);
    const [was, is] = [demo, ladder].map(b => pickupImpedance(b, pickup.id, f));
    expect(is.im[0] / was.im[0]).toBeCloseTo(1, 4);
    expect(differences(demo, ladder).map(({ what }) => what)).not.toContainEqual(expect.stringContaining('inductance'));
    expect(pickupRows(ladder, 'mm')[0][6]).toContain(formatQuantity(coil.inductance, 'inductance'));
    const { loss } = of(ladder);
    if (loss.kind !== 'ladder') throw new Error('no ladder');
    const sections = [...loss.sections, loss.sections[0], loss.sections[0]];
    const more = setLoss(ladder, at.pickup, at.coil, { ...loss, sections }).build;
    expect(wholeInductance(of(more))).toBeCloseTo(coil.inductance, 10);
    expect(parseBuild(more).ok).toBe(true);
    const back = setLoss(more, at.pickup, at.coil, { kind: 'none' }).build;
    expect(of(back).inductance).toBeCloseTo(coil.inductance, 10);
  });

  test('a loss that was entered comes back with its kind', () => {
    const sheet = demoSheet();
    const { letter, build } = sheet.builds[1];
    const [pickup] = build.pickups;
    const [coil] = pickup.coils;
    expect(coil.loss.kind).toBe('eddy');
    const none = editBuild(sheet, letter, b => setLoss(b, pickup.id, coil.id, { kind: 'none' })).sheet;
    const past = [{ before: sheet }, { before: none }];
    expect(earlierLoss(past, letter, pickup.id, coil.id, 'eddy')).toBe(coil.loss);
    expect(earlierLoss(past, letter, pickup.id, coil.id, 'ladder')).toBeNull();
    expect(earlierLoss([{ before: none }], letter, pickup.id, coil.id, 'eddy')).toBeNull();
  });
});

describe('places in a build', () => {
  test('what is written at a place is read there, and nothing else changes', () => {
    const pointer = '/outputs/0/chain/0/length';
    const changed = withValueAt(demo, pointer, 3);
    expect(numberAt(changed, pointer)).toBe(3);
    expect(changed.pickups).toBe(demo.pickups);
    expect(withValueAt(changed, pointer, valueAt(demo, pointer))).toEqual(demo);
    expect(withValueAt(demo, pointer, numberAt(demo, pointer))).toBe(demo);
    expect(withValueAt(demo, '/pickups/9/position', 1)).toBe(demo);
    expect(numberAt(demo, '/pickups/9/position')).toBeNaN();
    expect(() => valueAt(demo, 'pickups')).toThrow(/JSON Pointer/);
  });

  test('lists are reordered within their ends, ids are free', () => {
    expect(moved(['a', 'b', 'c'], 0, 1)).toEqual(['b', 'a', 'c']);
    expect(moved(['a', 'b', 'c'], 0, -1)).toEqual(['a', 'b', 'c']);
    expect(freeId('Neck', ['neck', 'neck-2'])).toBe('neck-3');
    expect(freeId('Éä', [])).toBe('part');
  });
});
