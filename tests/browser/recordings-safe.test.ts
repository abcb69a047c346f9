/** What happens to recordings and sound when storage, network, input or the page itself gives way. */
import { readFileSync } from 'node:fs';
import { createServer, request, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, inject, test } from 'vitest';
import { words as dock } from '../../src/words/dock-words.ts';
import { words } from '../../src/words/recordings-words.ts';
import { launchChromium } from './chromium.ts';

const G3 = {
  name: 'third string.wav',
  mimeType: 'audio/wav',
  buffer: readFileSync(new URL('../../samples/steel_open_G3.wav', import.meta.url)),
};
let browser: Browser;
let context: BrowserContext;

beforeAll(async () => {
  browser = await launchChromium(
    '--use-fake-device-for-media-stream',
    '--use-fake-ui-for-media-stream',
    '--host-resolver-rules=MAP workshop.test 127.0.0.1',
  );
});
afterAll(() => browser?.close());
beforeEach(async () => {
  context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
});
afterEach(() => context?.close());

const { poll } = expect;
async function visit(address = inject('page')): Promise<Page> {
  const page = await context.newPage();
  await page.goto(address);
  await page.locator('cc-readings cc-plot svg .curve').first().waitFor();
  return page;
}
const open = (page: Page) => page.getByRole('button', { name: words.open, exact: true }).click();
const articles = (page: Page) => page.locator('cc-recordings article');
const problems = (page: Page) => page.locator('cc-recordings .problems');
const bring = (page: Page, file = G3) => page.locator('cc-recordings input[type=file]').setInputFiles(file);
async function record(page: Page): Promise<void> {
  await open(page);
  await page.locator('cc-recordings summary', { hasText: words.record }).click();
  await page.locator('cc-recorder button.record').click();
  await poll(() => page.locator('cc-recorder .length').textContent()).toMatch(/([3-9]|\d{2,})\.\d s/);
}

test('a page that is lost while it records loses no more than about a second', async () => {
  const page = await visit();
  await record(page);
  await page.close({ runBeforeUnload: false });
  const next = await visit();
  await open(next);
  await poll(() => articles(next).count()).toBe(1);
  await poll(() => problems(next).textContent()).toContain(words.recovered);
  expect(await articles(next).locator('h3').textContent()).toMatch(/[1-9]\d*\.\d s/);
  await next.reload();
  await next.locator('cc-readings cc-plot svg .curve').first().waitFor();
  await open(next);
  await poll(() => articles(next).count()).toBe(1);
  expect(await problems(next).textContent()).not.toContain(words.recovered);
});

test('the browser asks before a page is left that records, and not after', async () => {
  const page = await visit();
  await record(page);
  const asked = page.waitForEvent('dialog');
  const closing = page.close({ runBeforeUnload: true });
  const dialog = await asked;
  expect(dialog.type()).toBe('beforeunload');
  await dialog.dismiss();
  await closing;
  await page.locator('cc-recorder button.record').click();
  await poll(() => articles(page).count()).toBe(1);
  await page.reload();
  await page.locator('cc-app').waitFor();
});

test('an input that is pulled out ends the recording; what there is is kept', async () => {
  await context.addInitScript(() => {
    const real = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
    navigator.mediaDevices.getUserMedia = async constraints => {
      const stream = await real(constraints);
      Object.assign(window, { opened: stream });
      return stream;
    };
  });
  const page = await visit();
  await record(page);
  await page.evaluate(() => {
    const { opened } = window as unknown as { opened: MediaStream };
    // a track that is stopped by the page tells nobody; one that is unplugged does
    opened.getAudioTracks()[0].dispatchEvent(new Event('ended'));
  });
  await poll(() => articles(page).count()).toBe(1);
  expect(await problems(page).textContent()).toContain(words.inputLost);
});

test('a damaged record is counted and hides no other', async () => {
  const page = await visit();
  await open(page);
  await bring(page);
  await poll(() => articles(page).count()).toBe(1);
  await page.evaluate(
    () =>
      new Promise(resolve => {
        const asked = indexedDB.open('comb-and-coil-recordings');
        asked.onsuccess = () => {
          const store = asked.result.transaction('recordings', 'readwrite').objectStore('recordings');
          store.put({ take: { id: 'own-x', roles: null }, removed: false }, 'about/own-x').onsuccess = resolve;
        };
      }),
  );
  await page.reload();
  await page.locator('cc-readings cc-plot svg .curve').first().waitFor();
  await open(page);
  await poll(() => problems(page).textContent()).toContain(words.damaged(1));
  expect(await articles(page).count()).toBe(1);
});

for (const [how, breakStore] of [
  [
    'refused',
    () =>
      Object.assign(IDBFactory.prototype, {
        open: () => {
          throw new DOMException('denied', 'SecurityError');
        },
      }),
  ],
  ['never answering', () => Object.assign(IDBFactory.prototype, { open: () => ({}) })],
] as const)
  test(`storage ${how}: a file can be used, and is said not to be kept`, async () => {
    await context.addInitScript(breakStore);
    const page = await visit();
    await open(page);
    await bring(page);
    await poll(() => articles(page).count()).toBe(1);
    await poll(() => problems(page).textContent()).toContain(words.notKept(G3.name));
    await poll(() => page.locator('cc-own-take cc-plot svg').count()).toBe(1);
  });

test('a small file that unpacks to gigabytes is refused before it is unpacked', async () => {
  const page = await visit();
  await open(page);
  const header = Buffer.alloc(36_000);
  header.write('fLaC');
  header.set([0x80, 0, 0, 34], 4);
  // RFC 9639: 48 kHz, 8 channels, 16 bits, 100 million samples
  header.set([0x0b, 0xb8, 0x0e, 0xf0, 0x05, 0xf5, 0xe1, 0x00], 18);
  await bring(page, { name: 'bomb.flac', mimeType: 'audio/flac', buffer: header });
  await poll(() => problems(page).textContent()).toContain('bomb.flac holds 34 min 43 s of 8 channels');
});

test('a recording that could not be fetched is fetched when Play is pressed again', async () => {
  let line = false;
  await context.route(/\.wav$/, route => (line ? route.continue() : route.abort()));
  const page = await visit();
  await poll(() => page.locator('cc-dock [role=alert]').textContent()).toContain('check the connection');
  line = true;
  await page.locator('cc-dock').getByRole('button', { name: dock.play, exact: true }).click();
  await page.locator('cc-dock').getByRole('button', { name: dock.stop, exact: true }).waitFor();
});

test('where the engine cannot be loaded nothing is left running, and the next press tries anew', async () => {
  let line = false;
  await context.route(/worklet.*\.js/, route => (line ? route.continue() : route.abort()));
  await context.addInitScript(() => {
    const Real = AudioContext;
    const made: AudioContext[] = [];
    Object.assign(window, {
      made,
      AudioContext: class extends Real {
        constructor(options?: AudioContextOptions) {
          super(options);
          made.push(this);
        }
      },
    });
  });
  const page = await visit();
  const states = () => page.evaluate(() => (window as unknown as { made: AudioContext[] }).made.map(one => one.state));
  const play = page.locator('cc-dock').getByRole('button', { name: dock.play, exact: true });
  await play.click();
  // a busy machine may say more than this
  await page.locator('.notice.warning').first().waitFor();
  await poll(states).toEqual(['closed']);
  line = true;
  await play.click();
  await page.locator('cc-dock').getByRole('button', { name: dock.stop, exact: true }).waitFor();
  expect(await states()).toEqual(['closed', 'running']);
});

test('by plain http files open, and what needs https is said', async () => {
  const page = new URL(inject('page'));
  const server: Server = createServer((incoming, outgoing) => {
    const headers = { ...incoming.headers, host: page.host };
    incoming.pipe(
      request(
        { host: page.hostname, port: page.port, path: incoming.url, method: incoming.method, headers },
        answer => {
          outgoing.writeHead(answer.statusCode ?? 500, answer.headers);
          answer.pipe(outgoing);
        },
      ),
    );
  });
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
  try {
    const plain = await visit(`http://workshop.test:${(server.address() as AddressInfo).port}/`);
    expect(await plain.evaluate(() => isSecureContext)).toBe(false);
    await open(plain);
    await bring(plain);
    await poll(() => articles(plain).count()).toBe(1);
    expect((await problems(plain).textContent())?.trim()).toBe('');
    await plain.keyboard.press('Escape');
    await plain.locator('cc-dock').getByRole('button', { name: dock.play, exact: true }).click();
    await plain.getByText(dock.insecure).waitFor();
  } finally {
    server.close();
  }
});
