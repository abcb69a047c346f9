/**
 * Older sheets brought up to the present format, and the builds in them: `STEPS[n]` turns version n of the sheet into
 * version n + 1, on plain data, before anything is validated.
 */
import { type Migrated, migrateBuild } from './migrate-build.ts';

/** The version this code writes. */
export const SHEET_VERSION = 1;

type Plain = Record<string, unknown>;
const STEPS: Record<number, (old: Plain) => Plain> = {};

const isPlain = (data: unknown): data is Plain => typeof data === 'object' && data !== null && !Array.isArray(data);

/** A slot with its build brought up; what is no build is left for validation to name. */
function migrateSlot(slot: unknown): unknown {
  if (!isPlain(slot)) return slot;
  const migrated = migrateBuild(slot.build);
  return migrated.ok ? { ...slot, build: migrated.data } : slot;
}

/** `data` as the present version would have it, or a sentence on why it cannot be read. */
export function migrateSheet(data: unknown): Migrated {
  if (!isPlain(data) || data.format !== 'comb-and-coil/sheet')
    return { ok: false, message: 'this is no Comb & Coil sheet' };
  const { version } = data;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1)
    return { ok: false, message: `version: must be a whole number from 1 to ${SHEET_VERSION}` };
  if (version > SHEET_VERSION)
    return {
      ok: false,
      message: `this sheet is of version ${version}, made by a newer Comb & Coil; this one reads versions up to ${SHEET_VERSION}`,
    };
  let sheet = data;
  for (let v = version; v < SHEET_VERSION; v++) sheet = { ...STEPS[v](sheet), version: v + 1 };
  return {
    ok: true,
    data: Array.isArray(sheet.builds) ? { ...sheet, builds: sheet.builds.map(migrateSlot) } : sheet,
  };
}
