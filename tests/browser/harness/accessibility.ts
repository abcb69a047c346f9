/** What a reader of the page without eyes or pointer meets. */
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

/** What axe finds to mend, a line each. */
export async function violations(page: Page): Promise<string[]> {
  await page.addScriptTag({ path: axe });
  return page.evaluate(async () => {
    const { violations } = await (
      window as unknown as { axe: { run: () => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> } }
    ).axe.run();
    return violations.map(v => `${v.id}: ${v.nodes.map(n => n.html.slice(0, 120)).join(' | ')}`);
  });
}

/** Spoken or shown name of the focused element, looked for through shadow roots. */
export const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    let element = document.activeElement;
    while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
    return element?.getAttribute('aria-label') ?? element?.textContent?.trim() ?? '';
  });
