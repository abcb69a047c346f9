/** Opening and writing WAV files, against the browser's own decoder. */
import { readWav } from '../../shared/audio/wav.ts';
import { writeWav } from '../../shared/audio/wav-write.ts';
import { launchChromium } from '../browser/chromium.ts';
import type { AudioWorkersFixture } from '../browser/fixtures/audio-workers.ts';
import { serveSite } from '../browser/site.ts';

const SECONDS = 60;
const CHANNELS = 6;
const RATE = 48000;
const ROUNDS = 7;

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1];

function timed(work: () => void): number {
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const start = performance.now();
    work();
    times.push(performance.now() - start);
  }
  return median(times);
}

function inNode(): void {
  const channels = Array.from({ length: CHANNELS }, (_, c) =>
    Float32Array.from({ length: SECONDS * RATE }, (_, i) => Math.sin(i * (c + 1) * 0.01) / 2),
  );
  for (const bits of [16, 24, '32f'] as const) {
    const bytes = writeWav(channels, { sampleRate: RATE, bits });
    const read = timed(() => readWav(bytes));
    const write = timed(() => writeWav(channels, { sampleRate: RATE, bits }));
    console.log(
      `WAV, ${SECONDS} s of ${CHANNELS} channels, ${bits}: read ${read.toFixed(0)} ms, write ${write.toFixed(0)} ms`,
    );
  }
}

async function againstBrowser(): Promise<void> {
  const site = await serveSite('fixtures');
  const browser = await launchChromium();
  try {
    const page = await browser.newPage();
    await page.goto(`${site.url}audio-workers.html`);
    await page.waitForFunction(() => 'audioWorkers' in window);
    const { ours, theirs, stall } = await page.evaluate(
      ([seconds, channels, rounds]) =>
        (window as unknown as { audioWorkers: AudioWorkersFixture }).audioWorkers.race(seconds, channels, rounds),
      [SECONDS, CHANNELS, ROUNDS] as const,
    );
    const [a, b] = [median(ours), median(theirs)];
    console.log(
      `opening ${SECONDS} s of ${CHANNELS} channels, 24 bits: worker ${a.toFixed(0)} ms, the browser's decoder ${b.toFixed(0)} ms, ` +
        `ratio ${(a / b).toFixed(2)} (median of ${ROUNDS} by turns); longest task on the main thread ` +
        (stall > 0 ? `${stall.toFixed(0)} ms` : 'under 50 ms'),
    );
  } finally {
    await browser.close();
    await site.close();
  }
}

export default async function bench(): Promise<void> {
  inNode();
  await againstBrowser();
}
