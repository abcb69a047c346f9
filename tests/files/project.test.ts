import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LETTERS, type Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { demoBass } from '../../shared/document/starting/starting-builds.ts';
import { fileStem, renderedName } from '../../src/files/file-names.ts';
import { projectName, readProject, writeProject } from '../../src/files/project.ts';

const sheet = demoSheet();
const refusal = (text: string, open: Sheet = sheet): string => {
  const read = readProject(text, open);
  if (read.ok) throw new Error('the file was opened');
  return read.message;
};

describe('project file', () => {
  test('what is saved is opened again, a byte order mark in front or not', () => {
    const text = writeProject({ ...sheet, title: 'Übung “zwei”', pluck: 0.123, loop: { from: 1, to: 2.5 } });
    for (const file of [text, `\uFEFF${text}`])
      expect(readProject(file, demoSheet())).toEqual({ ok: true, sheet: JSON.parse(text) });
  });

  test('a sheet saved before the plan had a partial opens with the usual one', () => {
    const { partial, ...view } = sheet.view;
    const read = readProject(JSON.stringify({ ...sheet, view }), sheet);
    expect(read.ok && read.sheet.view.partial).toBe(partial);
  });

  test('a file of one build becomes the next build, and no longer shares the instrument', () => {
    const read = readProject(JSON.stringify(demoBass()), sheet);
    if (!read.ok) throw new Error(read.message);
    expect(read.sheet.builds.map(slot => slot.letter)).toEqual(['A', 'B', 'C']);
    expect(read.sheet.builds[2].build).toEqual(demoBass());
    expect(read.sheet.builds.slice(0, 2)).toEqual(sheet.builds);
    expect(read.sheet.sameInstrument).toBe(false);
    expect(read.sheet.view.heard).toBe('C');
  });

  test('what cannot be opened is refused with a sentence that says why', () => {
    const { build } = sheet.builds[0];
    expect(refusal('{"format":"comb-and-coil/sh')).toMatch(/cut short/);
    expect(refusal('')).toMatch(/no JSON/);
    expect(refusal('[1,2]')).toMatch(/other program/);
    expect(refusal('{"name":"left-pad","version":"1.0.0"}')).toMatch(/other program/);
    expect(refusal(JSON.stringify({ ...sheet, version: 7 }))).toMatch(/version 7.*newer/);
    expect(refusal(JSON.stringify({ ...sheet, version: 'x' }))).toMatch(/version/);
    expect(refusal(JSON.stringify({ ...sheet, builds: [] }))).toMatch(/at least one build/);
    const wrong = { ...build, pickups: build.pickups.map(p => ({ ...p, position: 0.001 })) };
    expect(refusal(JSON.stringify(wrong))).toMatch(/position/);
    const full = { ...sheet, builds: LETTERS.map(letter => ({ letter, build })) };
    expect(refusal(JSON.stringify(build), full)).toMatch(/eight/);
  });

  test('no damage to a file makes opening throw, and what opens is a whole sheet', () => {
    const text = writeProject(sheet);
    fc.assert(
      fc.property(fc.nat(text.length - 1), fc.nat(30), fc.string({ maxLength: 4 }), (at, cut, put) => {
        const read = readProject(text.slice(0, at) + put + text.slice(at + cut), sheet);
        if (read.ok) expect(read.sheet.builds.length).toBeGreaterThan(0);
        else expect(read.message.length).toBeGreaterThan(10);
      }),
      { numRuns: 150 },
    );
  });
});

describe('file names', () => {
  test('say what is in the file, in letters every system takes', () => {
    expect(
      renderedName({
        letter: 'B',
        build: 'Brücke: “heiß”/..\\',
        take: 'open-strings-strum',
        point: 4,
        matched: false,
        sampleRate: 44_100,
        bits: '32f',
      }),
    ).toBe('B_Brucke-hei_open-strings-strum_TP4_true-level_44.1kHz_32bit-float.wav');
    expect(projectName({ ...sheet, title: '///' })).toBe('sheet.json');
  });

  test('hold nothing but letters, digits and single hyphens, whatever the title', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), title => {
        expect(fileStem(title)).toMatch(/^(?:[A-Za-z0-9]+(?:-[A-Za-z0-9]+)*)?$/);
        expect(fileStem(title).length).toBeLessThanOrEqual(40);
      }),
    );
  });
});
