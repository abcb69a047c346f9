/**
 * `npm run fuzz -- edits N SEED FROM`: N sequences of up to fifty edits, in batches whose seeds follow from SEED; FROM goes
 * on where a run was broken off. A failure is told as the shortest story found.
 */
import fc from 'fast-check';
import { anySequence, anyStart, follow } from '../document/edits/sequence.ts';

/** Sequences that are drawn from one seed and told about at a time. */
const BATCH = 250;
/** Far apart, so that runs with neighbouring seeds share no batch. */
const seedOf = (seed: number, batch: number): number => (Math.imul(seed, 0x9e3779b1) + batch) | 0;

export function fuzzEdits(runs: number, seed = Date.now() % 1e6, from = 0): boolean {
  let edits = 0;
  const began = performance.now();
  for (let done = from - (from % BATCH); done < runs; done += BATCH) {
    const count = Math.min(BATCH, runs - done);
    const found = fc.check(
      fc.property(anyStart, anySequence, (start, sequence) => {
        follow(start, sequence);
        edits += sequence.length;
      }),
      { numRuns: count, seed: seedOf(seed, done / BATCH) },
    );
    if (found.failed) {
      const [start, sequence] = found.counterexample ?? [];
      console.error(`Failed after ${done + found.numRuns} sequences: npm run fuzz -- edits ${runs} ${seed} ${done}`);
      console.error(`${found.errorInstance}\nFrom ${JSON.stringify(start)}:`);
      for (const { do: name, ...chosen } of sequence ?? []) console.error(`  ${name} ${JSON.stringify(chosen)}`);
      return false;
    }
    const seconds = Math.round((performance.now() - began) / 1000);
    console.log(`${done + count} of ${runs} sequences, seed ${seed}: ${edits} edits in ${seconds} s`);
  }
  console.log('Each parses, draws, solves, undoes and keeps.');
  return true;
}
