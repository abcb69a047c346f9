#!/usr/bin/env node
/** `npm test`: installs what is missing, finds or installs Chromium, then runs every check. Plain Node. */
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { installIfMissing, root } from '../src/cli/start.mjs';

const PLACES = [
  process.env.CHROMIUM_PATH,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/snap/bin/chromium',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];
const findChromium = () => PLACES.find(place => place && existsSync(place));

/** Path of a Chromium; on Debian as root it is installed when there is none. */
function chromium() {
  const found = findChromium();
  if (found) return found;
  if (existsSync('/etc/debian_version') && process.getuid?.() === 0) {
    console.log('Installing Chromium …');
    const quiet = {
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    };
    spawnSync('apt-get', ['update', '-qq'], quiet);
    spawnSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', 'chromium'], quiet);
  }
  const installed = findChromium();
  if (installed) return installed;
  console.error(
    'The browser tests need Chromium and none was found. Install it (on Debian: apt-get install chromium) ' +
      'or set CHROMIUM_PATH to a Chromium or Chrome, then run npm test again.',
  );
  process.exit(1);
}

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
for (const [name, command, args] of STEPS) {
  console.log(`\n— ${name}`);
  try {
    execFileSync(command, args, { cwd: root, env, stdio: 'inherit' });
  } catch {
    console.error(`\nThe check "${name}" failed.`);
    process.exit(1);
  }
}
