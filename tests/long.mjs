#!/usr/bin/env node
/**
 * `npm run long` lists what is too long for `npm test`, `npm run long -- NAME [TIMES]` runs one: the tests that `npm test`
 * runs briefly, with more cases, opens or kills. Plain Node.
 */
import { spawnSync } from 'node:child_process';
import { pathToFileURL } from 'node:url';
import { root } from '../src/cli/start.mjs';
import { chromium } from './chromium.mjs';

/** What grows, to how much, in which tests. */
export const LONG = {
  draws: {
    what: 'random circuits drawn and dips found, twenty times as many',
    grows: 'DRAWS',
    usual: 20,
    tests: ['--project', 'unit', 'tests/circuit/drawing', 'tests/response/dips'],
  },
  sessions: {
    what: 'a thousand opens of every station, panel and dialog, after which nothing may be left behind',
    grows: 'OPENS',
    usual: 1000,
    tests: ['--project', 'browser', 'tests/browser/long-session'],
  },
  kills: {
    what: 'fifty kills of the browser at random moments, which may lose nothing that was journalled',
    grows: 'KILLS',
    usual: 50,
    tests: ['--project', 'browser', 'tests/browser/kept', '-t', 'a killed browser'],
  },
};

/** The list, with the other long programs. */
export const listed = () =>
  [
    ...Object.entries(LONG).map(([name, { what }]) => [`npm run long -- ${name}`, what]),
    ['npm run fuzz -- documents', 'random documents without end; edits, links, units and wav likewise'],
    ['npm run mutants', 'which changes of the model no test would notice'],
    ['npm run bench', 'speed, as ratios from one run'],
  ]
    .map(([command, what]) => `  ${command.padEnd(27)}${what}`)
    .join('\n');

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const [name, times] = process.argv.slice(2);
  const program = Object.hasOwn(LONG, name ?? '') ? LONG[name] : undefined;
  if (!program) {
    console.log(`Give one of: ${Object.keys(LONG).join(', ')}\n${listed()}`);
    process.exitCode = name ? 2 : 0;
  } else {
    const env = { ...process.env, CHROMIUM_PATH: chromium(), [program.grows]: times ?? String(program.usual) };
    const { status } = spawnSync(`${root}node_modules/.bin/vitest`, ['run', ...program.tests], {
      cwd: root,
      env,
      stdio: 'inherit',
    });
    process.exitCode = status ?? 1;
  }
}
