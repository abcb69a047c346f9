/** Where Chromium is, for every program that starts one; on Debian as root it is installed when there is none. Plain Node. */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const PLACES = [
  process.env.CHROMIUM_PATH,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/snap/bin/chromium',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];
export const findChromium = () => PLACES.find(place => place && existsSync(place));

/** Path of a Chromium. */
export function chromium() {
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
