/**
 * `npm run bench`: prints what things cost, part after part. A new part is a file here with a function that prints, listed
 * below. Words after the command choose parts: `npm run bench -- engine`.
 */
import { cpus } from 'node:os';
import { installEngine } from '../../shared/audio/binary.ts';
import { compiledEngine } from '../../src/bundling/engine-binary.ts';
import engine from './engine-bench.ts';
import page from './page-bench.ts';
import play from './play-bench.ts';
import solver from './solver-bench.ts';
import wav from './wav-bench.ts';

const PARTS: Record<string, () => Promise<void>> = { engine, solver, page, play, wav };

const chosen = process.argv.slice(2);
const unknown = chosen.filter(word => !(word in PARTS));
if (unknown.length > 0) {
  console.error(`No part called ${unknown.join(', ')}; there are: ${Object.keys(PARTS).join(', ')}.`);
  process.exit(2);
}
console.log(`${cpus()[0]?.model ?? 'unknown processor'}, ${cpus().length} cores, Node ${process.versions.node}`);
installEngine(await compiledEngine());
for (const [name, part] of Object.entries(PARTS)) if (chosen.length === 0 || chosen.includes(name)) await part();
