/** The built page without a network, and an update while it is open. */
import { readFile } from 'node:fs/promises';
import { createServer, type Server } from 'node:http';
import { extname, join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { words } from '../../src/words/keep-words.ts';
import { launchChromium } from './chromium.ts';
import { listen, peak } from './hearing.ts';
import { buildSite } from './site.ts';

const TYPES: Record<string, string> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.json': 'application/json',
  '.webmanifest': 'application/manifest+json',
  '.wasm': 'application/wasm',
};
let browser: Browser;
let server: Server;
let url = '';
/** What the served worker ends with: another text is another version. */
let version = '';

beforeAll(async () => {
  const folder = await buildSite('page');
  server = createServer(async (request, response) => {
    const path = new URL(request.url ?? '/', 'http://x').pathname;
    const name = path === '/' ? 'index.html' : path.slice(1);
    try {
      const bytes = await readFile(join(folder, name));
      response.writeHead(200, {
        'content-type': TYPES[extname(name)] ?? 'application/octet-stream',
        'cache-control': 'no-cache',
      });
      response.end(name === 'sw.js' ? `${bytes}\n// ${version}` : bytes);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise<void>(done => server.listen(0, '127.0.0.1', done));
  url = `http://127.0.0.1:${(server.address() as { port: number }).port}/`;
  browser = await launchChromium();
});
afterAll(async () => {
  await browser?.close();
  server?.close();
});

const drawn = (page: Page) => page.locator('cc-readings cc-plot svg .curve').first().waitFor();
const ready = (page: Page) => page.evaluate(async () => void (await navigator.serviceWorker.ready));

test('after one visit the page opens and plays with no network; an update is offered, and the open page works on', async () => {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, serviceWorkers: 'allow' });
  const page = await context.newPage();
  const problems: string[] = [];
  page.on('pageerror', error => problems.push(error.message));
  await listen(page);
  await page.goto(url);
  await drawn(page);
  await ready(page);
  await context.setOffline(true);
  await page.reload();
  await drawn(page);
  // the take, its worker and the worklet are there as well
  await page.locator('cc-dock button.play').click();
  await expect.poll(() => peak(page)).toBeGreaterThan(1e-3);
  await page.locator('cc-dock button.play').click();
  expect(problems).toEqual([]);

  await context.setOffline(false);
  version = 'next';
  await page.evaluate(async () => void (await (await navigator.serviceWorker.ready).update()));
  await page.getByText(words.update).waitFor();
  await page.locator('cc-path button.station').nth(2).click();
  await drawn(page);
  await Promise.all([page.waitForEvent('load'), page.getByRole('button', { name: words.takeUpdate }).click()]);
  await drawn(page);
  expect(await page.getByText(words.update).count()).toBe(0);
  expect(problems).toEqual([]);
  await context.close();
});
