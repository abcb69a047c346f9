import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { copyBuild, freeLetter, moveBuild, removeBuild, renameBuild } from '../../../shared/document/edits/builds.ts';
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
