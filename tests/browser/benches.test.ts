/** The frame for all benches: what fits on which screen, keys, panels, focus, colours that a person chose. */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { words as dockWords } from '../../src/words/dock-words.ts';
import { words } from '../../src/words/page-words.ts';
import { violations } from './harness/accessibility.ts';
import { type Look, visits } from './harness/browser.ts';

const site = visits();
const visit = (look: Look = {}, address = ''): Promise<Page> =>
  site.visit(address, { reducedMotion: 'reduce', ...look });

const dock = (page: Page) => page.locator('cc-dock');
const play = (page: Page) => page.locator('cc-dock button.play');
const letter = (page: Page, name: string) => page.locator('cc-dock .letters > button.letter', { hasText: name });
/** What has the focus, through every shadow root, and where it stands. */
const focused = (page: Page) =>
  page.evaluate(() => {
    let at = document.activeElement;
    while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement;
    if (!at) return null;
    const { top, bottom } = at.getBoundingClientRect();
    const dock = document.querySelector('cc-app')!.shadowRoot!.querySelector('cc-dock')!;
    return {
      name: at.getAttribute('aria-label') ?? at.textContent?.trim() ?? '',
      top,
      bottom,
      inDock: dock.shadowRoot!.activeElement !== null,
      dock: dock.getBoundingClientRect().top,
    };
  });

describe('what fits', () => {
  for (const [what, width, height, projector] of [
    ['1024 × 768', 1024, 768, false],
    ['projector size', 1440, 900, true],
  ] as const)
    test(`${what}: plan, plot and the field being changed at once, above a dock of at most a fifth`, async () => {
      const page = await visit({ viewport: { width, height } });
      if (projector) {
        await page.locator('cc-app cc-menu button', { hasText: words.appearance }).click();
        await page.getByLabel(words.sizeChoices.projector).check();
        await page.keyboard.press('Escape');
      }
      await expect.poll(async () => (await dock(page).boundingBox())!.height).toBeLessThanOrEqual(height / 5);
      await page.locator('cc-path button.station').first().click();
      const field = page.locator('cc-station input:visible').last();
      await field.focus();
      const floor = (await dock(page).boundingBox())!.y;
      for (const part of ['cc-plan .drawing', 'cc-readings cc-plot .sheet']) {
        const box = (await page.locator(part).boundingBox())!;
        expect(box.y, part).toBeGreaterThanOrEqual(0);
        expect(box.y + box.height, part).toBeLessThanOrEqual(floor + 1);
        expect(box.height, part).toBeGreaterThan(110);
      }
      const box = (await field.boundingBox())!;
      expect(box.y).toBeGreaterThan(0);
      expect(box.y + box.height).toBeLessThanOrEqual(floor + 1);
    });

  test('390 px: the plot fits above playing and switching, the waveform folds', async () => {
    const page = await visit({ viewport: { width: 390, height: 844 } });
    const { height } = (await dock(page).boundingBox())!;
    expect(height).toBeLessThanOrEqual(844 / 5);
    const menu = page.locator('cc-open cc-menu');
    await menu.locator('button[popovertarget]').click();
    await expect.poll(async () => (await menu.locator('[popover]').boundingBox())?.x).toBeGreaterThanOrEqual(0);
    await page.keyboard.press('Escape');
    await page.locator('cc-readings cc-plot').scrollIntoViewIfNeeded();
    const plot = (await page.locator('cc-readings cc-plot').boundingBox())!;
    const floor = (await dock(page).boundingBox())!.y;
    expect(plot.y).toBeGreaterThanOrEqual(0);
    expect(plot.height).toBeLessThan(floor);
    expect(await play(page).isVisible()).toBe(true);
    expect(await letter(page, 'B').isVisible()).toBe(true);
    expect(await page.locator('cc-wave').isVisible()).toBe(false);
    await dock(page).getByRole('button', { name: dockWords.fold, exact: true }).click();
    expect(await page.locator('cc-wave').isVisible()).toBe(true);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
  });
});

describe('keys', () => {
  test('Play is the first stop of the keyboard, the bench the second', async () => {
    const page = await visit();
    await page.keyboard.press('Tab');
    expect((await focused(page))!.name).toBe(words.skipToPlay);
    await page.keyboard.press('Enter');
    expect((await focused(page))!.name).toBe(dockWords.play);
    // what is worked at stays in view
    for (let stops = 0; stops < 6; stops++) {
      expect((await focused(page))!.inDock).toBe(true);
      expect(await page.evaluate(() => scrollY)).toBe(0);
      await page.keyboard.press('Tab');
    }
  });

  test('letters switch after Enter in a field and on a list; a refused text keeps them', async () => {
    const page = await visit();
    const field = page.locator('cc-plan cc-quantity input').first();
    await field.fill('150 mm');
    await field.press('Enter');
    await page.keyboard.press('b');
    await expect.poll(() => letter(page, 'B').getAttribute('aria-pressed')).toBe('true');
    const list = page.locator('cc-readings select').first();
    const before = await list.inputValue();
    await list.focus();
    await page.keyboard.press('a');
    await expect.poll(() => letter(page, 'A').getAttribute('aria-pressed')).toBe('true');
    expect(await list.inputValue()).toBe(before);
    await field.fill('far');
    await field.press('Enter');
    await page.keyboard.press('b');
    expect(await letter(page, 'A').getAttribute('aria-pressed')).toBe('true');
    expect(await field.inputValue()).toContain('b');
  });

  test('panels close by Escape, by a click beside them and when the focus leaves', async () => {
    const page = await visit();
    for (const menu of await page.locator('cc-menu').all()) {
      const button = menu.locator('button[popovertarget]');
      const panel = menu.locator('[popover]');
      const open = async () => {
        await button.click();
        await expect.poll(() => panel.isVisible()).toBe(true);
      };
      const closed = () => expect.poll(() => panel.isVisible()).toBe(false);
      await open();
      await page.keyboard.press('Escape');
      await closed();
      await open();
      await page.mouse.click(5, 400);
      await closed();
      await open();
      await page.locator('cc-plan cc-quantity input').first().focus();
      await closed();
    }
  });

  test('what has the focus is never under the dock', async () => {
    const page = await visit({ viewport: { width: 1024, height: 900 } });
    await page.locator('cc-plan input').first().focus();
    let stops = 0;
    for (; stops < 60; stops++) {
      await page.keyboard.press('Tab');
      const at = await focused(page);
      if (!at || at.inDock) break;
      expect(at.bottom, at.name).toBeLessThanOrEqual(Math.max(at.dock, at.top + 1) + 4);
      expect(at.top, at.name).toBeLessThan(at.dock);
    }
    expect(stops).toBeGreaterThan(15);
  });
});

describe('colours and sizes', () => {
  test('forced colours tell the heard build, the test point and the tab apart', async () => {
    const page = await visit({ forcedColors: 'active' });
    const ground = (selector: string) =>
      page
        .locator(selector)
        .first()
        .evaluate(element => getComputedStyle(element).backgroundColor);
    for (const [on, off] of [
      ['cc-dock .letter[aria-pressed=true]', 'cc-dock .letter[aria-pressed=false]'],
      ['cc-path .point button[aria-pressed=true]', 'cc-path .point button[aria-pressed=false]'],
      ['cc-readings [role=tab][aria-selected=true]', 'cc-readings [role=tab][aria-selected=false]'],
    ] as const)
      expect(await ground(on), on).not.toBe(await ground(off));
  });

  // small, the bench Paper is looked at with its dialogs (keep.test.ts)
  for (const [address, widths] of [
    ['', [1024, 390]],
    ['?bench=paper', [1024]],
  ] as const)
    test(`axe, target size included, finds nothing to mend on ${address || 'the first bench'}`, async () => {
      for (const width of widths) {
        const page = await visit({ viewport: { width, height: width > 800 ? 768 : 844 } }, address);
        expect(await violations(page), `${width} px`).toEqual([]);
      }
    });

  test('no value is cut off in its field', async () => {
    const page = await visit();
    for (const station of await page.locator('cc-path button.station').all()) {
      await station.click();
      const cut = await page
        .locator('cc-station input[type=text]:visible, cc-plan input[type=text]:visible')
        .evaluateAll(inputs =>
          inputs.filter(i => i.scrollWidth > i.clientWidth + 1).map(i => (i as HTMLInputElement).value),
        );
      expect(cut).toEqual([]);
    }
  });
});
