/** Nothing is lost: a killed browser, blocked storage, full storage, a reload, on the built page in a real browser. */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, inject, test } from 'vitest';
import { usualBlend } from '../../shared/circuit/usual.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { readLink, writeLink } from '../../src/files/link.ts';
import { words } from '../../src/words/keep-words.ts';
import { chromiumPath, launchChromium } from './chromium.ts';

let browser: Browser;
const contexts: BrowserContext[] = [];
const problems: string[] = [];
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser?.close());
afterEach(async () => {
  for (const context of contexts.splice(0)) await context.close();
  expect(problems.splice(0)).toEqual([]);
});

async function fresh(): Promise<BrowserContext> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  contexts.push(context);
  return context;
}
async function visit(context: BrowserContext, hash = ''): Promise<Page> {
  const page = await context.newPage();
  page.on('pageerror', error => problems.push(error.message));
  await page.goto(inject('page') + hash);
  await drawn(page);
  return page;
}
const drawn = (page: Page) => page.locator('cc-readings cc-plot svg .curve').first().waitFor();
const title = (page: Page) => page.getByLabel('title of the sheet');
const rename = async (page: Page, name: string) => {
  await title(page).fill(name);
  await title(page).press('Enter');
};
/** The title in the journal: what is there was written in a transaction that has ended. */
const journalled = (page: Page) =>
  page.evaluate(
    () =>
      new Promise<string | null>(done => {
        const request = indexedDB.open('comb-and-coil-journal');
        request.onsuccess = () => {
          const database = request.result;
          const get = database.transaction('journal').objectStore('journal').get('kept');
          get.onsuccess = () => {
            done((get.result as { sheet: { title: string } } | undefined)?.sheet.title ?? null);
            database.close();
          };
        };
      }),
  );

describe('a reload', () => {
  test('keeps the way back, step by step, and what the demo took the place of', async () => {
    const page = await visit(await fresh());
    await rename(page, 'First');
    await rename(page, 'Second');
    await page.locator('cc-open').getByRole('button', { name: words.open }).click();
    await page.getByRole('button', { name: words.openDemo }).click();
    await expect.poll(() => title(page).inputValue()).toBe(demoSheet().title);
    await expect.poll(() => journalled(page)).toBe(demoSheet().title);
    await page.reload();
    await drawn(page);
    for (const name of ['Second', 'First', demoSheet().title]) {
      await page.keyboard.press('Control+z');
      await expect.poll(() => title(page).inputValue()).toBe(name);
    }
  });

  test('a link is a step that undo takes back', async () => {
    const context = await fresh();
    const own = await visit(context);
    await rename(own, 'Mine');
    await expect.poll(() => journalled(own)).toBe('Mine');
    await own.close();
    const linked = await visit(context, writeLink({ ...demoSheet(), title: 'Theirs' }));
    expect(await title(linked).inputValue()).toBe('Theirs');
    await linked.keyboard.press('Control+z');
    await expect.poll(() => title(linked).inputValue()).toBe('Mine');
    await expect.poll(() => linked.getByText(words.fromLink).count()).toBe(0);
  });
});

describe('a link', () => {
  test('says what it carries, and leaves listening results out when asked to', async () => {
    const context = await fresh();
    await context.grantPermissions(['clipboard-read', 'clipboard-write']);
    const trials = Array.from({ length: 5 }, () => ({ x: 0 as const, answer: 0 as const }));
    const sides = [
      { letter: 'A' as const, name: 'a' },
      { letter: 'B' as const, name: 'b' },
    ] as [{ letter: 'A'; name: string }, { letter: 'B'; name: string }];
    const runs = [
      { kind: 'blind' as const, at: '2026-01-01T00:00:00Z', take: 'x', point: 5 as const, builds: sides, trials },
    ];
    const page = await visit(context, writeLink({ ...demoSheet(), runs }));
    const copied = async () => {
      const read = readLink(new URL(await page.evaluate(() => navigator.clipboard.readText())).hash);
      return read.ok ? (read.sheet.runs?.length ?? 0) : null;
    };
    await page.getByRole('button', { name: 'Copy link', exact: true }).click();
    await page.getByText('2 builds, the choice of take, 1 listening result.').waitFor();
    expect(await copied()).toBe(1);
    await page.getByRole('button', { name: 'Copy it without the results' }).click();
    await page.getByText('no listening results.').waitFor();
    expect(await copied()).toBe(0);
  });
});

describe('storage that is not there', () => {
  test('blocked site data: the page works, and says once that it does not keep', async () => {
    const context = await fresh();
    await context.addInitScript(() => {
      const blocked = () => {
        throw new DOMException('blocked', 'SecurityError');
      };
      for (const name of ['localStorage', 'sessionStorage', 'indexedDB'])
        Object.defineProperty(window, name, { get: blocked });
    });
    const page = await visit(context);
    await rename(page, 'Unkept');
    await page.getByText(words.noStorage).waitFor();
    await rename(page, 'Unkept still');
    await page.keyboard.press('Control+z');
    await expect.poll(() => title(page).inputValue()).toBe('Unkept');
    expect(await page.getByText(words.noStorage).count()).toBe(1);
  });

  test('a damaged sheet in a full storage: the demo, and a line', async () => {
    const context = await fresh();
    await context.addInitScript(() => {
      if (localStorage.getItem('comb-and-coil/sheet') === null)
        localStorage.setItem('comb-and-coil/sheet', '{"format":');
      Storage.prototype.setItem = () => {
        throw new DOMException('full', 'QuotaExceededError');
      };
    });
    const page = await visit(context);
    await page.getByText(words.damaged.notKept).waitFor();
    expect(await title(page).inputValue()).toBe(demoSheet().title);
  });
});

test('a kept sheet that hangs in the air is set aside: it can be saved as it is, and opened without what hangs', async () => {
  const demo = demoSheet();
  const [{ letter, build }, ...rest] = demo.builds;
  const blend = usualBlend(build.pickups[0].id, 'nobody');
  const torn = { letter, build: { ...build, harness: { ...build.harness, blend } } };
  const text = JSON.stringify({ ...demo, title: 'Half whole', builds: [torn, ...rest] });
  const opened = async (): Promise<Page> => {
    const context = await fresh();
    await context.addInitScript(kept => {
      if (localStorage.getItem('comb-and-coil/sheet') === null) localStorage.setItem('comb-and-coil/sheet', kept);
    }, text);
    return visit(context);
  };
  const said = (page: Page) => page.locator('.notice', { hasText: 'there is no pickup "nobody"' });

  const page = await opened();
  await said(page).waitFor();
  expect(await title(page).inputValue()).toBe(demo.title);
  const download = page.waitForEvent('download');
  await said(page).getByRole('button', { name: words.saveRefused }).click();
  const file = await download;
  expect(file.suggestedFilename()).toBe(words.refusedFile);
  expect(readFileSync(await file.path(), 'utf8')).toBe(text);

  const again = await opened();
  await said(again).getByRole('button', { name: words.openRefused }).click();
  await expect.poll(() => title(again).inputValue()).toBe('Half whole');
  await again.getByText('the blend pot went with it').waitFor();
  await again.keyboard.press('Control+z');
  await expect.poll(() => title(again).inputValue()).toBe(demo.title);
});

describe('a killed browser', () => {
  const KILLS = Number(process.env.KILLS ?? 2);

  test(`${KILLS} kills at random moments lose nothing that was journalled`, {
    timeout: 120_000 + KILLS * 60_000,
  }, async () => {
    const profile = mkdtempSync(join(tmpdir(), 'killed-'));
    /** A browser of its own process group on the profile, reached over its debugging port. */
    const start = async () => {
      const child = spawn(
        chromiumPath(),
        [
          '--headless=new',
          '--no-sandbox',
          '--no-first-run',
          '--disable-dev-shm-usage',
          '--remote-debugging-port=0',
          `--user-data-dir=${profile}`,
          'about:blank',
        ],
        { detached: true, stdio: ['ignore', 'ignore', 'pipe'] },
      );
      const address = await new Promise<string>(done => {
        let said = '';
        child.stderr.on('data', chunk => {
          said += chunk;
          const found = /DevTools listening on (ws:\S+)/.exec(said);
          if (found) done(found[1]);
        });
      });
      const connected = await chromium.connectOverCDP(address);
      const [context] = connected.contexts();
      const page = await context.newPage();
      await page.goto(inject('page'));
      await drawn(page);
      return {
        page,
        kill: () => process.kill(-child.pid!, 'SIGKILL'),
        gone: new Promise(done => child.once('exit', done)),
      };
    };
    const last = (name: string | null) => Number(/^edit (\d+)$/.exec(name ?? '')?.[1] ?? 0);
    try {
      let safe = 0;
      for (let round = 0; round <= KILLS; round++) {
        const { page, kill, gone } = await start();
        expect(last(await title(page).inputValue())).toBeGreaterThanOrEqual(safe);
        const before = safe;
        const until = Date.now() + 3000 * Math.random();
        for (let n = safe + 1; Date.now() < until || safe === before; n++) {
          await rename(page, `edit ${n}`);
          safe = Math.max(safe, last(await journalled(page)));
        }
        kill();
        await gone;
      }
    } finally {
      rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
    }
  });
});
