import { describe, expect, test } from 'vitest';
import { parseSheet } from '../../../shared/document/reading/parse-sheet.ts';
import type { BlindRecord, PreferenceRecord, Sheet } from '../../../shared/document/sheet.ts';
import { demoSheet } from '../../../shared/document/starting/demo-sheet.ts';
import { abxResult } from '../../../shared/statistics/binomial.ts';
import { preferenceResult } from '../../../shared/statistics/preference.ts';
import { readLink, writeLink } from '../../../src/files/link.ts';
import { words } from '../../../src/words/listening-words.ts';

const blind: BlindRecord = {
  kind: 'blind',
  at: '2026-03-01T10:00:00.000Z',
  take: 'open-strings-strum',
  point: 5,
  builds: [
    { letter: 'A', name: 'neck' },
    { letter: 'B', name: 'bridge' },
  ],
  trials: Array.from({ length: 10 }, (_, i) => ({ x: (i % 2) as 0 | 1, answer: 0 as const })),
};
const preference: PreferenceRecord = {
  kind: 'preference',
  at: '2026-03-01T10:05:00.000Z',
  take: 'open-strings-strum',
  point: 4,
  builds: blind.builds,
  choices: [{ chosen: 1, over: 0 }],
};

describe('runs kept with the builds', () => {
  test('a sheet from before there were any is valid and stays as it is', () => {
    const old = demoSheet();
    expect(old).not.toHaveProperty('runs');
    const parsed = parseSheet(old);
    expect(parsed.ok && parsed.sheet).toEqual(old);
  });

  test('runs and a prepared test go through a link unchanged', () => {
    const sheet: Sheet = { ...demoSheet(), runs: [blind, preference], test: { builds: ['B', 'A'], trials: 25 } };
    const opened = readLink(writeLink(sheet));
    expect(opened.ok && opened.sheet).toEqual(sheet);
  });

  test.each([
    ['too few trials', { runs: [{ ...blind, trials: blind.trials.slice(0, 4) }] }],
    ['an answer that is none', { runs: [{ ...blind, trials: [...blind.trials, { x: 2, answer: 0 }] }] }],
    ['an unknown kind', { runs: [{ ...blind, kind: 'guess' }] }],
    ['a test of 26 trials', { test: { builds: ['A', 'B'], trials: 26 } }],
    ['a test of an unknown letter', { test: { builds: ['A', 'Z'], trials: 10 } }],
  ])('%s is refused', (_, wrong) => {
    expect(parseSheet({ ...demoSheet(), ...wrong }).ok).toBe(false);
  });
});

describe('what is said of a result', () => {
  test('in chances, not in praise', () => {
    expect(words.hits(abxResult(12, 16))).toBe('12 of 16: chance would do this 1 time in 26.');
    expect(words.verdict(abxResult(12, 16))).toMatch(/^It is likely/);
    // 11 of 16: 6885/65536 = 0.105
    expect(words.hits(abxResult(11, 16))).toBe('11 of 16: chance would do this 1 time in 10.');
    expect(words.verdict(abxResult(11, 16))).toContain('12 of 16 would have been needed');
    expect(words.hits(abxResult(8, 16))).toBe('8 of 16: guessing does as well or better in 60 of 100 runs.');
    expect(words.hits(abxResult(16, 16))).toBe('16 of 16: chance would do this 1 time in 66 000.');
    expect(words.probability(abxResult(16, 16))).toContain('below 0.001');
    // five trials are just enough (1/32), and the page says how many are needed
    expect(words.needed(abxResult(0, 5).needed, 5)).toBe('5 of 5 would happen by chance at most 1 time in 20.');
  });

  test('too few choices are called that', () => {
    expect(words.ranking(preferenceResult(2, preference.choices), ['A', 'B'])).toMatch(/^Too few choices .* B leads/);
    const even = [0, 1, 0, 1].map(chosen => ({ chosen, over: 1 - chosen }));
    expect(words.ranking(preferenceResult(2, even), ['A', 'B'])).toContain('what luck would do in 4 choices');
    const clear = Array.from({ length: 40 }, (_, i) => (i % 8 ? { chosen: 1, over: 0 } : { chosen: 0, over: 1 }));
    expect(words.ranking(preferenceResult(2, clear), ['A', 'B'])).toBe(
      'B is preferred over the next, beyond what luck would do.',
    );
  });
});
