/** Finds and starts the browser for the tests. */
import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

const PLACES = [
  process.env.CHROMIUM_PATH,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/snap/bin/chromium',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];

/** Where Chromium is; throws a sentence that says what to do where there is none. */
export function chromiumPath(): string {
  const executablePath = PLACES.find(place => place !== undefined && place !== '' && existsSync(place));
  if (executablePath === undefined)
    throw new Error('no Chromium found: install it (on Debian: apt-get install chromium) or set CHROMIUM_PATH to one');
  return executablePath;
}

/**
 * A headless Chromium. Profiles are without service workers unless a test asks for them (`serviceWorkers: 'allow'`): what a
 * worker answers from its cache no test could hold back or spoil.
 */
export async function launchChromium(...args: string[]): Promise<Browser> {
  const browser = await chromium.launch({
    executablePath: chromiumPath(),
    args: [
      '--no-sandbox',
      '--disable-background-networking',
      '--disable-component-update',
      '--no-first-run',
      '--disable-dev-shm-usage',
      ...args,
    ],
  });
  const newContext = browser.newContext.bind(browser);
  browser.newContext = options => newContext({ serviceWorkers: 'block', ...options });
  return browser;
}
