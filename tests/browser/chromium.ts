/** Finds and starts the browser for the tests. */
import { type Browser, chromium } from 'playwright-core';
import { findChromium } from '../chromium.mjs';

/** Where Chromium is; throws a sentence that says what to do where there is none. */
export function chromiumPath(): string {
  const executablePath = findChromium();
  if (executablePath === undefined)
    throw new Error('no Chromium found: install it (on Debian: apt-get install chromium) or set CHROMIUM_PATH to one');
  return executablePath;
}

/**
 * Features that are off. The browser heeds the last list only, so Playwright's own is here once more; and the first three
 * are pages of the browser itself, rendered behind the address bar of each new window at half the cost of opening ours.
 */
const WITHOUT = [
  'WebUIOmniboxPopup',
  'WebUIOmniboxAimPopup',
  'WebUIOmniboxFullPopup',
  'AimEnabled',
  'AvoidCorsURLLoaderRestartOnRedirect',
  'AvoidUnnecessaryBeforeUnloadCheckSync',
  'DestroyProfileOnBrowserClose',
  'HttpsFirstBalancedModeAutoEnable',
  'HttpsUpgrades',
  'LensOverlay',
  'MediaRouter',
  'NetworkTimeServiceQuerying',
  'OptimizationHints',
  'PaintHolding',
  'PreconnectToSearch',
  'TcpPortRandomizationWin',
  'ThirdPartyStoragePartitioning',
];

/** How long a test waits for what must come, ms. */
const PATIENCE = 120_000;

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
      `--disable-features=${WITHOUT.join()}`,
      ...args,
    ],
  });
  const newContext = browser.newContext.bind(browser);
  browser.newContext = async options => {
    const context = await newContext({ serviceWorkers: 'block', ...options });
    // against hanging, not against slowness
    context.setDefaultTimeout(PATIENCE);
    return context;
  };
  return browser;
}
