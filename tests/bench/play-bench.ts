/**
 * Play with an edit every 100 ms, on the built page: underruns as the browser's own statistics count them (Web Audio API,
 * `AudioContext.playbackStats`), and what memory holds before and after. A minute; `SECONDS=600` for ten.
 */
import { launchChromium } from '../browser/chromium.ts';
import { serveSite } from '../browser/site.ts';

const SECONDS = Number(process.env.SECONDS ?? 60);
const EDIT_EVERY = 100;

interface Stats {
  totalDuration: number;
  underrunDuration: number;
  underrunEvents: number;
  maximumLatency: number;
}

export default async function playBench(): Promise<void> {
  const site = await serveSite('page');
  const browser = await launchChromium();
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await page.addInitScript(`
      globalThis.contexts = [];
      globalThis.AudioContext = class extends AudioContext {
        constructor(...given) { super(...given); contexts.push(this); }
      };
    `);
    await page.goto(site.url);
    await page.locator('cc-readings cc-plot svg .curve').first().waitFor();
    const devtools = await page.context().newCDPSession(page);
    await devtools.send('Performance.enable');
    const heap = async () => {
      for (let i = 0; i < 3; i++) await devtools.send('HeapProfiler.collectGarbage');
      const { metrics } = await devtools.send('Performance.getMetrics');
      return metrics.find(metric => metric.name === 'JSHeapUsedSize')!.value / 2 ** 20;
    };
    await page.locator('cc-dock .play').first().click();
    await page.waitForTimeout(5000);
    const pickup = page.locator('cc-plan .pickup.heard').first();
    await pickup.focus();
    const stats = (): Promise<Stats> =>
      page.evaluate(() => {
        const { playbackStats } = (globalThis as unknown as { contexts: { playbackStats: Stats }[] }).contexts.at(-1)!;
        const { totalDuration, underrunDuration, underrunEvents, maximumLatency } = playbackStats;
        return { totalDuration, underrunDuration, underrunEvents, maximumLatency };
      });
    const [heapBefore, before] = [await heap(), await stats()];
    let edits = 0;
    for (const start = Date.now(); Date.now() - start < SECONDS * 1000; edits++) {
      await page.keyboard.press(edits % 40 < 20 ? 'ArrowRight' : 'ArrowLeft');
      await page.waitForTimeout(Math.max(0, start + (edits + 1) * EDIT_EVERY - Date.now()));
    }
    const [after, heapAfter] = [await stats(), await heap()];
    console.log(
      `play, ${(after.totalDuration - before.totalDuration).toFixed(0)} s of sound with ${edits} edits: ` +
        `${after.underrunEvents - before.underrunEvents} underruns, ` +
        `${((after.underrunDuration - before.underrunDuration) * 1000).toFixed(1)} ms; ` +
        `heap ${heapBefore.toFixed(1)} → ${heapAfter.toFixed(1)} MB; latency at most ${(after.maximumLatency * 1000).toFixed(0)} ms`,
    );
  } finally {
    await browser.close();
    await site.close();
  }
}
