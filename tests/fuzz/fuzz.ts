/** `npm run fuzz -- PROGRAM [RUNS] [SEED] [FROM]`: long random programs, each with its own story when it fails. */
import { fuzzEdits } from './edits.ts';

/** By name: what is run, and how often when nothing is said. */
const PROGRAMS: Record<string, { run: (runs: number, seed?: number, from?: number) => boolean; usual: number }> = {
  edits: { run: fuzzEdits, usual: 1000 },
};

const [name, runs, seed, from] = process.argv.slice(2);
const program = PROGRAMS[name];
if (!program) {
  console.error(`Give one of: ${Object.keys(PROGRAMS).join(', ')}`);
  process.exitCode = 2;
} else
  process.exitCode = program.run(Number(runs) || program.usual, Number(seed) || undefined, Number(from) || undefined)
    ? 0
    : 1;
