/**
 * From an edit to kernels posted and plots drawn, on the built page: six strings, three pickups of two coils, all six
 * connected, eight builds shown. `work` is what the main thread does for the edit; `drawn` is the time until the next frame
 * is painted, counted from a moment anywhere within a frame.
 */

import { fromNotation, wire } from '../../shared/circuit/schemes.ts';
import { LETTERS } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { writeLink } from '../../src/files/link.ts';
import { launchChromium } from '../browser/chromium.ts';
import { serveSite } from '../browser/site.ts';

/** One 60 Hz frame, ms. */
const FRAME = 1000 / 60;

const EDITS = {
  'move a pickup': { band: 'cc-plan', selector: '.pickup.heard', key: 'ArrowRight' },
  'change the cable': { band: 'cc-station', selector: 'cc-quantity', key: 'ArrowUp' },
} as const;

export default async function pageBench(): Promise<void> {
  const [base] = demoBuilds();
  const made = fromNotation('HHH', base.instrument);
  if (!made) throw new Error('HHH is no configuration');
  const { harness, outputs } = wire(made.pickups, 'all');
  const build = { ...base, pickups: made.pickups, harness, outputs };
  const builds = LETTERS.map((letter, i) => ({
    letter,
    build: { ...build, pickups: build.pickups.map(pickup => ({ ...pickup, position: pickup.position + i / 1000 })) },
  }));
  const sheet = demoSheet();
  const link = writeLink({
    ...sheet,
    builds,
    view: { ...sheet.view, pickup: made.pickups[0].id, station: 'cable' },
  });
  const site = await serveSite('page');
  const browser = await launchChromium();
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    // the runner's compiler names inner functions through a helper that the page does not have
    await page.addInitScript('globalThis.__name = inner => inner');
    await page.goto(site.url + link);
    await page.locator('cc-readings cc-plot svg .curve').first().waitFor();
    await page.waitForTimeout(3000);
    for (const [name, edit] of Object.entries(EDITS)) {
      const runs = await page.evaluate(async ({ band, selector, key }) => {
        const find = (root: ParentNode, wanted: string): Element | null => {
          const hit = root.querySelector(wanted);
          if (hit) return hit;
          for (const element of root.querySelectorAll('*')) {
            const inner = element.shadowRoot && find(element.shadowRoot, wanted);
            if (inner) return inner;
          }
          return null;
        };
        const host = find(document, band)?.shadowRoot;
        const outer = host && find(host, selector);
        const target = outer?.shadowRoot?.querySelector('input') ?? outer;
        if (!target) throw new Error(`no ${selector} in ${band}`);
        const result: { work: number; posted: number; drawn: number }[] = [];
        for (let i = 0; i < 60; i++) {
          await new Promise(resolve => setTimeout(resolve, 60));
          performance.clearMarks('kernels-posted');
          const start = performance.now();
          target.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, composed: true }));
          // renders are microtasks: after a turn of the queue they are done
          await new Promise(resolve => setTimeout(resolve, 0));
          const work = performance.now() - start;
          const posted = performance.getEntriesByName('kernels-posted')[0]?.startTime ?? Number.NaN;
          await new Promise(resolve => requestAnimationFrame(() => setTimeout(resolve, 0)));
          result.push({ work, posted: posted - start, drawn: performance.now() - start });
        }
        return result;
      }, edit);
      const spread = (pick: (run: (typeof runs)[number]) => number) => {
        const sorted = runs.map(pick).sort((a, b) => a - b);
        return [0.5, 0.95].map(part => sorted[Math.floor(part * (runs.length - 1))]);
      };
      const both = (values: number[], digits = 1) => values.map(value => value.toFixed(digits)).join(' / ');
      const work = spread(run => run.work);
      console.log(
        `edit, ${name}: kernels posted after ${both(spread(run => run.posted))} ms, all work ${both(work)} ms ` +
          `(${both(
            work.map(ms => ms / FRAME),
            2,
          )} of a 60 Hz frame), painted after ${both(spread(run => run.drawn))} ms ` +
          `(median / 95 % of ${runs.length})`,
      );
    }
  } finally {
    await browser.close();
    await site.close();
  }
}
