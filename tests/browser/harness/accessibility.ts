/** What a reader of the page without eyes or pointer meets. */
import { source } from 'axe-core';
import type { Page } from 'playwright-core';

/** A part of the page to look at: selectors of its hosts, through their shadow roots. */
export type Part = string[];

/**
 * What axe finds to mend, target size included, a line each, in the whole page or in some parts of it. axe comes into the
 * page from outside, past its content policy.
 */
export async function violations(page: Page, parts?: Part[]): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(source);
  return page.evaluate(async parts => {
    interface Found {
      id: string;
      nodes: { html: string; failureSummary?: string }[];
    }
    const { axe } = window as unknown as {
      axe: { run(context: unknown, options: object): Promise<{ violations: Found[]; passes: unknown[] }> };
    };
    const { violations, passes } = await axe.run(
      parts ? { include: parts.map(fromShadowDom => ({ fromShadowDom })) } : document,
      {
        // of what passes no selectors are needed
        resultTypes: ['violations'],
        rules: { 'target-size': { enabled: true } },
      },
    );
    if (!passes.length) throw new Error('nothing was checked');
    return violations.map(
      v => `${v.id}: ${v.nodes.map(n => `${n.html.slice(0, 160)} ${n.failureSummary}`).join(' | ')}`,
    );
  }, parts);
}

/** Spoken or shown name of the focused element, looked for through shadow roots. */
export const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    let element = document.activeElement;
    while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
    return element?.getAttribute('aria-label') ?? element?.textContent?.trim() ?? '';
  });
