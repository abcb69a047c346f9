/** Edits of the sheet: its builds, what they share, and what they are heard on. */
import type { Build, Instrument } from '../build.ts';
import { fitView } from '../fit-view.ts';
import { LETTERS, type Letter, type Sheet, type Slot } from '../sheet.ts';
import {
  type Follow,
  followAdded,
  followRemoved,
  followReplaced,
  onInstrument,
  type Side,
  withStringAdded,
  withStringRemoved,
} from './instrument.ts';
import type { Edited, Went } from './settle.ts';

/** A sheet after an edit, and what went with it. */
export interface EditedSheet {
  readonly sheet: Sheet;
  readonly went: readonly Went[];
}

export const buildOf = (sheet: Sheet, letter: Letter): Build =>
  (sheet.builds.find(slot => slot.letter === letter) ?? sheet.builds[0]).build;

/** What a title that nobody chose says. */
export const followedTitle = (sheet: Sheet): string => sheet.builds[0].build.instrument.name;

/**
 * Title, prepared test and view speak of what is there: the end of every edit of a sheet. A title that follows the
 * instrument changes only when that changes its name: no other edit replaces what a sheet was opened with.
 */
export function settleSheet(before: Sheet, changed: Sheet, went: readonly Went[] = []): EditedSheet {
  if (changed === before) return { sheet: before, went };
  const [was, is] = [before, changed].map(followedTitle);
  const title = changed.titleDerived && is !== was ? is : changed.title;
  const there = changed.test?.builds.every(letter => changed.builds.some(slot => slot.letter === letter)) ?? true;
  const view = fitView(changed, changed.view);
  const same = title === changed.title && there && view === changed.view;
  const sheet = same ? changed : { ...changed, title, view, ...(there ? {} : { test: null }) };
  return { sheet, went };
}

/** What went, each thing once. */
const once = (went: readonly Went[]): Went[] =>
  went.filter((one, i) => went.findIndex(other => JSON.stringify(other) === JSON.stringify(one)) === i);

/** Edits the builds that `which` names; when one of them cannot be edited none is. */
function editBuilds(sheet: Sheet, which: (slot: Slot) => boolean, edit: (build: Build) => Edited): EditedSheet {
  const went: Went[] = [];
  const builds = sheet.builds.map(slot => {
    if (!which(slot)) return slot;
    const edited = edit(slot.build);
    went.push(...edited.went);
    return edited.build === slot.build ? slot : { ...slot, build: edited.build };
  });
  const refused = went.filter(one => one.kind === 'nowhere');
  if (refused.length > 0) return { sheet, went: once(refused) };
  const same = builds.every((slot, i) => slot === sheet.builds[i]);
  return settleSheet(sheet, same ? sheet : { ...sheet, builds }, once(went));
}

/** Edits one build; an edited instrument goes to all builds when they share it. */
export function editBuild(sheet: Sheet, letter: Letter, edit: (build: Build) => Edited): EditedSheet {
  const before = buildOf(sheet, letter).instrument;
  const { build, went } = edit(buildOf(sheet, letter));
  if (sheet.sameInstrument && build.instrument !== before)
    return editBuilds(
      sheet,
      () => true,
      b => (b === buildOf(sheet, letter) ? { build, went } : onInstrument(b, build.instrument)),
    );
  return editBuilds(
    sheet,
    slot => slot.letter === letter,
    () => ({ build, went }),
  ); // prettier-ignore
}

// --- the instrument, which all builds may share -----------------------------------------------------------------------

/** Changes the instrument of build `letter`, and that of all builds when they share it. */
export function editInstrument(
  sheet: Sheet,
  letter: Letter,
  change: (instrument: Instrument) => Instrument,
  follow: Follow = p => p,
): EditedSheet {
  const before = buildOf(sheet, letter).instrument;
  const after = change(before);
  if (after === before) return { sheet, went: [] };
  return editBuilds(
    sheet,
    slot => slot.letter === letter || sheet.sameInstrument,
    build => onInstrument(build, after, follow),
  );
}

/** Turns sharing on (every build gets the instrument of build `letter`) or off. */
export function shareInstrument(sheet: Sheet, letter: Letter, share: boolean): EditedSheet {
  if (sheet.sameInstrument === share) return { sheet, went: [] };
  const { instrument } = buildOf(sheet, letter);
  const edited = editBuilds(
    sheet,
    slot => share && slot.build.instrument !== instrument,
    build => onInstrument(build, instrument, followReplaced),
  );
  if (edited.went.some(one => one.kind === 'nowhere')) return edited;
  return { ...edited, sheet: { ...edited.sheet, sameInstrument: share } };
}

/** One string more at the outside. */
export const addString = (sheet: Sheet, letter: Letter, side: Side): EditedSheet =>
  editInstrument(sheet, letter, instrument => withStringAdded(instrument, side), followAdded(side));

export const removeString = (sheet: Sheet, letter: Letter, index: number): EditedSheet =>
  editInstrument(sheet, letter, instrument => withStringRemoved(instrument, index), followRemoved(index));

// --- the list of builds -------------------------------------------------------------------------------------------------

const has = (sheet: Sheet, letter: Letter): boolean => sheet.builds.some(slot => slot.letter === letter);
const sorted = (builds: Slot[]): Slot[] => [...builds].sort((a, b) => a.letter.localeCompare(b.letter));

/** The first letter that no build carries; null: all eight do. */
export const freeLetter = (sheet: Sheet): Letter | null => LETTERS.find(letter => !has(sheet, letter)) ?? null;

/** `build` under `letter` where that is free, else under the first free letter, and heard; unchanged when all are taken. */
export function addBuild(sheet: Sheet, build: Build, letter?: Letter): EditedSheet {
  const free = letter && !has(sheet, letter) ? letter : freeLetter(sheet);
  if (!free) return { sheet, went: [] };
  const same = JSON.stringify(build.instrument) === JSON.stringify(sheet.builds[0].build.instrument);
  return settleSheet(sheet, {
    ...sheet,
    builds: sorted([...sheet.builds, { letter: free, build }]),
    sameInstrument: sheet.sameInstrument && same,
    view: { ...sheet.view, heard: free },
  });
}

/** A copy of build `from` under the first free letter, and heard. */
export const copyBuild = (sheet: Sheet, from: Letter): EditedSheet =>
  has(sheet, from) ? addBuild(sheet, { ...buildOf(sheet, from) }) : { sheet, went: [] };

/** Without build `letter`; the last one stays. Heard and reference go to a build that is left. */
export function removeBuild(sheet: Sheet, letter: Letter): EditedSheet {
  if (!has(sheet, letter) || sheet.builds.length < 2) return { sheet, went: [] };
  const at = sheet.builds.findIndex(slot => slot.letter === letter);
  const builds = sheet.builds.filter(slot => slot.letter !== letter);
  const next = builds[Math.min(at, builds.length - 1)].letter;
  const moved = (one: Letter) => (one === letter ? next : one);
  const { view } = sheet;
  return settleSheet(sheet, {
    ...sheet,
    builds,
    view: { ...view, heard: moved(view.heard), reference: moved(view.reference) },
  });
}

/** Another name for a build, which is then the person's own; an empty one is refused. */
export function renameBuild(sheet: Sheet, letter: Letter, name: string): EditedSheet {
  const said = name.trim().slice(0, 60);
  if (said === '' || !has(sheet, letter) || said === buildOf(sheet, letter).name) return { sheet, went: [] };
  const builds = sheet.builds.map(slot =>
    slot.letter === letter ? { letter, build: { ...slot.build, name: said, nameDerived: false } } : slot,
  );
  return settleSheet(sheet, { ...sheet, builds });
}

/** Build `letter` one place up (−1) or down (1): it exchanges letters with its neighbour, and who points at it follows. */
export function moveBuild(sheet: Sheet, letter: Letter, by: -1 | 1): EditedSheet {
  const at = sheet.builds.findIndex(slot => slot.letter === letter);
  const other = sheet.builds[at + by];
  if (at < 0 || !other) return { sheet, went: [] };
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
  return settleSheet(sheet, {
    ...sheet,
    builds,
    ...(test && { test: { ...test, builds: [exchanged(test.builds[0]), exchanged(test.builds[1])] } }),
    view: { ...view, heard: exchanged(view.heard), reference: exchanged(view.reference) },
  });
}
