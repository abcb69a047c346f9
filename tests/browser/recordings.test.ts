/** Own recordings in a real browser: bringing, keeping, un-colouring, recording, playing live, accessibility. */
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { beforeEach, describe, expect, inject, test } from 'vitest';
import { writeWav } from '../../shared/audio/wav-write.ts';
import { words as readingWords } from '../../src/words/readings-words.ts';
import { words } from '../../src/words/recordings-words.ts';
import { launchChromium } from './chromium.ts';
import { violations } from './harness/accessibility.ts';
import { visits } from './harness/browser.ts';

const sample = (name: string) => readFileSync(new URL(`../../samples/steel_open_${name}.wav`, import.meta.url));
const wav = (name: string, buffer: Buffer) => ({ name, mimeType: 'audio/wav', buffer });
const G3 = wav('third string.wav', sample('G3'));
const { visit } = visits('--use-fake-device-for-media-stream', '--use-fake-ui-for-media-stream');
let page: Page;
beforeEach(async () => {
  page = await visit();
});

const { poll } = expect;
const dialog = () => page.locator('cc-recordings dialog');
const open = async () => {
  if (!(await dialog().isVisible())) await page.getByRole('button', { name: words.open, exact: true }).click();
};
const articles = () => page.locator('cc-recordings article');
const bring = async (...files: ReturnType<typeof wav>[]) => {
  await open();
  await page.locator('cc-recordings input[type=file]').setInputFiles(files);
};
const chosen = () => page.locator('cc-dock select').first().inputValue();
/** Largest output level seen in two seconds, dBFS. */
const loudest = (): Promise<number> =>
  page.evaluate(async () => {
    const dock = document.querySelector('cc-app')?.shadowRoot?.querySelector('cc-dock');
    let most = Number.NEGATIVE_INFINITY;
    for (let i = 0; i < 80; i++) {
      const meter = dock?.shadowRoot?.querySelector('cc-meter') as (Element & { peaks: number[] }) | null;
      most = Math.max(most, ...(meter?.peaks ?? []));
      await new Promise(resolve => setTimeout(resolve, 25));
    }
    return most;
  });

describe('bringing', () => {
  test('several at once: good ones are kept, bad ones named, with what would work', async () => {
    await bring(
      wav('text.wav', Buffer.from('these are words')),
      G3,
      wav('nothing.wav', Buffer.alloc(0)),
      wav('cut.wav', sample('E2').subarray(0, 200_000)),
      wav('noise.flac', Buffer.concat([Buffer.from('fLaC'), Buffer.alloc(4000, 7)])),
    );
    const problems = page.locator('cc-recordings .problems p');
    await poll(() => problems.count()).toBe(4);
    const said = await problems.allTextContents();
    for (const name of ['text.wav', 'nothing.wav', 'cut.wav', 'noise.flac'])
      expect(said.filter(text => text.includes(name))).toHaveLength(1);
    await poll(() => articles().count()).toBe(1);
    expect(await page.locator('cc-own-take select[data-channel="0"]').inputValue()).toBe('s3');
    await page.getByRole('button', { name: /^Open the .* that are there$/ }).click();
    await poll(() => articles().count()).toBe(2);
    await poll(() => problems.count()).toBe(3);
  });

  test('files dropped on the page are brought', async () => {
    const data = await page.evaluateHandle(
      bytes => {
        const transfer = new DataTransfer();
        transfer.items.add(new File([Uint8Array.from(bytes)], 'dropped.wav', { type: 'audio/wav' }));
        return transfer;
      },
      [...G3.buffer],
    );
    await page.dispatchEvent('body', 'drop', { dataTransfer: data });
    await poll(() => articles().count()).toBe(1);
    expect(await articles().locator('h3').textContent()).toContain('dropped');
  });

  test('a take is played, kept over a reload, removed, brought back, and gone once dismissed', async () => {
    await bring(G3);
    await poll(() => articles().count()).toBe(1);
    const id = await articles().getAttribute('data-take');
    await poll(chosen).toBe(id);
    await page.keyboard.press('Escape');
    expect(await dialog().isVisible()).toBe(false);
    await page.getByRole('button', { name: 'Play', exact: true }).click();
    await poll(loudest).toBeGreaterThan(-50);
    await page.reload();
    await poll(chosen).toBe(id);
    await open();
    await page.getByRole('button', { name: words.removeOf('third string') }).click();
    await poll(() => articles().count()).toBe(0);
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: words.bringBack }).click();
    await open();
    await poll(() => articles().count()).toBe(1);
    await page.getByRole('button', { name: words.removeOf('third string') }).click();
    await page.keyboard.press('Escape');
    await page.locator('cc-app .notice', { hasText: words.bringBack }).getByRole('button').last().click();
    await page.reload();
    await open();
    await page.getByText(words.none).waitFor();
    await poll(() =>
      page.evaluate(
        () =>
          new Promise(resolve => {
            const asked = indexedDB.open('comb-and-coil-recordings');
            asked.onsuccess = () => {
              const keys = asked.result.transaction('recordings').objectStore('recordings').getAllKeys();
              keys.onsuccess = () => resolve(keys.result);
            };
          }),
      ),
    ).toEqual([]);
  });

  test('six channels find their strings', async () => {
    const names = ['E4', 'B3', 'G3', 'D3', 'A2', 'E2'];
    const { readWav } = await import('../../shared/audio/wav.ts');
    const channels = names.map(name => readWav(new Uint8Array(sample(name))).channels[0].slice(0, 40_000));
    await bring(wav('six.wav', Buffer.from(writeWav(channels, { sampleRate: 44100, bits: 24 }))));
    await poll(() => articles().count()).toBe(1);
    const values = await page
      .locator('cc-own-take select[data-channel]')
      .evaluateAll(all => all.map(one => (one as HTMLSelectElement).value));
    expect(values).toEqual(['s1', 's2', 's3', 's4', 's5', 's6']);
  });
});

describe('un-colouring', () => {
  test('weak bands are listed and shaded in the readings of that string', async () => {
    await bring(G3);
    const form = page.locator('cc-own-take');
    await form.locator('cc-plot svg .curve').first().waitFor();
    expect(await form.locator('.weak').textContent()).toContain('nothing was too weak');
    await form.locator('select.through').selectOption('pickup');
    await poll(() => form.locator('.weak').textContent()).toContain('too weak to recover at');
    expect(await form.locator('cc-plot rect.hatch').count()).toBeGreaterThan(3);
    await page.keyboard.press('Escape');
    await page.locator('cc-readings .tools select').first().selectOption('3');
    await poll(() => page.locator('cc-readings cc-plot rect.hatch').count()).toBeGreaterThan(3);
    await page.getByText(readingWords.weakHint).waitFor();
    await page.locator('cc-readings .tools select').first().selectOption('5');
    await poll(() => page.locator('cc-readings cc-plot rect.hatch').count()).toBe(0);
  });

  test('an estimate says what it leaves open and fills the position in', async () => {
    await bring(G3);
    await page.getByRole('button', { name: words.estimateRun(1) }).click();
    const use = page.getByRole('button', { name: words.useThis });
    await use.waitFor();
    const said = (await page.locator('cc-own-take fieldset').last().textContent()) ?? '';
    expect(said).toMatch(/Pickup [\d.]+ mm from the saddle/);
    expect(said).toContain('cannot be told apart');
    await use.click();
    await poll(() => page.locator('cc-own-take select.through').inputValue()).toBe('pickup');
    const distance = /Pickup ([\d.]+) mm/.exec(said)?.[1];
    const shown = await page.locator('cc-own-take cc-quantity[label="from the saddle"] input').inputValue();
    expect(Number.parseFloat(shown)).toBeCloseTo(Number(distance), 0);
  });
});

describe('inputs', () => {
  test('a take is recorded, with length and level, and kept', async () => {
    await open();
    await page.locator('cc-recordings summary', { hasText: words.record }).click();
    const button = page.locator('cc-recorder button.record');
    await button.click();
    await poll(() => page.locator('cc-recorder .length').textContent()).toMatch(/[1-9]\d*\.\d s/);
    await page.locator('cc-recorder meter').waitFor();
    await button.click();
    await poll(() => articles().count()).toBe(1);
    expect(await articles().locator('h3').textContent()).toMatch(/Own recording 1[1-9]/);
  });

  test('a live input is muted at first, then heard through the build, with its latency taken apart', async () => {
    await open();
    await page.locator('cc-recordings summary', { hasText: words.live }).click();
    await page.getByText(words.feedback).waitFor();
    await page.locator('cc-live-input button.live').click();
    await page.locator('cc-live-input .latency').waitFor();
    expect(await page.locator('cc-live-input li').count()).toBe(5);
    expect(await page.locator('cc-live-input .mute').isChecked()).toBe(true);
    expect(await loudest()).toBe(Number.NEGATIVE_INFINITY);
    await page.locator('cc-live-input .mute').click();
    await poll(loudest).toBeGreaterThan(-60);
    await page.locator('cc-live-input button.live').click();
    await poll(() => page.locator('cc-live-input .latency').count()).toBe(0);
  });

  test('without a device or permission a sentence says what to do', async () => {
    const plain = await launchChromium();
    try {
      const other = await plain.newPage();
      await other.goto(inject('page'));
      await other.getByRole('button', { name: words.open, exact: true }).click();
      await other.locator('cc-recordings summary', { hasText: words.record }).click();
      await other.locator('cc-recorder button.record').click();
      const known = [words.inputProblems.NotAllowedError, words.inputProblems.NotFoundError];
      await poll(() => other.locator('cc-recorder [role=alert]').textContent()).toBeTruthy();
      expect(known).toContain(await other.locator('cc-recorder [role=alert]').textContent());
    } finally {
      await plain.close();
    }
  });
});

test.each([
  ['light', 1440],
  ['dark', 390],
] as const)('axe finds nothing on %s paper at %i px, and nothing overflows', async (paper, width) => {
  await page.setViewportSize({ width, height: 844 });
  await page.emulateMedia({ colorScheme: paper });
  await bring(G3);
  await page.locator('cc-own-take select.through').selectOption('pickup');
  for (const summary of await page.locator('cc-recordings summary').all()) await summary.click();
  await page.getByRole('button', { name: words.estimateRun(1) }).click();
  await page.getByRole('button', { name: words.useThis }).waitFor();
  expect(await violations(page, [['cc-app', 'cc-dock', 'cc-recordings', 'dialog']])).toEqual([]);
  const widths = await dialog().evaluate(one => [
    one.scrollWidth,
    one.clientWidth,
    document.documentElement.scrollWidth,
  ]);
  expect(widths[0]).toBeLessThanOrEqual(widths[1]);
  expect(widths[2]).toBeLessThanOrEqual(width);
});
