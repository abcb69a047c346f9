/** Reads a sheet from untrusted data: migration, schema, then the checks that cross its parts. */
import * as v from 'valibot';
import { fitView } from '../fit-view.ts';
import { type Sheet, SheetSchema } from '../sheet.ts';
import { outOfBounds, SAYING } from './bounds.ts';
import { sheetProblem } from './check-sheet.ts';
import { migrateSheet } from './migrate-sheet.ts';

export type ParsedSheet = { ok: true; sheet: Sheet } | { ok: false; message: string };

/** The sheet in `data`, or one sentence on the first thing that is wrong with it and where it stands. */
export function parseSheet(data: unknown): ParsedSheet {
  const migrated = migrateSheet(data);
  if (!migrated.ok) return migrated;
  const bound = outOfBounds(SheetSchema, migrated.data);
  if (bound) return { ok: false, message: bound.path ? `${bound.path}: ${bound.message}` : bound.message };
  const parsed = v.safeParse(SheetSchema, migrated.data, SAYING);
  if (!parsed.success) {
    const issue = parsed.issues[0];
    const path = issue.path?.map(item => String(item.key)).join('.') ?? '';
    return { ok: false, message: path ? `${path}: ${issue.message}` : issue.message };
  }
  const sheet = parsed.output;
  const problem = sheetProblem(sheet);
  if (problem !== null) return { ok: false, message: problem };
  // a view may speak of what is not there: it is no work, and a build that nobody hears would take edits in silence
  return { ok: true, sheet: { ...sheet, view: fitView(sheet, sheet.view) } };
}
