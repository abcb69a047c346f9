/** One browser for a test file, a fresh profile for each test, and no test that passes over an error of the page. */
import type { Browser, BrowserContext, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, inject } from 'vitest';
import { launchChromium } from '../chromium.ts';
import { listen } from '../hearing.ts';

export interface Visits {
  /**
   * Opens the page in a profile of its own. `hash` is a share link's fragment; `prepare` acts on the tab before the page
   * opens. Whatever sounds is heard.
   */
  visit(hash?: string, options?: BrowserContextOptions, prepare?: (page: Page) => Promise<void>): Promise<Page>;
}

/**
 * Call once at the top of a test file. After each test its profiles are closed, and whatever the page threw or logged as
 * an error fails the test.
 */
export function visits(...args: string[]): Visits {
  let browser: Browser;
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
  return {
    async visit(hash = '', options = {}, prepare) {
      const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
      contexts.push(context);
      const page = await context.newPage();
      page.on('pageerror', error => problems.push(error.message));
      page.on('console', message => message.type() === 'error' && problems.push(message.text()));
      await listen(page);
      await prepare?.(page);
      await page.goto(inject('page') + hash);
      await page.locator('cc-readings cc-plot svg .curve').first().waitFor();
      return page;
    },
  };
}
