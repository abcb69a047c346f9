#!/usr/bin/env node
/**
 * `npm run mutants [-- folder or file …]`: changes the model line by line and tells which changes no test notices. Long,
 * so not part of `npm test`. What is not named is taken to be CORE. Survivors that stay are explained in survivors.md.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const CORE = [
  'shared/statistics',
  'shared/audio/loudness.ts',
  'shared/string',
  'shared/sensor',
  'shared/response',
  'shared/circuit/solve.ts',
  'shared/circuit/harness.ts',
];
const REPORT = `${root}node_modules/.cache/comb-and-coil/mutants/report.json`;
const FOUND = ['Killed', 'Timeout'];
const MISSED = ['Survived', 'NoCoverage'];

const asked = process.argv.slice(2).map(path => path.replace(/\/$/, ''));
const scores = [];
for (const path of asked.length > 0 ? asked : CORE) {
  const pattern = statSync(`${root}${path}`).isDirectory() ? `${path}/**/*.ts` : path;
  try {
    execFileSync(`${root}node_modules/.bin/stryker`, ['run', '-m', pattern], { cwd: root, stdio: 'inherit' });
  } catch {
    scores.push(`not run: ${path}, see above`);
    process.exitCode = 1;
    continue;
  }
  const { files } = JSON.parse(readFileSync(REPORT, 'utf8'));
  let [found, missed] = [0, 0];
  for (const [file, { source, mutants }] of Object.entries(files)) {
    const lines = source.split('\n');
    found += mutants.filter(mutant => FOUND.includes(mutant.status)).length;
    for (const { status, location, replacement } of mutants.filter(mutant => MISSED.includes(mutant.status))) {
      missed++;
      const { start, end } = location;
      const was =
        start.line === end.line
          ? lines[start.line - 1].slice(start.column - 1, end.column - 1)
          : lines[start.line - 1].trim();
      console.log(
        `${file}:${start.line} ${status === 'NoCoverage' ? '(no test) ' : ''}${was} → ${replacement.replaceAll(/\s+/g, ' ')}`,
      );
    }
  }
  scores.push(`${((100 * found) / (found + missed)).toFixed(1).padStart(5)} % of ${found + missed} found in ${path}`);
}
console.log(`\n${scores.join('\n')}`);
