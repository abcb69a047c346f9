/** Small files that would take all memory, and views that speak of what is not there. */
import { describe, expect, test } from 'vitest';
import { MOST_ISSUES } from '../../shared/document/reading/bounds.ts';
import { parseBuild } from '../../shared/document/reading/parse-build.ts';
import { parseSheet } from '../../shared/document/reading/parse-sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';

const [a] = demoBuilds();
const many = (n: number) => Array.from({ length: n }, () => ({}));
const nested = (levels: number) => {
  let data: unknown = 1;
  for (let i = 0; i < levels; i++) data = [data];
  return data;
};

describe('bounds before validation', () => {
  test('a list longer than the schema allows is named with its length, whatever is in it', () => {
    const parsed = parseBuild({ ...a, instrument: { ...a.instrument, strings: many(500_000) } });
    expect(parsed).toEqual({
      ok: false,
      issues: [{ path: 'instrument.strings', message: 'at most 12 strings (found 500000)' }],
    });
  });

  test('so is one inside a variant, an optional part or a list without a length of its own', () => {
    const tap = { ...a.harness.positions[0].taps[0], coils: Array(1000).fill('x') };
    const positions = [{ ...a.harness.positions[0], taps: [tap] }];
    expect(parseBuild({ ...a, harness: { ...a.harness, positions } })).toMatchObject({
      issues: [{ path: 'harness.positions.0.taps.0.coils', message: 'at most 64 entries (found 1000)' }],
    });
    const runs = [{ kind: 'preference', choices: many(5000) }];
    expect(parseSheet({ ...demoSheet(), runs })).toMatchObject({ message: expect.stringContaining('runs.0.choices') });
  });

  test('depth that would exhaust the stack is refused', () => {
    for (const data of [
      { ...a, pickups: nested(200_000) },
      { ...a, note: nested(50) },
    ])
      expect(parseBuild(data)).toMatchObject({ issues: [{ message: 'it is nested deeper than any document' }] });
    expect(parseSheet({ ...demoSheet(), view: nested(200_000) })).toMatchObject({ ok: false });
  });

  test('at most twenty issues are told, and no object is written out in one', () => {
    const parsed = parseBuild({
      ...a,
      instrument: { ...a.instrument, strings: many(12) },
      pickups: many(6),
      note: { long: 'x'.repeat(100) },
    });
    expect(parsed.ok).toBe(false);
    if (parsed.ok) return;
    expect(parsed.issues).toHaveLength(MOST_ISSUES);
    expect(JSON.stringify(parsed.issues)).not.toContain('xxx');
  });
});

describe('a view of what is not there', () => {
  test('a heard letter, a reference, a pickup or a string that is missing becomes one that is there', () => {
    const sheet = demoSheet();
    const [first] = sheet.builds;
    const parsed = parseSheet({
      ...sheet,
      builds: [first],
      view: { ...sheet.view, heard: 'H', reference: 'B', pickup: 'gone', string: 12 },
    });
    expect(parsed).toMatchObject({
      ok: true,
      sheet: { view: { heard: 'A', reference: 'A', pickup: first.build.pickups[0].id, string: 6 } },
    });
  });
});
