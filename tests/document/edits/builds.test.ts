import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Instrument } from '../../../shared/document/build.ts';
import {
  copyBuild,
  editBuild,
  editInstrument,
  freeLetter,
  moveBuild,
  removeBuild,
  renameBuild,
  shareInstrument,
} from '../../../shared/document/edits/builds.ts';
import { setValue } from '../../../shared/document/edits/value.ts';
import { parseSheet } from '../../../shared/document/reading/parse-sheet.ts';
import { LETTERS, type Letter, type Sheet } from '../../../shared/document/sheet.ts';
import { demoSheet } from '../../../shared/document/starting/demo-sheet.ts';

const withCopy = (sheet: Sheet, from: Letter): Sheet => copyBuild(sheet, from).sheet;
const withName = (sheet: Sheet, letter: Letter, name: string): Sheet => renameBuild(sheet, letter, name).sheet;
const withMove = (sheet: Sheet, letter: Letter, by: -1 | 1): Sheet => moveBuild(sheet, letter, by).sheet;
const withoutBuild = (sheet: Sheet, letter: Letter): Sheet => removeBuild(sheet, letter).sheet;

const names = (sheet: Sheet) => sheet.builds.map(({ letter, build }) => `${letter} ${build.name}`);
const three = () => withName(withCopy(demoSheet(), 'A'), 'C', 'third');

describe('steps on the list of builds', () => {
  test('a copy takes the first free letter, is heard, and shares nothing that can be changed', () => {
    const sheet = withCopy(demoSheet(), 'B');
    expect(sheet.builds.map(s => s.letter)).toEqual(['A', 'B', 'C']);
    expect(sheet.view.heard).toBe('C');
    expect(sheet.builds[2].build).toEqual(sheet.builds[1].build);
    expect(sheet.builds[2].build).not.toBe(sheet.builds[1].build);
    const holed = withCopy(withoutBuild(sheet, 'B'), 'A');
    expect(holed.builds.map(s => s.letter)).toEqual(['A', 'B', 'C']);
  });

  test('eight are enough', () => {
    let sheet = demoSheet();
    for (let i = 0; i < 6; i++) sheet = withCopy(sheet, 'A');
    expect(freeLetter(sheet)).toBeNull();
    expect(withCopy(sheet, 'A')).toBe(sheet);
  });

  test('a removed build leaves the letters of the others; the last one stays', () => {
    const sheet = withoutBuild({ ...three(), test: { builds: ['A', 'C'], trials: 10 } }, 'A');
    expect(names(sheet)).toEqual(['B Bridge, single coil', 'C third']);
    expect(sheet.view.reference).toBe('B');
    expect(sheet.test).toBeNull();
    const one = withoutBuild(sheet, 'B');
    expect(withoutBuild(one, 'C')).toBe(one);
  });

  test('a move exchanges letters; heard, reference and a prepared test stay with their builds', () => {
    const sheet = { ...three(), test: { builds: ['A', 'C'] as [Letter, Letter], trials: 10 } };
    expect(sheet.view.heard).toBe('C');
    const moved = withMove(sheet, 'C', -1);
    expect(names(moved)).toEqual(['A Neck, two coils side by side', 'B third', 'C Bridge, single coil']);
    expect(moved.view.heard).toBe('B');
    expect(moved.test?.builds).toEqual(['A', 'B']);
    expect(withMove(sheet, 'A', -1)).toBe(sheet);
    expect(withMove(sheet, 'C', 1)).toBe(sheet);
    expect(withMove(moved, 'B', 1)).toEqual(sheet);
  });

  test('an empty name is refused', () => {
    const sheet = demoSheet();
    expect(withName(sheet, 'A', '   ')).toBe(sheet);
  });

  test('whatever is done in whatever order, the sheet stays valid and no build changes but in name', () => {
    const step = fc.record({
      what: fc.constantFrom('copy', 'remove', 'up', 'down', 'name'),
      letter: fc.constantFrom(...LETTERS),
    });
    fc.assert(
      fc.property(fc.array(step, { maxLength: 12 }), steps => {
        let sheet = demoSheet();
        const known = new Set(sheet.builds.map(s => JSON.stringify({ ...s.build, name: '', nameDerived: false })));
        for (const { what, letter } of steps) {
          if (what === 'copy') sheet = withCopy(sheet, letter);
          else if (what === 'remove') sheet = withoutBuild(sheet, letter);
          else if (what === 'name') sheet = withName(sheet, letter, 'x');
          else sheet = withMove(sheet, letter, what === 'up' ? -1 : 1);
        }
        expect(parseSheet(sheet).ok).toBe(true);
        const letters = sheet.builds.map(s => s.letter);
        expect(letters).toEqual([...letters].sort());
        expect(letters).toContain(sheet.view.heard);
        expect(letters).toContain(sheet.view.reference);
        for (const { build } of sheet.builds)
          expect(known).toContain(JSON.stringify({ ...build, name: '', nameDerived: false }));
      }),
      { numRuns: 40 },
    );
  });
});

describe('one instrument for all builds, or one for each', () => {
  const longer = (instrument: Instrument): Instrument => ({ ...instrument, name: 'Longer' });
  const instruments = (sheet: Sheet) => sheet.builds.map(({ build }) => build.instrument.name);
  const apart = (sheet: Sheet): Sheet => shareInstrument(sheet, 'A', false).sheet;
  const [{ name }] = demoSheet().builds.map(({ build }) => build.instrument);

  test('shared, an edit of the instrument goes to all, by whatever door it comes', () => {
    const sheet = demoSheet();
    expect(sheet.sameInstrument).toBe(true);
    expect(instruments(editInstrument(sheet, 'B', longer).sheet)).toEqual(['Longer', 'Longer']);
    const typed = editBuild(sheet, 'B', build => setValue(build, '/instrument/name', 'Longer')).sheet;
    expect(instruments(typed)).toEqual(['Longer', 'Longer']);
    // the edited build alone keeps what else the edit did
    const both = editBuild(sheet, 'B', build => ({
      build: { ...build, name: 'mine', instrument: longer(build.instrument) },
      went: [],
    })).sheet;
    expect(names(both)).toEqual(['A Neck, two coils side by side', 'B mine']);
    expect(instruments(both)).toEqual(['Longer', 'Longer']);
  });

  test('an edit of anything else goes to one build', () => {
    const sheet = editBuild(demoSheet(), 'B', build => setValue(build, '/pickups/0/position', 0.05)).sheet;
    expect(sheet.builds.map(({ build }) => build.pickups[0].position)).toEqual([
      demoSheet().builds[0].build.pickups[0].position,
      0.05,
    ]);
  });

  test('apart, it goes to one; shared again, all get the one that is named', () => {
    const one = editInstrument(apart(demoSheet()), 'B', longer).sheet;
    expect(instruments(one)).toEqual([name, 'Longer']);
    expect(instruments(shareInstrument(one, 'B', true).sheet)).toEqual(['Longer', 'Longer']);
    expect(instruments(shareInstrument(one, 'A', true).sheet)).toEqual([name, name]);
    expect(shareInstrument(one, 'A', false).sheet).toBe(one);
    const back = shareInstrument(apart(demoSheet()), 'A', true).sheet;
    expect(back.sameInstrument).toBe(true);
  });

  test('what several builds lose alike is said once', () => {
    const pickup = demoSheet().builds[0].build.pickups[0];
    const went = editInstrument(demoSheet(), 'A', instrument => instrument).went;
    expect(went).toEqual([]);
    const lost = { kind: 'control', name: pickup.name } as const;
    const twice = editBuild(demoSheet(), 'B', build => ({
      build: { ...build, name: 'x' },
      went: [lost, { kind: 'control', name: 'another' }, { ...lost }],
    })).went;
    expect(twice).toEqual([lost, { kind: 'control', name: 'another' }]);
  });
});
