/** What a reader of the page without eyes or pointer meets. */
import { source } from 'axe-core';
import type { Page } from 'playwright-core';

/** Puts axe into the page from outside, past the page's content policy. */
export async function addAxe(page: Page): Promise<void> {
  await page.evaluate(source);
}

/** What axe finds to mend, a line each. */
export async function violations(page: Page): Promise<string[]> {
  await addAxe(page);
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
