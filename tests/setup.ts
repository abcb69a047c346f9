/**
 * Before each test file: hands the engine's binary to this thread, and gives every property the same cases in every run, so
 * that a change is judged by itself alone. Other cases: `SEED=random npm test` or `SEED=7 npm test`, and the fuzz programs.
 */
import fc from 'fast-check';
import { installEngine } from '../shared/audio/binary.ts';
import { compiledEngine } from '../src/bundling/engine-binary.ts';

const seed = process.env.SEED ?? '1954';
fc.configureGlobal(seed === 'random' ? {} : { seed: Number(seed) });
installEngine(await compiledEngine());
