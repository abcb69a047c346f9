/** Whatever is done in whatever order, a build stays one that can be read, drawn, solved, undone and kept. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { HEAR } from './any-edit.ts';
import { anySequence, anyStart, follow } from './sequence.ts';

test('any sequence of edits on any build parses, draws, solves, undoes and survives a keep', () => {
  fc.assert(
    fc.property(anyStart, anySequence, (start, edits) => {
      expect(() => follow(start, edits)).not.toThrow();
    }),
    { numRuns: 60 },
  );
});

test('hearing a build with fewer strings and other pickups looks at what that has', () => {
  const one = { a: 1, b: 0, c: 0, x: 0 };
  follow('guitar and bass', [
    { do: HEAR, ...one },
    { do: 'move a pickup', ...one },
  ]);
  follow('demo', [
    { do: 'remove a string', ...one },
    { do: HEAR, ...one },
  ]);
});
