/** Whether a sheet could be read back: what the store asks before it takes one, and the browser's storage lives by. */
import * as v from 'valibot';
import { LETTERS, type Sheet, SheetSchema } from '../sheet.ts';
import { SAYING } from './bounds.ts';
import { parseBuild } from './parse-build.ts';

const FieldsSchema = v.omit(SheetSchema, ['builds']);

/**
 * What the parser would refuse in `sheet`, in one sentence; null: nothing. Builds that are the same objects as in `known`,
 * a sheet that has been checked, are not looked at again.
 */
export function sheetProblem(sheet: Sheet, known: Sheet | null = null): string | null {
  if (sheet === known) return null;
  const fields = v.safeParse(FieldsSchema, sheet, SAYING);
  if (!fields.success) {
    const [issue] = fields.issues;
    const path = issue.path?.map(item => String(item.key)).join('.') ?? '';
    return path ? `${path}: ${issue.message}` : issue.message;
  }
  const letters = sheet.builds.map(slot => slot.letter);
  if (letters.length < 1) return 'at least one build';
  if (letters.some(letter => !LETTERS.includes(letter))) return 'a build carries a letter from A to H';
  if (new Set(letters).size !== letters.length) return 'two builds carry the same letter';
  const checked = new Set(known?.builds.map(slot => slot.build));
  for (const { letter, build } of sheet.builds) {
    if (checked.has(build)) continue;
    const parsed = parseBuild(build);
    if (!parsed.ok) {
      const [first] = parsed.issues;
      return `build ${letter}, ${first.path}: ${first.message}`;
    }
  }
  return null;
}
