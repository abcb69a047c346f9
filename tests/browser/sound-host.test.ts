/** The page's own sound host in a real browser: its first blocks, its clock, which string a live input becomes. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, inject, test } from 'vitest';
import { launchChromium } from './chromium.ts';
import type { SoundHostFixture } from './fixtures/sound-host.ts';

declare const window: { soundHost: SoundHostFixture; spent: number[]; AudioWorkletNode: typeof AudioWorkletNode };

let browser: Browser;
let page: Page;

beforeAll(async () => {
  browser = await launchChromium('--use-fake-device-for-media-stream', '--use-fake-ui-for-media-stream');
});
afterAll(() => browser?.close());
afterEach(() => page?.context().close());

async function open(hash = '', prepare?: (fresh: Page) => Promise<void>): Promise<void> {
  const context = await browser.newContext();
  page = await context.newPage();
  await prepare?.(page);
  await page.goto(`${inject('fixtures')}sound-host.html${hash}`);
  await page.waitForFunction(() => 'soundHost' in window);
}
const loudest = (reports: number) => page.evaluate(n => window.soundHost.loudest(n), reports);

test('the first sound rises from nothing over a few tenths of a second, whatever the volume', async () => {
  await open('#held');
  await page.evaluate(() => window.soundHost.release());
  await loudest(40);
  const reports = await page.evaluate(() =>
    window.soundHost.meters.map(({ blocks, outputs }) => ({ blocks, peak: 10 ** (outputs[0].peak / 20) })),
  );
  const rate = await page.evaluate(() => window.soundHost.host.sampleRate ?? 0);
  const full = 0.1 * 10 ** (-6 / 20);
  const seconds = (blocks: number) => (blocks * 128) / rate;
  const early = reports.filter(report => report.peak > 0 && seconds(report.blocks) < 0.1);
  expect(early.length).toBeGreaterThan(0);
  for (const report of early) expect(report.peak).toBeLessThan(0.5 * full);
  for (let i = 1; i < early.length; i++) expect(early[i].peak).toBeGreaterThan(early[i - 1].peak);
  const late = reports.filter(report => seconds(report.blocks) > 0.6);
  for (const report of late) expect(report.peak).toBeCloseTo(full, 3);
});

test('the position is that of the sound at the ear: what the device is late is taken off', async () => {
  await open();
  await page.click('#start');
  await page.evaluate(() => window.soundHost.playSine(-40));
  await loudest(60);
  const [near, far, farther] = await page.evaluate(() => window.soundHost.positionsAt([0.01, 0.26, 0.51]));
  expect(near).toBeGreaterThan(0.5);
  expect(near - far).toBeCloseTo(0.25, 6);
  expect(near - farther).toBeCloseTo(0.5, 6);
});

test('a live input is heard on the string that was chosen and on no other', async () => {
  await open();
  await page.click('#start');
  // the browser's fake device beeps once a second: 60 reports hold one at least
  for (const string of [3, 1, 6]) {
    await page.evaluate(
      async ([n, first]) => {
        if (first) await window.soundHost.live(n as number);
        else window.soundHost.setString(n as number);
        window.soundHost.onlyString((n as number) - 1);
      },
      [string, string === 3] as const,
    );
    await loudest(15);
    await expect.poll(() => loudest(5), { message: `string ${string}` }).toBeGreaterThan(-60);
    await page.evaluate(n => window.soundHost.onlyString(n), string % 6);
    await loudest(15);
    expect(await loudest(60), `beside string ${string}`).toBeLessThan(-100);
  }
  expect(await page.evaluate(() => window.soundHost.problems)).toEqual([]);
});

test('kernels that are not needed any more leave the audio thread, which must not be the one to free them', async () => {
  await open('', async fresh => {
    await fresh.addInitScript(() => {
      window.spent = [];
      window.AudioWorkletNode = new Proxy(AudioWorkletNode, {
        construct(target, all: ConstructorParameters<typeof AudioWorkletNode>) {
          const node = new target(...all);
          node.port.addEventListener('message', ({ data }) => {
            if (data?.kind === 'spent') window.spent.push(data.kernels.data.byteLength);
          });
          return node;
        },
      });
    });
  });
  await page.click('#start');
  await page.evaluate(() => window.soundHost.playSine(-40));
  const handedBack = () => page.evaluate(() => window.spent.length);
  await loudest(10);
  const first = await handedBack();
  for (let n = 1; n <= 5; n++) {
    await page.evaluate(string => window.soundHost.onlyString(string), n);
    await expect.poll(handedBack).toBe(first + n);
  }
  for (const bytes of await page.evaluate(() => window.spent)) expect(bytes).toBeGreaterThan(0);
});
