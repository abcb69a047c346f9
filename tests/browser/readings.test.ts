/** Readings in a real browser: tabs, cursor, figures, files, keyboard, small screens, accessibility. */
import { readFileSync } from 'node:fs';
import type { Download, Page } from 'playwright-core';
import { beforeEach, describe, expect, test } from 'vitest';
import type { Plot } from '../../src/parts/plot.ts';
import { quantities } from '../../src/words/quantity-words.ts';
import { words } from '../../src/words/readings-words.ts';
import { violations } from './harness/accessibility.ts';
import { visits } from './harness/browser.ts';

const { visit } = visits();
let page: Page;
beforeEach(async () => {
  page = await visit();
});

const readings = () => page.locator('cc-readings');
const plot = () => page.locator('cc-readings cc-plot');
const sheet = () => plot().getByRole('application');
const choose = (tab: keyof typeof words.tabs) => page.getByRole('tab', { name: words.tabs[tab], exact: true }).click();
const curves = () =>
  page
    .locator('cc-readings cc-plot .curve:not(.quiet)')
    .evaluateAll(all => all.map(one => one.getAttribute('d') ?? ''));
const csvOf = async () => {
  const text = await plot().evaluate(element => (element as Plot).toCsv());
  const [head, ...rows] = text.trimEnd().split('\r\n');
  return { head: head.split(','), rows: rows.map(row => row.split(',').map(Number)) };
};
const saved = async (label: string): Promise<{ name: string; bytes: Buffer }> => {
  const [download] = (await Promise.all([
    page.waitForEvent('download'),
    readings().getByRole('button', { name: label, exact: true }).click(),
  ])) as [Download, undefined];
  return { name: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
};

describe('plots', () => {
  test('both builds are drawn, and another string draws other curves and nulls', async () => {
    const before = await curves();
    expect(before).toHaveLength(2);
    for (const path of before) expect(path.length).toBeGreaterThan(2000);
    const nulls = await page.locator('cc-key-figures tbody tr').first().textContent();
    await page.locator('cc-readings .tools select').first().selectOption('3');
    await expect.poll(async () => (await curves())[0]).not.toBe(before[0]);
    expect(await page.locator('cc-key-figures tbody tr').first().textContent()).not.toBe(nulls);
  });

  test('tabs follow the arrow keys and every reading says what it shows', async () => {
    await page.getByRole('tab', { name: words.tabs.response }).focus();
    const titles = [await sheet().getAttribute('aria-label')];
    for (const next of ['spectrum', 'difference', 'partials', 'impedance'] as const) {
      await page.keyboard.press('ArrowRight');
      await expect.poll(() => page.getByRole('tab', { selected: true }).textContent()).toBe(words.tabs[next]);
      await sheet().waitFor();
      titles.push(await sheet().getAttribute('aria-label'));
    }
    expect(new Set(titles).size).toBe(5);
    await page.keyboard.press('Home');
    await expect.poll(() => page.getByRole('tab', { selected: true }).textContent()).toBe(words.tabs.response);
  });

  // the demo's take plucks at a fifth of its open string of 648 mm, as scores do that say nothing else
  test('partials with the pluck are those of where the take is plucked', async () => {
    await choose('partials');
    await readings().getByLabel(words.withPluck).check();
    await readings().getByText(words.withPluckHint('129.6 mm')).waitFor();
    const { head, rows } = await csvOf();
    expect(head).toEqual(['partial', 'A_db', 'B_db']);
    // plucked on a node of the fifth
    for (const level of rows[4].slice(1)) expect(level).toBeLessThan(-200);
    for (const n of [1, 2, 3, 6, 7]) for (const level of rows[n - 1].slice(1)) expect(level).toBeGreaterThan(-60);
  });

  test('the keyboard cursor speaks the values that the CSV holds', async () => {
    await sheet().focus();
    await page.keyboard.press('Home');
    const spoken = plot().getByRole('status');
    await expect.poll(() => spoken.textContent()).toMatch(/^20\.00 Hz/);
    const { head, rows } = await csvOf();
    expect(head).toEqual(['frequency_hz', 'A_db', 'B_db']);
    const text = (value: number) => value.toFixed(1).replace('-', '−');
    expect(await spoken.textContent()).toContain(`A ${text(rows[0][1])} dB; B ${text(rows[0][2])} dB`);
    expect(await spoken.textContent()).toContain(words.plot.differs(text(rows[0][2] - rows[0][1])));
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => spoken.textContent()).toMatch(/^21\.\d\d Hz/);
    await page.keyboard.press('Shift+ArrowLeft');
    await expect.poll(() => spoken.textContent()).toMatch(/^2[01]\.\d\d Hz/);
    await page.keyboard.press('Escape');
    await expect.poll(() => plot().locator('[data-passing]').count()).toBe(0);
  });

  test('the pointer reads the curve, and leaves nothing behind', async () => {
    const box = (await sheet().boundingBox())!;
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await expect.poll(() => plot().locator('.box-text').count()).toBeGreaterThanOrEqual(6);
    await page.mouse.move(box.x + box.width / 2, box.y - 200);
    await expect.poll(() => plot().locator('.box-text').count()).toBe(0);
  });

  test('a narrower range zooms in, and figures stand in a table', async () => {
    await readings().getByRole('button', { name: words.rangesXSpoken.high }).click();
    await expect.poll(() => plot().locator('svg text').allInnerTexts()).not.toContain('100');
    await readings().getByRole('button', { name: words.figuresHint }).click();
    const rows = plot().locator('tbody tr');
    // third-octave centres from 1 kHz to 20 kHz (IEC 61260-1); the last, 19 953 Hz, lies inside
    await expect.poll(() => rows.count()).toBe(14);
    expect(await rows.first().textContent()).toMatch(/^\s*1 k\s/);
    expect(await plot().locator('thead th').allInnerTexts()).toEqual(['frequency, Hz', 'A', 'B', 'B − A']);
  });

  test('the spectrum of the take is estimated first and rendered exactly then', async () => {
    await choose('spectrum');
    const note = readings().locator('.note');
    await expect.poll(() => note.textContent()).toContain(words.exact);
    expect(await curves()).toHaveLength(2);
  });
});

describe('files', () => {
  test('SVG stands alone and holds its settings', async () => {
    const { name, bytes } = await saved(words.saveHint.svg);
    expect(name).toBe('response-tp5-AB.svg');
    const text = bytes.toString('utf8');
    expect(text).not.toMatch(/var\(|<script|class=/);
    // a page of its own: this one's content policy lets no text become markup
    const blank = await page.context().newPage();
    const parsed = await blank.evaluate(svg => {
      const file = new DOMParser().parseFromString(svg, 'image/svg+xml');
      return {
        error: file.querySelector('parsererror')?.textContent ?? null,
        description: file.querySelector('desc')?.textContent,
        settings: file.querySelector('metadata')?.textContent,
        curves: [...file.querySelectorAll('path')].filter(path => (path.getAttribute('d') ?? '').length > 2000).length,
        strokes: [...file.querySelectorAll('path')].map(path => path.getAttribute('stroke')),
      };
    }, text);
    expect(parsed.error).toBeNull();
    expect(parsed.curves).toBe(2);
    expect(parsed.description).toContain(words.places[5]);
    expect(JSON.parse(parsed.settings ?? '')).toMatchObject({ 'test point': words.places[5], string: 'E2' });
    expect(parsed.strokes).toContain('rgb(0, 114, 178)');
  });

  test('PNG has two pixels per CSS pixel', async () => {
    const { bytes } = await saved(words.saveHint.png);
    expect(bytes.subarray(1, 4).toString()).toBe('PNG');
    const width = bytes.readUInt32BE(16);
    const drawn = await plot().evaluate(element => element.clientWidth);
    expect(Math.abs(width - 2 * drawn)).toBeLessThanOrEqual(2);
  });

  test('CSV holds every point in full', async () => {
    const { bytes } = await saved(words.saveHint.csv);
    const lines = bytes.toString('utf8').trimEnd().split('\r\n');
    expect(lines).toHaveLength(1202);
    expect(lines[1].split(',')[1]).toMatch(/^-?\d+\.\d{9,}$/);
  });

  test('key figures as CSV', async () => {
    const { bytes } = await saved(words.table.csvHint);
    const [head, a] = bytes.toString('utf8').split('\r\n');
    // the zero of the level is the page's: the reference, which is A
    expect(head.split(',').slice(3, 5)).toEqual([quantities.resonance.column, quantities.peak.column]);
    // names carry commas, in quotes
    const cells = a.replace(/"[^"]*"/g, '').split(',');
    expect(cells[head.split(',').indexOf(words.table.head.level('A'))]).toBe('0');
    expect(a).toMatch(/^A,/);
  });
});

describe('for everyone', () => {
  const found = () => violations(page, [['cc-app', 'cc-sound', 'cc-readings']]);

  test('no accessibility violations on any tab, light and dark, drawing and figures', async () => {
    for (const scheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme: scheme });
      for (const tab of ['response', 'difference', 'partials', 'impedance'] as const) {
        await choose(tab);
        await sheet().waitFor();
        expect(await found()).toEqual([]);
      }
      const figures = readings().getByRole('button', { name: words.figuresHint });
      await figures.click();
      await plot().locator('tbody tr').first().waitFor();
      expect(await found()).toEqual([]);
      await figures.click();
    }
  });

  test('at 390 px the panel fits, and the figures scroll by themselves', async () => {
    await page.setViewportSize({ width: 390, height: 844 });
    for (const tab of ['response', 'difference', 'partials', 'impedance'] as const) {
      await choose(tab);
      await sheet().waitFor();
      const widths = await readings().evaluate(element => {
        const region = element.shadowRoot
          ?.querySelector('cc-key-figures')
          ?.shadowRoot?.querySelector('[role="region"]');
        return {
          panel: element.getBoundingClientRect().right,
          scroll: element.scrollWidth - element.clientWidth,
          region: (region?.scrollWidth ?? 0) > (region?.clientWidth ?? 0),
        };
      });
      expect(widths.panel).toBeLessThanOrEqual(390);
      expect(widths.scroll).toBeLessThanOrEqual(0);
      expect(widths.region).toBe(true);
    }
  });
});
