/**
 * `npm run fuzz -- PROGRAM [RUNS] [SEED] [FROM]`: long random programs. FROM goes on where a run was broken off; a failure
 * is told as the shortest case found and kept in `found/`.
 */
import { installEngine } from '../../shared/audio/binary.ts';
import { compiledEngine } from '../../src/bundling/engine-binary.ts';
import { run } from './program.ts';
import { PROGRAMS } from './programs.ts';

const [name, runs, seed, from] = process.argv.slice(2);
const program = PROGRAMS[name];
if (!program) {
  console.error(`Give one of: ${Object.keys(PROGRAMS).join(', ')}`);
  process.exitCode = 2;
} else {
  installEngine(await compiledEngine());
  const done = run(program, {
    name,
    runs: Number(runs) || program.usual,
    seed: Number(seed) || Date.now() % 1e6,
    from: Number(from) || 0,
  });
  process.exitCode = done ? 0 : 1;
}
