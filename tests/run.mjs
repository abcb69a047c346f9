#!/usr/bin/env node
/** `npm test`: installs what is missing, finds or installs Chromium, then runs every check. Plain Node. */
import { execFileSync } from 'node:child_process';
import { installIfMissing, root } from '../src/cli/start.mjs';
import { chromium } from './chromium.mjs';
import { listed } from './long.mjs';

installIfMissing();
const env = { ...process.env, CHROMIUM_PATH: chromium() };
const bin = name => `${root}node_modules/.bin/${name}`;

// quick ones first
const STEPS = [
  ['types', bin('tsc'), ['-p', 'tsconfig.json']],
  ['lint', bin('biome'), ['check', '--error-on-warnings', '.']],
  ['unused code', bin('knip'), []],
  ['the model and the parts', bin('vitest'), ['run', '--project', 'unit']],
  ['the page in a browser', bin('vitest'), ['run', '--project', 'browser']],
];
const took = [];
for (const [name, command, args] of STEPS) {
  console.log(`\n— ${name}`);
  const start = performance.now();
  try {
    execFileSync(command, args, { cwd: root, env, stdio: 'inherit' });
  } catch {
    console.error(`\nThe check "${name}" failed.`);
    process.exit(1);
  }
  took.push(`${name} ${Math.round((performance.now() - start) / 1000)} s`);
}
console.log(`\nAll checks passed: ${took.join(', ')}.\nLonger programs, each for itself:\n${listed()}`);
