/** `npm run pictures`: the README's pictures of the page, taken anew from the built page. */
import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { launchChromium } from './chromium.ts';
import { serveSite } from './site.ts';

const folder = fileURLToPath(new URL('pictures/', import.meta.url));
mkdirSync(folder, { recursive: true });
const site = await serveSite('page');
const browser = await launchChromium();
for (const colorScheme of ['light', 'dark'] as const) {
  const page = await browser.newPage({ viewport: { width: 1440, height: 1180 }, colorScheme });
  await page.goto(site.url);
  await page.locator('cc-readings cc-plot svg .curve').first().waitFor();
  await page.locator('cc-dock .letters > button.letter', { hasText: 'B' }).click();
  // the take's shape and its measured loudness come from workers
  await page.waitForTimeout(4000);
  await page.screenshot({ path: `${folder}page-${colorScheme}.png` });
}
await browser.close();
await site.close();
