#!/usr/bin/env node
/**
 * `npm run mutants [-- part or file …] [--force]`: changes the model line by line and tells which changes no test notices.
 * Long, so not part of `npm test`. Each part of PARTS is judged by the tests that belong to it; a file that is no part's by
 * all unit tests. Of a part with a share only that many mutants are drawn (sample.mjs), the same ones every time. The engine's
 * inner part (audio/vector) is compiled by another compiler and no part's. What was found before is kept and only what changed is
 * run again; `--force` runs everything. Survivors that stay are explained in
 * survivors.md.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
/**
 * What is changed → the tests that have to notice, in that order, and the share of changes that is tried where it is not all.
 * What runs for minutes (the simulator, the walk over all figures, hundreds of drawings) is left out: what it alone would
 * notice counts as missed.
 */
const PARTS = {
  'shared/*.ts': { tests: ['units', 'decibels', 'golden-section', 'parts/text-in-files'], share: 0.15 },
  'shared/statistics': { tests: ['statistics/binomial', 'statistics/bradley-terry', 'statistics/preference'] },
  'shared/string': { tests: ['reference/string', 'string/string', 'string/names'], share: 0.4 },
  'shared/sensor': {
    tests: [
      ...['reference/comb', 'sensor/placement', 'sensor/alignment', 'sensor/typical', 'reference/comb-through-load'],
      ...['sensor/sensing', 'sensor/limits', 'sensor/field'],
    ],
    share: 0.06,
  },
  'shared/circuit/*.ts': {
    tests: [
      ...['reference/circuit-values', 'reference/circuit-by-hand', 'circuit/silence', 'circuit/harness'],
      'circuit/solve',
    ],
    share: 0.035,
  },
  'shared/circuit/drawing': { tests: ['circuit/drawing'], share: 0.04 },
  'shared/response': {
    tests: [
      ...['noticeable', 'mixing', 'load-line', 'uncombed', 'sound-graph', 'response', 'kernel', 'dips', 'uncolour'],
      'heard-loudness',
    ].map(name => `response/${name}`),
    share: 0.03,
  },
  'shared/audio/*.ts': {
    tests: [
      ...[
        'fft',
        'loop',
        'level-match',
        'spectrum',
        'loudness',
        'limiter',
        'convolver',
        'engine',
        'laws',
        'resample',
        'wav',
      ].map(name => `audio/${name}`),
      'reference/loudness',
    ],
    share: 0.04,
  },
  'shared/document': {
    tests: [
      ...[
        'bounds',
        'parse-build',
        'parse-sheet',
        'schema',
        'difference',
        'edits/blend',
        'edits/builds',
        'edits/pickups',
        'edits/counts',
      ],
      ...['edits/instrument', 'edits/settle', 'edits/sequences'],
    ].map(name => `document/${name}`),
    share: 0.06,
  },
  'shared/take': {
    tests: [
      ...[
        'own/compressed-header',
        'own/guess-channels',
        'own/sound-key',
        'own/prepare',
        'recorded-strings',
        'heard-strings',
      ],
      ...['take', 'own/estimate', 'estimate'],
    ].map(name => `take/${name}`),
    share: 0.03,
  },
};
const testFiles = names => names?.map(name => `tests/${name}.test.ts`).join(' ');
const KEPT = 'node_modules/.cache/comb-and-coil/mutants';
const FOUND = ['Killed', 'Timeout'];
const MISSED = ['Survived', 'NoCoverage'];

const isFolder = path => !path.includes('*') && statSync(`${root}${path}`).isDirectory();
const partOf = path =>
  Object.entries(PARTS).find(
    ([part]) =>
      path === part || path.startsWith(`${part}/`) || (path.endsWith('.ts') && `${dirname(path)}/*.ts` === part),
  )?.[1];

function run(path, force) {
  const tests = partOf(path)?.tests;
  const share = PARTS[path]?.share ?? 1;
  execFileSync(
    `${root}node_modules/.bin/stryker`,
    [
      'run',
      ...['--mutate', isFolder(path) ? `${path}/**/*.ts` : path],
      ...['--incremental', '--incrementalFile', `${KEPT}/${path.replaceAll(/[^a-z]+/g, '-')}.json`],
      ...(share < 1 ? ['--checkers', 'sample'] : []),
      ...(force ? ['--force'] : []),
    ],
    {
      cwd: root,
      stdio: 'inherit',
      env: { ...process.env, MUTANTS_SHARE: share, ...(tests && { MUTANTS_TESTS: testFiles(tests) }) },
    },
  );
  return JSON.parse(readFileSync(`${root}${KEPT}/report.json`, 'utf8')).files;
}

/** Between which shares the score of all changes lies with 95 %, `found` of `tried` drawn ones: Wilson (1927), JASA 22, 209. */
function interval(found, tried) {
  const z = 1.96;
  const middle = (found + z ** 2 / 2) / (tried + z ** 2);
  const half = (z / (tried + z ** 2)) * Math.sqrt((found * (tried - found)) / tried + z ** 2 / 4);
  return [middle - half, middle + half];
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
  const [low, high] = interval(found, found + missed).map(share => (100 * share).toFixed(0));
  scores.push(
    `${((100 * found) / (found + missed)).toFixed(1).padStart(5)} % of ${found + missed} found in ${path}${PARTS[path]?.share ? `, ${PARTS[path].share} of all drawn: ${low} to ${high} %` : ''}`,
  );
}
console.log(`\n${scores.join('\n')}`);
