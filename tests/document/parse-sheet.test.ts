/** A sheet from untrusted data: what is right comes through, what is wrong is named. */
import { describe, expect, test } from 'vitest';
import { parseSheet } from '../../shared/document/reading/parse-sheet.ts';
import { LETTERS, type Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';

const refused = (change: (sheet: Sheet) => unknown): string => {
  const parsed = parseSheet(change(demoSheet()));
  return parsed.ok ? '' : parsed.message;
};
const lettered = (sheet: Sheet, letters: readonly string[]) => ({
  ...sheet,
  builds: letters.map(letter => ({ ...sheet.builds[0], letter })),
});

describe('builds of a sheet', () => {
  test('eight of eight letters, in any order, come through', () => {
    const letters = [...LETTERS].reverse();
    const parsed = parseSheet(lettered(demoSheet(), letters));
    expect(parsed.ok && parsed.sheet.builds.map(slot => slot.letter)).toEqual(letters);
  });

  test('no letter stands twice, none is unknown, none are missing, and there is no ninth', () => {
    expect(refused(sheet => lettered(sheet, ['A', 'B', 'A']))).toMatch(/same letter/);
    expect(refused(sheet => lettered(sheet, ['A', 'J']))).toMatch(/builds\.1\.letter/);
    expect(refused(sheet => lettered(sheet, []))).toMatch(/builds: at least one build/);
    expect(refused(sheet => lettered(sheet, [...LETTERS, 'A']))).toMatch(/^builds: /);
  });

  test('what is wrong in a build is said with its letter and its place', () => {
    expect(
      refused(sheet => {
        const [a, b] = structuredClone(sheet.builds);
        b.build.pickups[0].position = 0.5;
        return { ...sheet, builds: [a, b] };
      }),
    ).toMatch(/^build B, pickups\.0\.position: .*beyond the strings/);
  });
});
