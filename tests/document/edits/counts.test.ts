/** One more of a kind, and one more, as far as the document allows: then the edit changes nothing, instead of being refused. */
import { describe, expect, test } from 'vitest';
import { type Build, MOST } from '../../../shared/document/build.ts';
import { addStage } from '../../../shared/document/edits/chain.ts';
import { addCoil } from '../../../shared/document/edits/coils.ts';
import { addControl } from '../../../shared/document/edits/controls.ts';
import { addFixed } from '../../../shared/document/edits/fixed.ts';
import { onInstrument, withStringAdded } from '../../../shared/document/edits/instrument.ts';
import { addPickup } from '../../../shared/document/edits/pickups.ts';
import { addPosition, connect, selectPosition } from '../../../shared/document/edits/selector.ts';
import type { Edited } from '../../../shared/document/edits/settle.ts';
import { keepRun } from '../../../shared/document/edits/sheet.ts';
import { parseBuild } from '../../../shared/document/reading/parse-build.ts';
import type { Run } from '../../../shared/document/sheet.ts';
import { demoSheet } from '../../../shared/document/starting/demo-sheet.ts';
import { demoBass, demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { PICKUP_TYPES } from '../../../shared/sensor/typical.ts';

const [neck, bridge] = demoBuilds();
const stringAdded = (build: Build): Edited => onInstrument(build, withStringAdded(build.instrument, 'treble'));
const free: Build = { ...bridge, pickups: [{ ...bridge.pickups[0], kind: 'free' }] };

const KINDS: [string, number, Build, (build: Build) => Edited, (build: Build) => number][] = [
  ['strings', MOST.strings, bridge, stringAdded, b => b.instrument.strings.length],
  ['pickups', MOST.pickups, neck, b => addPickup(b, PICKUP_TYPES[0].id), b => b.pickups.length],
  ['coils of a pickup', MOST.coils, free, b => addCoil(b, free.pickups[0].id), b => b.pickups[0].coils.length],
  ['selector positions', MOST.positions, neck, b => addPosition(b, 'more'), b => b.harness.positions.length],
  ['controls', MOST.controls, neck, addControl, b => b.harness.controls.length],
  ['soldered parts', MOST.fixed, neck, b => addFixed(b, 'capacitor'), b => b.harness.fixed.length],
  ['stages', MOST.stages, neck, b => addStage(b, 0, 'cable'), b => b.outputs[0].chain.length],
];

describe('one more', () => {
  for (const [what, most, start, add, count] of KINDS)
    test(`${what}: up to ${most}`, () => {
      let build = start;
      for (let n = count(start); n < most; n++) {
        build = add(build).build;
        expect(count(build)).toBe(n + 1);
        expect(parseBuild(build).ok).toBe(true);
      }
      expect(add(build).build).toBe(build);
    });

  test('a pickup more where the selector is full has no position of its own', () => {
    let build = neck;
    while (build.harness.positions.length < MOST.positions) build = addPosition(build, 'more').build;
    const more = addPickup(build, PICKUP_TYPES[0].id).build;
    expect(more.pickups).toHaveLength(2);
    expect(more.harness.positions).toEqual(build.harness.positions);
  });

  test('the sixty-first listening test that is kept is the first to go', () => {
    const run = (n: number): Run => ({ kind: 'preference', at: `${n}`, take: 't', point: 5, builds: [], choices: [] });
    let sheet = demoSheet();
    for (let n = 1; n <= 61; n++) sheet = keepRun(sheet, run(n)).sheet;
    expect(sheet.runs?.map(one => one.at)).toEqual(Array.from({ length: 60 }, (_, i) => `${i + 2}`));
  });
});

describe('the selector', () => {
  const bass = demoBass();
  const [first, second] = bass.pickups.map(p => p.id);
  const taps = (build: Build, at = 0) => build.harness.positions[at].taps.map(t => t.pickup);

  test('a pickup is connected once and whole, and disconnected', () => {
    const bare = connect(connect(bass, 0, first, false).build, 0, second, false).build;
    expect(taps(bare)).toEqual([]);
    const one = connect(bare, 0, first, true).build;
    expect(one.harness.positions[0].taps).toMatchObject([{ pickup: first, coils: null, reverse: false }]);
    expect(taps(connect(one, 0, second, true).build)).toEqual([first, second]);
    expect(connect(one, 0, first, true).build.harness.positions[0]).toBe(one.harness.positions[0]);
    // no other position has changed
    expect(one.harness.positions.slice(1)).toEqual(bass.harness.positions.slice(1));
  });

  test('only a position that is there is selected', () => {
    const { positions, selected } = neck.harness;
    const last = positions.length - 1;
    expect(selectPosition(neck, last).build.harness.selected).toBe(last);
    for (const position of [-1, positions.length, selected]) expect(selectPosition(neck, position).build).toBe(neck);
  });
});
