/**
 * Older builds brought up to the present format. A step for every version that has been: `STEPS[n]` turns version n into
 * version n + 1, on plain data, before anything is validated.
 */

import { BUILD_VERSION } from '../build.ts';
import { measuredPoles } from './measured-poles.ts';
import { placesFromText } from './solder-places-from-text.ts';

type Plain = Record<string, unknown>;
const STEPS: Record<number, (old: Plain) => Plain> = { 1: old => measuredPoles(placesFromText(old)) };

export type Migrated = { ok: true; data: unknown } | { ok: false; message: string };

/** `data` as the present version would have it, or a sentence on why it cannot be read. */
export function migrateBuild(data: unknown): Migrated {
  if (typeof data !== 'object' || data === null || Array.isArray(data))
    return { ok: false, message: 'a build is an object with "format", "version", "instrument", "pickups" and more' };
  let build = data as Plain;
  if (build.format !== 'comb-and-coil/build')
    return { ok: false, message: 'this is not a Comb & Coil build: "format" must be "comb-and-coil/build"' };
  const version = build.version;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1)
    return { ok: false, message: `"version" must be a whole number from 1 to ${BUILD_VERSION}` };
  if (version > BUILD_VERSION)
    return {
      ok: false,
      message: `this build is of version ${version}, made by a newer Comb & Coil; this one reads versions up to ${BUILD_VERSION}`,
    };
  for (let v = version; v < BUILD_VERSION; v++) build = { ...STEPS[v](build), version: v + 1 };
  return { ok: true, data: build };
}
