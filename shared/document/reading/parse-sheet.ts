/** Reads a sheet from untrusted data: migration, schema, then the checks that cross its parts. */
import * as v from 'valibot';
import { type Sheet, SheetSchema } from '../sheet.ts';
import { sheetProblem } from './check-sheet.ts';
import { migrateSheet } from './migrate-sheet.ts';

export type ParsedSheet = { ok: true; sheet: Sheet } | { ok: false; message: string };

/** The sheet in `data`, or one sentence on the first thing that is wrong with it and where it stands. */
export function parseSheet(data: unknown): ParsedSheet {
  const migrated = migrateSheet(data);
  if (!migrated.ok) return migrated;
  const parsed = v.safeParse(SheetSchema, migrated.data);
  if (!parsed.success) {
    const issue = parsed.issues[0];
    const path = issue.path?.map(item => String(item.key)).join('.') ?? '';
    return { ok: false, message: path ? `${path}: ${issue.message}` : issue.message };
  }
  const problem = sheetProblem(parsed.output);
  return problem === null ? { ok: true, sheet: parsed.output } : { ok: false, message: problem };
}
