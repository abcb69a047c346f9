/** `npm run fuzz -- edits N`: N sequences of up to fifty edits; a failure is told as the shortest story found. */
import fc from 'fast-check';
import { anySequence, anyStart, follow } from '../document/edits/sequence.ts';

/** Sequences that are told about at a time. */
const REPORT = 500;

export function fuzzEdits(runs: number, seed = Date.now() | 0): boolean {
  let [done, edits] = [0, 0];
  const from = performance.now();
  const found = fc.check(
    fc.property(anyStart, anySequence, (start, sequence) => {
      follow(start, sequence);
      edits += sequence.length;
      if (++done % REPORT === 0)
        console.log(`${done} sequences, ${edits} edits, ${Math.round((performance.now() - from) / 1000)} s`);
    }),
    { numRuns: runs, seed },
  );
  if (!found.failed) {
    console.log(
      `${done} sequences of edits (${edits} edits), seed ${seed}: each parses, draws, solves, undoes and keeps.`,
    );
    return true;
  }
  const [start, sequence] = found.counterexample ?? [];
  console.error(`Failed after ${found.numRuns} sequences, seed ${seed}: ${found.errorInstance}`);
  console.error(`From ${JSON.stringify(start)}:`);
  for (const { do: name, ...chosen } of sequence ?? []) console.error(`  ${name} ${JSON.stringify(chosen)}`);
  return false;
}
