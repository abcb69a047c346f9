/** A hundred cases of every fuzz program, and every case that one of them ever found. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { FOUND } from './program.ts';
import { PROGRAMS } from './programs.ts';

/** Sequences of edits have a test of their own. */
const HERE = Object.entries(PROGRAMS).filter(([name]) => name !== 'edits');

test.each(HERE)('a hundred %s', (_, { cases, check }) => {
  fc.assert(
    fc.property(cases, one => {
      check(one);
    }),
    { numRuns: 100 },
  );
});

test('what was found once holds now', () => {
  const files = existsSync(FOUND) ? readdirSync(FOUND).filter(name => name.endsWith('.json')) : [];
  for (const name of files) {
    const { program, case: one } = JSON.parse(readFileSync(join(FOUND, name), 'utf8'));
    expect(typeof PROGRAMS[program].check(one), name).toBe('string');
  }
});
