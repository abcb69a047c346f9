/** Caps on what is opened never refuse what the page itself can save or send: the fullest sheet there can be passes both. */
import { describe, expect, test } from 'vitest';
import { MOST } from '../../shared/document/build.ts';
import { parseSheet } from '../../shared/document/reading/parse-sheet.ts';
import { LETTERS, type Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { readLink, writeLink } from '../../src/files/link.ts';
import { LARGEST_PROJECT, readProject, writeProject } from '../../src/files/project.ts';
import { openProject } from '../../src/keep/project-files.ts';
import { notices } from '../../src/state/notices.ts';
import { words } from '../../src/words/keep-words.ts';

const times = <T>(count: number, make: (i: number) => T): T[] => Array.from({ length: count }, (_, i) => make(i));
const long = (text: string, length: number): string => text.padEnd(length, '-').slice(0, length);

/** A number of as many digits as JSON writes, near `x`, no two alike, so that nothing packs well. */
let drawn = 1;
const odd = (x: number): number => {
  drawn = (drawn * 48271) % 2147483647;
  return x * (1 + drawn / 2147483647e2);
};
/** Every number of plain data that is no whole one, with all its digits. */
const withOddNumbers = <T>(data: T): T =>
  JSON.parse(JSON.stringify(data), (_, value) =>
    typeof value === 'number' && !Number.isInteger(value) ? odd(value) : value,
  );

/** As many of everything as there may be, under the longest names. */
function fullest(): Sheet {
  const sheet = demoSheet();
  const [{ build }] = sheet.builds;
  const [pickup] = build.pickups;
  const [coil] = pickup.coils;
  const [string] = build.instrument.strings;
  const pickupId = (p: number) => long(`pickup${p}`, 24);
  const coilId = (c: number) => long(`coil${c}`, 24);
  const loss = { kind: 'ladder', sections: times(4, () => ({ inductance: 0.1, resistance: 12345.6 })) } as const;
  const coils = times(MOST.coils, c => ({
    ...coil,
    id: coilId(c),
    loss,
    cover: 4567.8,
    turns: 7654.3,
    note: long('measured', 120),
    strings: times(MOST.strings, s => s + 1),
  }));
  const outputs = times(MOST.outputs, o => ({
    ...build.outputs[0],
    id: long(`out${o}`, 24),
    chain: times(MOST.stages, () => build.outputs[0].chain[0]),
  }));
  const tap = (p: number, output: string) => ({
    pickup: pickupId(p % MOST.pickups),
    coils: coils.map(c => c.id),
    join: 'parallel' as const,
    antiphase: false,
    reverse: false,
    output,
  });
  const [control] = build.harness.controls;
  const full = {
    ...build,
    note: long('note', 400),
    instrument: { ...build.instrument, strings: times(MOST.strings, () => ({ ...string, gaugeIn: 'in' as const })) },
    pickups: times(MOST.pickups, p => ({
      ...pickup,
      kind: 'free' as const,
      id: pickupId(p),
      name: long(`${p}`, 40),
      coils,
    })),
    outputs,
    harness: {
      ...build.harness,
      selected: 0,
      positions: times(MOST.positions, i => ({
        label: long(`${i}`, 40),
        join: 'parallel' as const,
        taps: times(Math.min(MOST.taps, MOST.pickups), p => tap(p, outputs[0].id)),
      })),
      controls: times(MOST.controls, c => ({ ...control, id: long(`control${c}`, 24), output: outputs[0].id })),
      fixed: times(MOST.fixed, f => ({
        id: long(`fixed${f}`, 24),
        kind: 'resistor' as const,
        value: 123456.7,
        from: {
          at: 'coil' as const,
          pickup: pickupId(f % MOST.pickups),
          coil: coilId(f % MOST.coils),
          end: 'hot' as const,
        },
        to: { at: 'ground' as const },
      })),
    },
  };
  const view = { ...sheet.view, pickup: pickupId(0) };
  const runs = times(60, () => ({
    kind: 'preference' as const,
    at: '2026-01-02T03:04:05.678Z',
    take: long('take', 80),
    point: 5 as const,
    builds: LETTERS.map(letter => ({ letter, name: long(letter, 60) })),
    choices: times(400, i => ({ chosen: i % LETTERS.length, over: (i + 1) % LETTERS.length })),
  }));
  return withOddNumbers({ ...sheet, view, runs, builds: LETTERS.map(letter => ({ letter, build: full })) });
}

describe('the fullest sheet', () => {
  const sheet = fullest();

  test('is one', () => {
    expect(parseSheet(sheet)).toEqual({ ok: true, sheet });
  });

  test('is opened from its project file, which is below the cap', () => {
    const text = writeProject(sheet);
    expect(readProject(text, demoSheet())).toEqual({ ok: true, sheet });
    expect(Buffer.byteLength(text)).toBeLessThan(LARGEST_PROJECT);
  });

  test('is opened from its link', () => {
    expect(readLink(writeLink(sheet))).toEqual({ ok: true, sheet });
  });

  test('a larger project file is refused before it is read, one as large as may be is read', async () => {
    const said = async (size: number) => {
      const unreadable = { name: 'sheet.json', size, text: () => Promise.reject(new Error('gone')) };
      await openProject(unreadable as unknown as File);
      return notices.value.at(-1)?.text;
    };
    expect(await said(LARGEST_PROJECT + 1)).toBe(words.refused('sheet.json', words.tooLarge));
    expect(await said(LARGEST_PROJECT)).toBe(words.refused('sheet.json', words.unreadable));
  });
});
