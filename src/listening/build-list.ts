/** Steps on the list of builds: add, rename, move, remove. Pure; each gives the sheet back unchanged if it cannot be done. */
import type { Build } from '../../shared/document/build.ts';
import { LETTERS, type Letter, type Sheet } from '../../shared/document/sheet.ts';

const has = (sheet: Sheet, letter: Letter): boolean => sheet.builds.some(slot => slot.letter === letter);

/** The first letter that no build carries; null: all eight do. */
export const freeLetter = (sheet: Sheet): Letter | null => LETTERS.find(letter => !has(sheet, letter)) ?? null;

/** A copy of build `from` under the first free letter, and heard. */
export function withCopy(sheet: Sheet, from: Letter): Sheet {
  const letter = freeLetter(sheet);
  const original = sheet.builds.find(slot => slot.letter === from);
  if (!letter || !original) return sheet;
  const builds = [...sheet.builds, { letter, build: { ...original.build } }];
  builds.sort((a, b) => a.letter.localeCompare(b.letter));
  return { ...sheet, builds, view: { ...sheet.view, heard: letter } };
}

/** Without build `letter`; the last one stays. Heard and reference go to a build that is left. */
export function withoutBuild(sheet: Sheet, letter: Letter): Sheet {
  if (!has(sheet, letter) || sheet.builds.length < 2) return sheet;
  const at = sheet.builds.findIndex(slot => slot.letter === letter);
  const builds = sheet.builds.filter(slot => slot.letter !== letter);
  const next = builds[Math.min(at, builds.length - 1)].letter;
  const moved = (one: Letter) => (one === letter ? next : one);
  const test = sheet.test?.builds.includes(letter) ? null : sheet.test;
  return {
    ...sheet,
    builds,
    ...(test !== undefined && { test }),
    view: { ...sheet.view, heard: moved(sheet.view.heard), reference: moved(sheet.view.reference) },
  };
}

/** Another name for a build; an empty one is refused. */
export function withName(sheet: Sheet, letter: Letter, name: string): Sheet {
  const said = name.trim().slice(0, 60);
  const old = sheet.builds.find(slot => slot.letter === letter)?.build.name;
  if (said === '' || old === undefined || said === old) return sheet;
  const renamed = (build: Build): Build => ({ ...build, name: said });
  return {
    ...sheet,
    builds: sheet.builds.map(slot => (slot.letter === letter ? { letter, build: renamed(slot.build) } : slot)),
  };
}

/** Build `letter` one place up (−1) or down (1): it exchanges letters with its neighbour, and who points at it follows. */
export function withMove(sheet: Sheet, letter: Letter, by: -1 | 1): Sheet {
  const at = sheet.builds.findIndex(slot => slot.letter === letter);
  const other = sheet.builds[at + by];
  if (at < 0 || !other) return sheet;
  const own = sheet.builds[at];
  const exchanged = (one: Letter): Letter =>
    one === own.letter ? other.letter : one === other.letter ? own.letter : one;
  const builds = sheet.builds.map(slot =>
    slot === own
      ? { letter: own.letter, build: other.build }
      : slot === other
        ? { letter: other.letter, build: own.build }
        : slot,
  );
  const { view, test } = sheet;
  return {
    ...sheet,
    builds,
    ...(test && { test: { ...test, builds: [exchanged(test.builds[0]), exchanged(test.builds[1])] } }),
    view: { ...view, heard: exchanged(view.heard), reference: exchanged(view.reference) },
  };
}
