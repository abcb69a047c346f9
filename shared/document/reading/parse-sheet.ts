/** Reads a sheet from untrusted data: migration, schema, then the checks that cross its parts. */
import * as v from 'valibot';
import { type Sheet, SheetSchema } from '../sheet.ts';
import { migrateSheet } from './migrate-sheet.ts';
import { parseBuild } from './parse-build.ts';

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
  const sheet = parsed.output;
  const letters = new Set(sheet.builds.map(slot => slot.letter));
  if (letters.size !== sheet.builds.length) return { ok: false, message: 'two builds carry the same letter' };
  for (const { letter, build } of sheet.builds) {
    const checked = parseBuild(build);
    if (!checked.ok) {
      const [first] = checked.issues;
      return { ok: false, message: `build ${letter}, ${first.path}: ${first.message}` };
    }
  }
  return { ok: true, sheet };
}
