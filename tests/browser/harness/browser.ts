/** One browser for a test file, first visits to the page in it, and no test that passes over an error of the page. */
import type { Browser, BrowserContext, BrowserContextOptions, CDPSession, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, inject } from 'vitest';
import { launchChromium } from '../chromium.ts';
import { listen } from '../hearing.ts';

const SCREEN = { width: 1440, height: 900 };

/** How a person has set up screen and browser. */
export interface Look {
  viewport?: { width: number; height: number };
  colorScheme?: 'light' | 'dark';
  forcedColors?: 'active' | 'none';
  reducedMotion?: 'reduce' | 'no-preference';
}

export interface Visits {
  /**
   * Opens the page as if for the first time, in the one tab of the file: nothing is kept from the visit before, but the
   * browser has read and compiled the page already, which is more than half of what a profile of its own costs. `address` is
   * what follows the page's own: a query, a share link's fragment. Whatever sounds is heard.
   */
  visit(address?: string, look?: Look): Promise<Page>;
  /** A profile of its own, for permissions, a finger, several tabs. */
  profile(options?: BrowserContextOptions): Promise<BrowserContext>;
  /** Opens the page in a new tab of a profile. `prepare` acts on the tab before the page opens. */
  visitIn(context: BrowserContext, address?: string, prepare?: (page: Page) => Promise<void>): Promise<Page>;
}

/** Waits until the bench of the address is drawn. */
export const drawn = (page: Page): Promise<void> =>
  page
    .locator(page.url().includes('bench=paper') ? 'cc-paper .page' : 'cc-readings cc-plot svg .curve')
    .first()
    .waitFor();

/** The page that is left writes nothing more, so that storage stays empty once it has been emptied. */
const silence = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const nothing = () => undefined;
    Object.assign(Storage.prototype, { setItem: nothing });
    Object.assign(IDBFactory.prototype, { open: nothing });
    Object.assign(IDBDatabase.prototype, { transaction: nothing });
  });

/** The one tab of a file; `leaving` is told before and after what the page that is left may complain of. */
class Tab {
  readonly page: Page;
  readonly #devtools: CDPSession;
  readonly #leaving: (leaving: boolean) => void;
  #visited = 0;

  private constructor(page: Page, devtools: CDPSession, leaving: (leaving: boolean) => void) {
    this.page = page;
    this.#devtools = devtools;
    this.#leaving = leaving;
  }

  static async of(context: BrowserContext, page: Page, leaving: (leaving: boolean) => void): Promise<Tab> {
    // only the first document of a visit begins with nothing; a reload finds what was kept
    await page.addInitScript(() => {
      const visit = new URLSearchParams(location.search).get('visit');
      if (visit === null || window.name === visit) return;
      window.name = visit;
      localStorage.clear();
      sessionStorage.clear();
    });
    return new Tab(page, await context.newCDPSession(page), leaving);
  }

  async open(address: string, { viewport = SCREEN, colorScheme, forcedColors, reducedMotion }: Look): Promise<void> {
    const { page } = this;
    const url = new URL(address, inject('page'));
    url.searchParams.set('visit', String(++this.#visited));
    if (this.#visited > 1) await silence(page);
    await page.mouse.move(0, 0);
    await page.setViewportSize(viewport);
    await page.emulateMedia({
      media: null,
      colorScheme: colorScheme ?? null,
      forcedColors: forcedColors ?? null,
      reducedMotion: reducedMotion ?? null,
    });
    await this.#devtools.send('Storage.clearDataForOrigin', { origin: url.origin, storageTypes: 'all' });
    this.#leaving(true);
    await page.goto(url.href, { waitUntil: 'commit' });
    this.#leaving(false);
    await drawn(page);
  }
}

/**
 * Call once at the top of a test file; arguments go to the browser. After each test its own profiles are closed, and
 * whatever the page threw or logged as an error fails the test.
 */
export function visits(...args: string[]): Visits {
  let browser: Browser;
  let tab: Tab | undefined;
  let leaving = false;
  const contexts: BrowserContext[] = [];
  const problems: string[] = [];
  beforeAll(async () => {
    browser = await launchChromium(...args);
  });
  afterAll(() => browser?.close());
  afterEach(async () => {
    for (const context of contexts.splice(0)) await context.close();
    expect(problems.splice(0)).toEqual([]);
  });

  async function newTab(context: BrowserContext): Promise<Page> {
    const page = await context.newPage();
    page.on('pageerror', error => problems.push(error.message));
    page.on('console', message => message.type() === 'error' && problems.push(message.text()));
    await listen(page);
    return page;
  }
  async function firstTab(): Promise<Tab> {
    const context = await browser.newContext({ viewport: SCREEN });
    const page = await newTab(context);
    page.on('framenavigated', () => leaving && problems.splice(0));
    return Tab.of(context, page, now => {
      leaving = now;
    });
  }

  return {
    async visit(address = '', look = {}) {
      tab ??= await firstTab();
      await tab.open(address, look);
      return tab.page;
    },
    async profile(options = {}) {
      const context = await browser.newContext({ viewport: SCREEN, ...options });
      contexts.push(context);
      return context;
    },
    async visitIn(context, address = '', prepare) {
      const page = await newTab(context);
      await prepare?.(page);
      await page.goto(inject('page') + address);
      await drawn(page);
      return page;
    },
  };
}
