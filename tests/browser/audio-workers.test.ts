/** The workers, in a real browser, from the built files. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { launchChromium } from './chromium.ts';
import type { AudioWorkersFixture } from './fixtures/audio-workers.ts';

let browser: Browser;
let page: Page;

beforeAll(async () => {
  browser = await launchChromium();
  page = await browser.newPage();
  await page.goto(`${inject('fixtures')}audio-workers.html`);
  await page.waitForFunction(() => 'audioWorkers' in window);
});
afterAll(() => browser?.close());

type Journey = Exclude<keyof AudioWorkersFixture, 'race' | 'open'>;
const run = async <K extends Journey>(name: K): Promise<Awaited<ReturnType<AudioWorkersFixture[K]>>> => {
  const result: unknown = await page.evaluate(
    key => (window as unknown as { audioWorkers: Record<string, () => Promise<unknown>> }).audioWorkers[key](),
    name as string,
  );
  return result as Awaited<ReturnType<AudioWorkersFixture[K]>>;
};

test('a file opens in pieces, with progress', async () => {
  const opened = await page.evaluate(() =>
    (window as unknown as { audioWorkers: AudioWorkersFixture }).audioWorkers.open(10, 6),
  );
  expect(opened).toMatchObject({ frames: 480000, channels: 6, sampleRate: 48000, notes: [] });
  expect(opened.heard.map(one => Math.round(one?.low ?? 0))).toEqual([110, 220, 330, 440, 550, 660]);
  expect(opened.parts.length).toBeGreaterThan(2);
  expect(opened.parts.at(-1)).toBe(1);
});

test('bad files are named and explained; what is there of a cut one opens on request', async () => {
  const { messages, frames, isWavError } = await run('openBad');
  expect(messages[0]).toMatch(/^WavError: cut\.wav ends too early/);
  expect(messages[1]).toMatch(/^WavError: letter\.wav is a text, not a WAV file/);
  expect(frames).toBe((20000 - 44) / 2);
  expect(isWavError).toBe(true);
});

test('opening is cancelled at once, and the next file opens', async () => {
  const { first, after } = await run('cancel');
  expect(first).toMatch(/^AbortError/);
  expect(after).toBe(48000);
});

test('a worker that fails, dies, hangs or cannot be loaded fails its requests with a sentence; the next starts anew', async () => {
  const fates = await run('fates');
  expect(fates.sum).toBe('5');
  expect(fates.parts).toEqual([0.5]);
  expect(fates.thrown).toBe('RangeError: no such string');
  expect(fates.killed).toEqual([
    expect.stringMatching(/^Error: the work stopped/),
    expect.stringMatching(/^Error: the work stopped/),
  ]);
  expect(fates.after).toBe('9');
  expect(fates.hung).toMatch(/^Error: nothing came of the work for/);
  expect(fates.afterHung).toBe('13');
  expect(fates.unloaded).toMatch(/^Error: a part of this page could not be loaded/);
  expect(fates.dropped).toMatch(/^AbortError/);
  expect(fates.free).toBe('17');
});
