/**
 * What every fuzz program shares: cases in batches whose seeds follow from one seed, so that a run goes on where it was
 * broken off; a failure shrunk to the shortest case and written to a file of its own, which a test reads ever after.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';

/** A kind of cases, which are plain data, and what must hold of each. */
export interface Program<T> {
  cases: fc.Arbitrary<T>;
  /** Throws what does not hold; returns what became of the case, by a word or two, to be counted. */
  check(one: T): string;
  /** Cases of a batch. */
  batch: number;
  /** How many when nothing is said. */
  usual: number;
}

export const FOUND = fileURLToPath(new URL('found', import.meta.url));
/** Far apart, so that runs with neighbouring seeds share no batch. */
const seedOf = (seed: number, batch: number): number => (Math.imul(seed, 0x9e3779b1) + batch) | 0;
/** Between two lines on how far a run is, ms. */
const PAUSE = 10_000;

export interface Run {
  name: string;
  runs: number;
  seed: number;
  /** Cases done before; whole batches are done again. */
  from: number;
}

/** Runs a program; false: a case failed, which is told and kept. */
export function run<T>({ cases, check, batch }: Program<T>, { name, runs, seed, from }: Run): boolean {
  const outcomes = new Map<string, number>();
  const began = performance.now();
  let told = began;
  const tell = (done: number): void => {
    const seconds = Math.round((performance.now() - began) / 1000);
    const counts = [...outcomes].map(([outcome, count]) => `${count} ${outcome}`).join(', ');
    console.log(`${name}: ${done} of ${runs}, seed ${seed}, ${seconds} s: ${counts}`);
  };
  for (let done = from - (from % batch); done < runs; done += batch) {
    const count = Math.min(batch, runs - done);
    const found = fc.check(
      fc.property(cases, one => {
        const outcome = check(one);
        outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
      }),
      { numRuns: count, seed: seedOf(seed, done / batch) },
    );
    if (found.failed) {
      const [one] = found.counterexample ?? [];
      mkdirSync(FOUND, { recursive: true });
      const file = join(FOUND, `${name}-${seed}-${done + found.numRuns}.json`);
      writeFileSync(file, `${JSON.stringify({ program: name, case: one }, null, 1)}\n`);
      console.error(`Failed after ${done + found.numRuns}: npm run fuzz -- ${name} ${runs} ${seed} ${done}`);
      console.error(`${found.errorInstance}\nThe shortest case found is in ${file}`);
      return false;
    }
    if (performance.now() - told > PAUSE || done + count >= runs) {
      told = performance.now();
      tell(done + count);
    }
  }
  return true;
}
