/** A long session leaves nothing behind: elements, listeners and memory after opening everything there is again and again. */
import type { Browser, CDPSession, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { launchChromium } from './chromium.ts';

let browser: Browser;
beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser?.close());

/** Opens of everything that can be opened, an even number, so that what is toggled ends as it began. */
const OPENS = 2 * Math.ceil(Number(process.env.OPENS ?? 24) / 2);
/** What may stay of the heap: caches of a fixed size and code that the browser compiled meanwhile, bytes. */
const HEAP_ROOM = 3e6;

interface Held {
  nodes: number;
  listeners: number;
  heap: number;
}

/** What the page holds once everything unreachable has gone. */
async function held(page: Page, devtools: CDPSession): Promise<Held> {
  await page.waitForTimeout(500);
  // what a finalizer lets go of goes with the next collection
  for (let i = 0; i < 3; i++) await devtools.send('HeapProfiler.collectGarbage');
  const { metrics } = await devtools.send('Performance.getMetrics');
  const of = (name: string) => metrics.find(metric => metric.name === name)!.value;
  return { nodes: of('Nodes'), listeners: of('JSEventListeners'), heap: of('JSHeapUsedSize') };
}

/** One round after the other in the page: each opens and closes everything that `what` finds, `times` times. */
const open = (page: Page, what: 'stations' | 'panels' | 'dialogs', times: number) =>
  page.evaluate(
    async ([what, times]) => {
      const within = (root: ParentNode, selector: string): HTMLElement[] =>
        [...root.querySelectorAll<HTMLElement>('*')].flatMap(element => [
          ...(element.matches(selector) ? [element] : []),
          ...(element.shadowRoot ? within(element.shadowRoot, selector) : []),
        ]);
      const settled = () => new Promise<void>(done => setTimeout(done));
      if (what === 'stations')
        for (let i = 0; i < times; i++)
          for (const button of within(document, 'button.station')) {
            button.click();
            await settled();
          }
      if (what === 'panels')
        for (let i = 0; i < times; i++)
          for (const panel of within(document, 'details') as HTMLDetailsElement[]) {
            panel.open = !panel.open;
            await settled();
          }
      if (what === 'dialogs')
        for (let i = 0; i < times; i++)
          for (const name of ['cc-render', 'cc-listening', 'cc-recordings']) {
            let dialog = within(document, name)[0] as HTMLElement & { show(): void };
            if (!dialog) document.body.append((dialog = document.createElement(name) as typeof dialog));
            dialog.show();
            await settled();
            dialog.shadowRoot?.querySelector('dialog')?.close();
            await settled();
          }
    },
    [what, times] as const,
  );

for (const what of ['stations', 'panels', 'dialogs'] as const)
  test(`${OPENS} opens of all ${what} leave nothing behind`, { timeout: 60_000 + 600 * OPENS }, async () => {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
    const page = await context.newPage();
    await page.goto(inject('page'));
    await page.locator('cc-readings cc-plot svg .curve').first().waitFor();
    const devtools = await context.newCDPSession(page);
    await devtools.send('Performance.enable');
    // the dialog of rendering is loaded when it is first asked for
    await page.locator('cc-header').getByRole('button', { name: 'Render', exact: true }).click();
    await page.waitForFunction(() => customElements.get('cc-render') !== undefined);
    await page.keyboard.press('Escape');
    // everything has been made once, every cache is warm
    await open(page, what, 10);
    const before = await held(page, devtools);
    await open(page, what, OPENS);
    const after = await held(page, devtools);
    console.log(
      `${what}: nodes ${before.nodes} → ${after.nodes}, listeners ${before.listeners} → ${after.listeners}, heap ${before.heap} → ${after.heap}`,
    );
    // less than one for an open
    expect(after.nodes - before.nodes).toBeLessThan(OPENS);
    expect(after.listeners - before.listeners).toBeLessThan(OPENS);
    expect(after.heap - before.heap).toBeLessThan(HEAP_ROOM);
    await context.close();
  });
