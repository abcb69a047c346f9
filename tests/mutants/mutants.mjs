#!/usr/bin/env node
/**
 * `npm run mutants [-- part or file …] [--force]`: changes the model line by line and tells which changes no test notices.
 * Long, so not part of `npm test`. Each part of PARTS is judged by the tests that belong to it; a file that is no part's by
 * all unit tests. What was found before is kept and only what changed is run again; `--force` runs everything. Survivors
 * that stay are explained in survivors.md.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
/** What is changed → the tests that have to notice. */
const PARTS = {
  'shared/statistics': ['tests/statistics/*.test.ts'],
  'shared/string': ['tests/string/*.test.ts', 'tests/reference/string.test.ts'],
  'shared/sensor': ['tests/sensor/*.test.ts', 'tests/reference/comb*.test.ts'],
  'shared/audio/loudness.ts': ['tests/reference/loudness.test.ts', 'tests/audio/{spectrum,level-match}.test.ts'],
  'shared/circuit/solve.ts': ['tests/circuit/solver.test.ts', 'tests/reference/circuit-*.test.ts'],
  'shared/circuit/harness.ts': ['tests/circuit/*.test.ts', 'tests/reference/circuit-*.test.ts'],
  'shared/response': ['tests/response/*.test.ts', 'tests/audio/level-match.test.ts'],
};
const KEPT = 'node_modules/.cache/comb-and-coil/mutants';
const FOUND = ['Killed', 'Timeout'];
const MISSED = ['Survived', 'NoCoverage'];

const isFolder = path => statSync(`${root}${path}`).isDirectory();
const testsOf = path => Object.entries(PARTS).find(([part]) => path === part || path.startsWith(`${part}/`))?.[1];

function run(path, force) {
  const tests = testsOf(path);
  execFileSync(
    `${root}node_modules/.bin/stryker`,
    [
      'run',
      ...['--mutate', isFolder(path) ? `${path}/**/*.ts` : path],
      ...['--incremental', '--incrementalFile', `${KEPT}/${path.replaceAll('/', '-')}.json`],
      ...(force ? ['--force'] : []),
    ],
    { cwd: root, stdio: 'inherit', env: { ...process.env, ...(tests && { MUTANTS_TESTS: tests.join(' ') }) } },
  );
  return JSON.parse(readFileSync(`${root}${KEPT}/report.json`, 'utf8')).files;
}

const asked = process.argv.slice(2).map(path => path.replace(/\/$/, ''));
const paths = asked.filter(path => !path.startsWith('--'));
const scores = [];
for (const path of paths.length > 0 ? paths : Object.keys(PARTS)) {
  let files;
  try {
    files = run(path, asked.includes('--force'));
  } catch {
    scores.push(`not run: ${path}, see above`);
    process.exitCode = 1;
    continue;
  }
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
