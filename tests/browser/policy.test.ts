/**
 * The content policy: whatever a person does on the page keeps to it, and what an attacker would do is stopped by it. The page
 * is served with the headers of `npm start`.
 */
import type { Page } from 'playwright-core';
import { expect, inject, onTestFinished, test } from 'vitest';
import { words } from '../../src/words/keep-words.ts';
import { words as pageWords } from '../../src/words/page-words.ts';
import { launchChromium } from './chromium.ts';
import { visits } from './harness/browser.ts';
import { Dock } from './harness/dock.ts';

const { profile, visitIn } = visits();

declare global {
  interface Window {
    /** What the policy did not allow. */
    reports?: string[];
  }
}

const watch = async (page: Page): Promise<void> => {
  await page.addInitScript(() => {
    window.reports = [];
    document.addEventListener('securitypolicyviolation', ({ effectiveDirective, blockedURI, sample, disposition }) =>
      window.reports?.push(`${disposition} ${effectiveDirective} ${blockedURI} ${sample}`),
    );
  });
};
const reports = (page: Page) => page.evaluate(() => window.reports);

test('playing, switching, rendering and printing on every bench keep to the policy', async () => {
  const page = await visitIn(await profile(), '', watch);
  const dock = new Dock(page);
  await dock.play();
  await dock.hear('B');
  await dock.measured();
  await page.getByRole('group', { name: 'Sheet' }).getByRole('button', { name: words.render, exact: true }).click();
  const dialog = page.locator('cc-render');
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    dialog.getByRole('button', { name: words.start, exact: true }).click(),
  ]);
  expect(download.suggestedFilename()).toMatch(/\.(wav|zip)$/);
  await page.keyboard.press('Escape');
  await page.getByRole('link', { name: pageWords.benches.paper, exact: true }).click();
  await page.locator('cc-paper .page svg text').first().waitFor();
  await page.emulateMedia({ media: 'print' });
  await page.evaluate(() => new Promise(drawn => requestAnimationFrame(() => requestAnimationFrame(drawn))));
  expect((await page.pdf({ preferCSSPageSize: true })).length).toBeGreaterThan(10_000);
  expect(await reports(page)).toEqual([]);
});

test('scripts in the page, from elsewhere and out of texts are stopped, by the page alone and by the headers', async () => {
  const response = await fetch(inject('page'));
  const sent = response.headers.get('content-security-policy') ?? '';
  expect(sent).not.toMatch(/unsafe-eval'(?<!'wasm-unsafe-eval')|script-src[^;]*unsafe-inline|\*/);
  expect(await response.text()).not.toMatch(/<script(?![^>]* src=)|\son\w+=|<style/);
  // not a visit: what is stopped is an error to the console
  const browser = await launchChromium();
  onTestFinished(() => browser.close());
  const page = await browser.newPage();
  await watch(page);
  // a host that sends nothing: the page's own text must do
  await page.route(inject('page'), async route => {
    const shipped = await route.fetch();
    const { 'content-security-policy': _, ...headers } = shipped.headers();
    await route.fulfill({ response: shipped, headers });
  });
  await page.goto(inject('page'));
  await page.locator('cc-dock').waitFor();
  const ran = await page.evaluate(async () => {
    const tries: Record<string, () => unknown> = {
      markup: () => {
        document.body.insertAdjacentHTML('beforeend', '<img src=x onerror="window.ran = 1">');
      },
      text: () => new Function('window.ran = 1')(),
      worker: () => new Worker(`${location.href}sw.js`),
    };
    const passed: string[] = [];
    // what a test asks for at once is let through
    await new Promise(resolve => setTimeout(resolve));
    for (const [name, attempt] of Object.entries(tries))
      try {
        attempt();
        passed.push(name);
      } catch {
        // stopped
      }
    await new Promise(resolve => setTimeout(resolve, 100));
    return [...passed, ...('ran' in window ? ['it ran'] : [])];
  });
  expect(ran).toEqual([]);
  const stopped = (await reports(page)) ?? [];
  expect(stopped.some(one => one.includes('require-trusted-types-for'))).toBe(true);
});
