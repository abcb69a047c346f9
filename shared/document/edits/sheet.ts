/** Edits of the sheet around its builds: title and note, what it is heard on, listening tests that are kept. */
import { fitView } from '../fit-view.ts';
import type { Run, Sheet, StringsOf } from '../sheet.ts';
import { type EditedSheet, followedTitle, settleSheet } from './builds.ts';

const MOST_RUNS = 60;

const edited = (sheet: Sheet, change: Partial<Sheet>): EditedSheet => {
  const same = (Object.keys(change) as (keyof Sheet)[]).every(key => change[key] === sheet[key]);
  return settleSheet(sheet, same ? sheet : { ...sheet, ...change });
};

/** Another title, which is then the person's own; an empty one follows the instrument again. */
export function setTitle(sheet: Sheet, title: string): EditedSheet {
  const said = title.trim().slice(0, 80);
  return edited(sheet, { title: said || followedTitle(sheet), titleDerived: said === '' });
}

export const setSheetNote = (sheet: Sheet, note: string): EditedSheet => edited(sheet, { note: note.slice(0, 400) });

/** Another take, played whole. */
export const chooseTake = (sheet: Sheet, take: string): EditedSheet =>
  sheet.take === take ? { sheet, went: [] } : edited(sheet, { take, loop: null });

/** Whose strings a recorded take is heard on. */
export const chooseStrings = (sheet: Sheet, strings: StringsOf): EditedSheet => edited(sheet, { strings });

/** The part of the take that plays, s; null: all of it. */
export const setLoop = (sheet: Sheet, loop: Sheet['loop']): EditedSheet => edited(sheet, { loop });

/** The pluck point of modelled takes, m from the saddle line; null: as the score says. */
export const setPluck = (sheet: Sheet, pluck: number | null): EditedSheet => edited(sheet, { pluck });

/** Keeps a finished listening test; the oldest goes when there are sixty. */
export const keepRun = (sheet: Sheet, run: Run): EditedSheet =>
  edited(sheet, { runs: [...(sheet.runs ?? []).slice(1 - MOST_RUNS), run] });

export const removeRun = (sheet: Sheet, run: Run): EditedSheet =>
  edited(sheet, { runs: (sheet.runs ?? []).filter(one => one !== run) });

/** A sheet in the place of whatever is open: opening changes nothing that it says, only a view of what it does not have. */
export const openSheet = (sheet: Sheet): EditedSheet => ({
  sheet: { ...sheet, view: fitView(sheet, sheet.view) },
  went: [],
});
