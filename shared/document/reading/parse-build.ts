/**
 * Reads a build from untrusted data: migration, schema, then the checks that cross its parts. Every message names the
 * value it found and what is accepted.
 */
import * as v from 'valibot';
import { CircuitError } from '../../circuit/elements.ts';
import { harnessNetwork } from '../../circuit/harness.ts';
import { placeKey, placeMeaning, solderPlaces } from '../../circuit/solder-places.ts';
import { combLimits, misplaced } from '../../sensor/limits.ts';
import { type Build, BuildSchema, type Pickup } from '../build.ts';
import { MOST_ISSUES, outOfBounds, SAYING } from './bounds.ts';
import { migrateBuild } from './migrate-build.ts';

export interface Issue {
  /** Where, as names and indices joined by dots: `pickups.0.position`; empty: the whole. */
  path: string;
  message: string;
}
export type ParsedBuild = { ok: true; build: Build } | { ok: false; issues: [Issue, ...Issue[]] };

const millimetres = (m: number): string => `${Number((m * 1000).toFixed(2))} mm`;
const list = (names: readonly string[]): string => names.map(n => `"${n}"`).join(', ');

/** What was found, short enough for a sentence. */
function shown(value: unknown): string {
  if (typeof value === 'object' && value !== null) return Array.isArray(value) ? 'a list' : 'an object';
  const text = JSON.stringify(value) ?? String(value);
  return text.length > 40 ? `${text.slice(0, 37)}...` : text;
}

function duplicates(ids: readonly string[], path: (i: number) => string, what: string): Issue[] {
  return ids.flatMap((id, i) =>
    ids.indexOf(id) < i ? [{ path: path(i), message: `two ${what} carry the id "${id}"; ids must differ` }] : [],
  );
}

/** A pickup over the saddle or beyond the strings: told once, for the coil that is farthest out. */
function placeIssues(build: Build, pickup: Pickup, path: string): Issue[] {
  const coils = pickup.coils.map(coil => ({ id: coil.id, ...combLimits(build.instrument, pickup, coil) }));
  const near = coils.reduce((most, c) => (c.nearest < most.nearest ? c : most));
  const far = coils.reduce((most, c) => (c.farthest - c.high > most.farthest - most.high ? c : most));
  const issues: Issue[] = [];
  if (misplaced({ ...near, high: Infinity }) === 'near')
    issues.push({
      path,
      message: `pickup "${pickup.name}" stands over the saddle: its coil "${near.id}" is ${millimetres(near.nearest)} from it, and at least ${millimetres(near.low)} is accepted; move it towards the nut or lessen its slant`,
    });
  if (misplaced({ ...far, low: -Infinity }) === 'far')
    issues.push({
      path,
      message: `pickup "${pickup.name}" stands beyond the strings' sounding part: its coil "${far.id}" is ${millimetres(far.farthest)} from the saddle of string ${far.far + 1}, and up to ${millimetres(far.high)} (0.6 of the scale length) is accepted; move it towards the saddle`,
    });
  return issues;
}

function pickupIssues(build: Build): Issue[] {
  const count = build.instrument.strings.length;
  return build.pickups.flatMap((pickup, p) => [
    ...duplicates(
      pickup.coils.map(c => c.id),
      i => `pickups.${p}.coils.${i}.id`,
      'coils of one pickup',
    ),
    ...pickup.coils.flatMap((coil, c) =>
      (coil.strings ?? [])
        .filter(number => number > count)
        .map(number => ({
          path: `pickups.${p}.coils.${c}.strings`,
          message: `string ${number} is not there: the instrument has strings 1 to ${count}`,
        })),
    ),
    ...placeIssues(build, pickup, `pickups.${p}.position`),
  ]);
}

function harnessIssues(build: Build): Issue[] {
  const issues: Issue[] = [];
  const { harness } = build;
  const pickups = build.pickups.map(p => p.id);
  const outputs = build.outputs.map(o => o.id);
  const known = (path: string, id: string, ids: string[], what: string) => {
    if (!ids.includes(id)) issues.push({ path, message: `there is no ${what} "${id}"; there are ${list(ids)}` });
  };
  if (harness.selected >= harness.positions.length)
    issues.push({
      path: 'harness.selected',
      message: `selector position ${harness.selected} is not there; accepted are 0 to ${harness.positions.length - 1}`,
    });
  harness.positions.forEach((position, p) => {
    position.taps.forEach((tap, t) => {
      const at = `harness.positions.${p}.taps.${t}`;
      known(`${at}.pickup`, tap.pickup, pickups, 'pickup');
      known(`${at}.output`, tap.output, outputs, 'output');
      const coils = build.pickups.find(x => x.id === tap.pickup)?.coils.map(c => c.id);
      if (coils && tap.coils) {
        for (const coil of tap.coils) known(`${at}.coils`, coil, coils, `coil of pickup "${tap.pickup}"`);
        if (tap.coils.length === 0)
          issues.push({ path: `${at}.coils`, message: 'no coil is in use; name at least one, or null for all' });
        if (new Set(tap.coils).size < tap.coils.length)
          issues.push({ path: `${at}.coils`, message: 'a coil is named twice; each can be connected once' });
      }
    });
  });
  harness.controls.forEach((control, c) => {
    if (control.pickup !== null) known(`harness.controls.${c}.pickup`, control.pickup, pickups, 'pickup');
    known(`harness.controls.${c}.output`, control.output, outputs, 'output');
  });
  issues.push(
    ...duplicates(
      harness.controls.map(c => c.id),
      i => `harness.controls.${i}.id`,
      'controls',
    ),
    ...duplicates(
      harness.fixed.map(f => f.id),
      i => `harness.fixed.${i}.id`,
      'fixed parts',
    ),
  );
  const places = new Set(harness.fixed.length > 0 ? solderPlaces(build).map(({ place }) => placeKey(place)) : []);
  harness.fixed.forEach((part, f) => {
    for (const end of ['from', 'to'] as const)
      if (!places.has(placeKey(part[end])))
        issues.push({
          path: `harness.fixed.${f}.${end}`,
          message: `there is no such place to solder to: ${placeMeaning(build, part[end])}`,
        });
  });
  if (harness.blend) {
    known('harness.blend.from', harness.blend.from, pickups, 'pickup');
    known('harness.blend.to', harness.blend.to, pickups, 'pickup');
    if (harness.blend.from === harness.blend.to)
      issues.push({ path: 'harness.blend.to', message: 'a blend control needs two different pickups' });
  }
  return issues;
}

function instrumentIssues(build: Build): Issue[] {
  return build.instrument.strings.flatMap((string, i) =>
    string.core !== null && string.core >= string.gauge
      ? [
          {
            path: `instrument.strings.${i}.core`,
            message: `the core (${millimetres(string.core)}) must be thinner than the string (${millimetres(string.gauge)})`,
          },
        ]
      : [],
  );
}

/** Selector positions that no network can be made of, for instance a coil connected in two ways at once. */
function wiringIssues(build: Build): Issue[] {
  return build.harness.positions.flatMap((_, selected) => {
    try {
      harnessNetwork({ ...build, harness: { ...build.harness, selected } }, true);
      return [];
    } catch (error) {
      if (!(error instanceof CircuitError)) throw error;
      return [{ path: `harness.positions.${selected}`, message: error.message }];
    }
  });
}

/** What crosses the parts of a build that is right by its schema: empty when all is well. */
function crossIssues(build: Build): Issue[] {
  const issues = namesAndPlaces(build);
  return issues.length > 0 ? issues : wiringIssues(build);
}

const namesAndPlaces = (build: Build): Issue[] => [
  ...instrumentIssues(build),
  ...duplicates(
    build.pickups.map(p => p.id),
    i => `pickups.${i}.id`,
    'pickups',
  ),
  ...pickupIssues(build),
  ...duplicates(
    build.outputs.map(o => o.id),
    i => `outputs.${i}.id`,
    'outputs',
  ),
  ...harnessIssues(build),
];

const withCrossChecks = (issues: Issue[], build: Build): ParsedBuild =>
  issues.length > 0 ? { ok: false, issues: issues as [Issue, ...Issue[]] } : { ok: true, build };

/** The build in `data`, or what is wrong with it, the first twenty. */
export function parseBuild(data: unknown): ParsedBuild {
  const migrated = migrateBuild(data);
  if (!migrated.ok) return { ok: false, issues: [{ path: '', message: migrated.message }] };
  const bound = outOfBounds(BuildSchema, migrated.data);
  if (bound) return { ok: false, issues: [bound] };
  const parsed = v.safeParse(BuildSchema, migrated.data, SAYING);
  if (parsed.success) return withCrossChecks(crossIssues(parsed.output), parsed.output);
  const issues = parsed.issues.slice(0, MOST_ISSUES).map(issue => ({
    path: issue.path?.map(item => String(item.key)).join('.') ?? '',
    message: `${issue.message}${issue.input === undefined ? ' (missing)' : ` (found ${shown(issue.input)})`}`,
  }));
  return { ok: false, issues: issues as [Issue, ...Issue[]] };
}
