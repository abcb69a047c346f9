/** A sheet that its parser refuses, opened all the same where its parts are whole and only hang in the air. */
import * as v from 'valibot';
import { sheetProblem } from '../reading/check-sheet.ts';
import { migrateSheet } from '../reading/migrate-sheet.ts';
import { SheetSchema } from '../sheet.ts';
import { type EditedSheet, settleSheet } from './builds.ts';
import { settle } from './settle.ts';

/** The sheet in `data`, settled, and what went; null: there is more wrong with it than settling mends. */
export function repairSheet(data: unknown): EditedSheet | null {
  const migrated = migrateSheet(data);
  const parsed = migrated.ok ? v.safeParse(SheetSchema, migrated.data) : null;
  if (!parsed?.success) return null;
  const { output } = parsed;
  const settled = output.builds.map(({ letter, build }) => {
    const edited = settle(build, { ...build });
    return { slot: { letter, build: edited.build }, went: edited.went };
  });
  const repaired = settleSheet(
    output,
    { ...output, builds: settled.map(one => one.slot) },
    settled.flatMap(one => one.went),
  );
  return sheetProblem(repaired.sheet) === null ? repaired : null;
}
