/** The engine against the browser's own convolvers, and file rendering against the clock. */
import { renderOffline } from '../../shared/audio/offline.ts';
import { packKernels } from '../../shared/audio/partition.ts';
import { noise } from '../audio/signals.ts';
import { launchChromium } from '../browser/chromium.ts';
import type { EngineFixture } from '../browser/fixtures/engine.ts';
import { busyKernels } from '../browser/fixtures/scenarios.ts';
import { serveSite } from '../browser/site.ts';

const SECONDS = 30;
const RATE = 48000;
const TAPS = [1024, 2048, 4096];
const ROUNDS = 9;

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1];

/** 30 s of six strings in Chromium: the built worklet and six ConvolverNodes by turns in one run. */
async function againstConvolvers(): Promise<void> {
  const site = await serveSite('fixtures');
  const browser = await launchChromium();
  try {
    const page = await browser.newPage();
    await page.goto(`${site.url}engine.html`);
    await page.waitForFunction(() => 'engineFixture' in window);
    const time = (kind: 'worklet' | 'convolvers', taps: number): Promise<number> =>
      page.evaluate(
        ([k, t, s]) =>
          (window as unknown as { engineFixture: EngineFixture }).engineFixture.timeRender(
            k as 'worklet' | 'convolvers',
            t as number,
            s as number,
          ),
        [kind, taps, SECONDS] as const,
      );
    for (const taps of TAPS) {
      const ours: number[] = [];
      const theirs: number[] = [];
      await time('worklet', taps);
      await time('convolvers', taps);
      for (let round = 0; round < ROUNDS; round++) {
        ours.push(await time('worklet', taps));
        theirs.push(await time('convolvers', taps));
      }
      const [a, b] = [median(ours), median(theirs)];
      console.log(
        `engine, ${SECONDS} s, 6 strings × ${taps} taps: worklet ${a.toFixed(0)} ms (${((SECONDS * 1000) / a).toFixed(0)} × real time), ` +
          `six ConvolverNodes ${b.toFixed(0)} ms, ratio ${(a / b).toFixed(2)} (median of ${ROUNDS} by turns)`,
      );
    }
  } finally {
    await browser.close();
    await site.close();
  }
}

function fileRendering(): void {
  for (const taps of TAPS) {
    const channels = Array.from({ length: 6 }, (_, s) => noise(SECONDS * RATE, 80 + s, 0.02));
    const packed = packKernels([busyKernels(taps)]);
    const times: number[] = [];
    for (let round = 0; round < 4; round++) {
      const begin = performance.now();
      renderOffline(channels, packed, { sampleRate: RATE, tail: 0 });
      times.push(performance.now() - begin);
    }
    const ms = median(times.slice(1));
    console.log(
      `file rendering in Node, ${SECONDS} s, 6 strings × ${taps} taps: ${ms.toFixed(0)} ms (${((SECONDS * 1000) / ms).toFixed(0)} × real time)`,
    );
  }
}

export default async function bench(): Promise<void> {
  await againstConvolvers();
  fileRendering();
}
