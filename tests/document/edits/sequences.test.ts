/** Whatever is done in whatever order, a build stays one that can be read, drawn, solved, undone and kept. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { anySequence, anyStart, follow } from './sequence.ts';

test('any sequence of edits on any build parses, draws, solves, undoes and survives a keep', {
  timeout: 300_000,
}, () => {
  fc.assert(
    fc.property(anyStart, anySequence, (start, edits) => {
      expect(() => follow(start, edits)).not.toThrow();
    }),
    { numRuns: 60 },
  );
});
