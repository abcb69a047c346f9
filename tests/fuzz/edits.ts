/** Sequences of up to fifty edits: each parses, draws, solves, undoes and keeps. */
import fc from 'fast-check';
import { anySequence, anyStart, follow } from '../document/edits/sequence.ts';
import type { Program } from './program.ts';

const cases = fc.record({ start: anyStart, sequence: anySequence });

export const edits: Program<typeof cases extends fc.Arbitrary<infer T> ? T : never> = {
  cases,
  check: ({ start, sequence }) => {
    follow(start, sequence);
    return 'sequences';
  },
  batch: 250,
  usual: 1000,
};
