/** Comparing builds on the built page: switching by keys while looping, the list of builds, listening tests by keyboard. */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import type { Letter, Sheet } from '../../shared/document/sheet.ts';
import { guessProbability } from '../../shared/statistics/binomial.ts';
import { writeLink } from '../../src/files/link.ts';
import { threeBuilds as buildsOnTake } from './ears.ts';
import { focused, violations } from './harness/accessibility.ts';
import { type Look, visits } from './harness/browser.ts';
import { Dock } from './harness/dock.ts';
import { ListeningTests } from './harness/listening-tests.ts';
import { heardSamples, peak, rateHeard, SETTLE } from './hearing.ts';

const site = visits();
const visit = (sheet: Sheet, look: Look = {}): Promise<Page> => site.visit(writeLink(sheet), look);
const threeBuilds = (): Sheet => buildsOnTake(true);

const dock = (page: Page) => new Dock(page).root;
const letter = (page: Page, name: string) => new Dock(page).letter(name as Letter);
const difference = (page: Page) => page.locator('cc-dock section > .fair p');
const tests = (page: Page) => new ListeningTests(page).root;
/** Level of one turn of the loop at the sound device, dB. */
const level = async (page: Page): Promise<number> => {
  const samples = await heardSamples(page, Math.round(0.4 * (await rateHeard(page))), SETTLE);
  return 10 * Math.log10(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);
};
const position = (page: Page) =>
  dock(page)
    .getByRole('slider', { name: /^Waveform/ })
    .getAttribute('aria-valuenow')
    .then(Number);
describe('three builds', () => {
  test('keys switch them while the loop goes on, level-matched, the difference in figures', async () => {
    const page = await visit(threeBuilds());
    await page.keyboard.press('Space');
    await expect.poll(() => peak(page)).toBeGreaterThan(1e-3);
    await page.keyboard.press('c');
    await expect.poll(() => letter(page, 'C').getAttribute('aria-pressed')).toBe('true');
    await expect.poll(() => difference(page).textContent()).toMatch(/^C −[\d.]+ dB measured, evened out$/);
    const told = Number((await difference(page).textContent())!.match(/−([\d.]+)/)![1]);
    expect(told).toBeGreaterThan(5);
    const levels: number[] = [];
    for (const key of ['a', 'b', 'c']) {
      await page.keyboard.press(key);
      await expect.poll(() => letter(page, key.toUpperCase()).getAttribute('aria-pressed')).toBe('true');
      levels.push(await level(page));
      const at = await position(page);
      expect(at).toBeGreaterThanOrEqual(0.7);
      expect(at).toBeLessThanOrEqual(1.3);
    }
    // equally loud over the whole take, so within a few dB unweighted in one part of it; the truth is `told` apart
    expect(Math.abs(levels[2] - levels[1])).toBeLessThan(1);
    const match = dock(page).getByRole('checkbox', { name: 'Level match' });
    await match.focus();
    await page.keyboard.press('Space');
    await expect.poll(() => difference(page).textContent()).toContain('as it is');
    await page.keyboard.press('c');
    const quiet = await level(page);
    await page.keyboard.press('b');
    const loud = await level(page);
    expect(loud - quiet).toBeGreaterThan(3);
  });

  test('the loudness is an estimate while something changes and measured a moment after', async () => {
    const page = await visit({ ...threeBuilds(), view: { ...threeBuilds().view, heard: 'C' } });
    await expect.poll(() => difference(page).textContent()).toContain('measured');
    const figure = async () => Number((await difference(page).textContent())!.match(/−([\d.]+)/)![1]);
    const seen = page.evaluate(
      () =>
        new Promise<string[]>(resolve => {
          const texts: string[] = [];
          const line = document
            .querySelector('cc-app')!
            .shadowRoot!.querySelector('cc-dock')!
            .shadowRoot!.querySelector('section > .fair p')!;
          new MutationObserver(() => {
            texts.push(line.textContent ?? '');
            if (texts.length > 1 && texts.at(-1)!.includes('measured')) resolve(texts);
          }).observe(line, { characterData: true, childList: true, subtree: true });
        }),
    );
    const before = await figure();
    const slider = page
      .locator('cc-plan')
      .getByRole('slider', { name: /bridge/i })
      .first();
    await slider.focus();
    for (let i = 0; i < 8; i++) await page.keyboard.press('ArrowRight');
    const texts = await seen;
    expect(texts[0]).toContain('estimate');
    const estimated = Number(
      texts
        .filter(text => text.includes('estimate'))
        .at(-1)!
        .match(/−([\d.]+)/)![1],
    );
    // farther from the saddle is louder; the estimate was right within half a decibel
    expect(await figure()).toBeLessThan(before);
    expect(Math.abs((await figure()) - estimated)).toBeLessThan(0.5);
  });

  test('loop ends by typed times and by keys on their handles', async () => {
    const page = await visit({ ...threeBuilds(), loop: null });
    const start = dock(page).getByLabel('loop start').locator('visible=true').and(page.locator('input'));
    await start.fill('1.25 s');
    await start.press('Enter');
    const handle = dock(page).getByRole('slider', { name: 'loop start' });
    await expect.poll(() => handle.getAttribute('aria-valuenow')).toBe('1.25');
    await handle.focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    expect(await handle.getAttribute('aria-valuetext')).toBe('1.36 s');
    expect(await start.inputValue()).toBe('1.36 s');
    await start.fill('99 s');
    await start.press('Enter');
    expect(await dock(page).getByRole('alert').first().textContent()).toContain('accepted here');
    expect(await handle.getAttribute('aria-valuenow')).toBe('1.36');
  });

  test('the list: move, copy, rename and remove by keyboard, with a way back', async () => {
    const page = await visit(threeBuilds());
    await dock(page)
      .getByRole('button', { name: /^Builds: / })
      .focus();
    await page.keyboard.press('Enter');
    const panel = page.locator('cc-builds-panel');
    const names = () => panel.locator('li input').evaluateAll(list => list.map(one => (one as HTMLInputElement).value));
    const before = await names();
    await panel.getByRole('button', { name: 'Move build C up' }).focus();
    await page.keyboard.press('Enter');
    await expect.poll(names).toEqual([before[0], before[2], before[1]]);
    await expect.poll(() => focused(page)).toBe('Move build B up');
    await panel.getByRole('button', { name: 'Copy build A' }).press('Enter');
    await expect.poll(names).toEqual([before[0], before[2], before[1], before[0]]);
    await panel.getByLabel('name of build D').fill('fourth');
    await panel.getByLabel('name of build D').press('Enter');
    await panel.getByRole('button', { name: /^Remove build B/ }).press('Enter');
    await expect.poll(names).toEqual([before[0], before[1], 'fourth']);
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Bring it back' }).press('Enter');
    expect(await dock(page).locator('.letters button.letter').count()).toBe(4);
  });

  test('what differs is told in words and numbers', async () => {
    const page = await visit({ ...threeBuilds(), view: { ...threeBuilds().view, heard: 'C', reference: 'B' } });
    await dock(page)
      .getByRole('button', { name: /^Builds: / })
      .click();
    const rows = page.locator('cc-differences tbody tr');
    expect(await rows.count()).toBe(1);
    expect((await rows.first().textContent())!.replace(/\s+/g, ' ')).toContain('volume setting100 %60 %−40 %');
  });
});

describe('listening tests', () => {
  test('ten blind trials with the keyboard only; nothing told before the end, and the run is kept', async () => {
    const page = await visit({ ...threeBuilds(), test: { builds: ['A', 'B'], trials: 10 } });
    await page.getByText('This link carries a blind test: A against B, 10 trials.').waitFor();
    await dock(page).getByRole('button', { name: 'Blind test' }).focus();
    await page.keyboard.press('Enter');
    const start = tests(page).getByRole('button', { name: 'Start' });
    await expect.poll(() => start.isEnabled()).toBe(true);
    expect(await tests(page).getByLabel('trials').inputValue()).toBe('10');
    for (let i = 0; i < 30 && (await focused(page)) !== 'Start'; i++) await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await tests(page).getByText('Trial 1 of 10').waitFor();
    await expect.poll(() => peak(page)).toBeGreaterThan(1e-3);
    // an answer does not count before X was heard
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('Enter');
    expect(await tests(page).getByText('Trial 1 of 10').isVisible()).toBe(true);
    const said: string[] = [];
    for (let i = 0; i < 10; i++) {
      await tests(page)
        .getByText(`Trial ${i + 1} of 10`)
        .waitFor();
      for (const key of ['1', '2', 'x']) await page.keyboard.press(key);
      await expect.poll(() => tests(page).locator('.hear[aria-pressed=true]').textContent()).toContain('X');
      // the page behind shows what it showed, and says nothing of hits
      expect(await letter(page, 'A').getAttribute('aria-pressed')).toBe('true');
      expect(await tests(page).textContent()).not.toMatch(/right|chance|guessing/);
      const right = i % 3 === 0;
      await page.keyboard.press(right ? 'ArrowRight' : 'ArrowLeft');
      said.push(right ? 'B' : 'A');
      await page.keyboard.press('Enter');
    }
    const rows = tests(page).locator('tbody tr');
    await rows.first().waitFor();
    expect(await rows.count()).toBe(10);
    const cells = await rows.evaluateAll(list =>
      list.map(row => [...row.querySelectorAll('td')].map(cell => cell.textContent?.trim() ?? '')),
    );
    expect(cells.map(row => row[1])).toEqual(said);
    for (const [x, answer, verdict] of cells) expect(verdict).toBe(x === answer ? 'right' : 'not');
    const hits = cells.filter(([x, answer]) => x === answer).length;
    expect(await tests(page).locator('.verdict').textContent()).toContain(`${hits} of 10: `);
    const p = guessProbability(hits, 10);
    expect(await tests(page).textContent()).toContain(p < 0.001 ? 'below 0.001' : p.toFixed(3));
    // neither Escape nor a reload takes a result that is not kept
    await page.keyboard.press('Escape');
    await expect.poll(() => focused(page)).toBe('Keep it');
    const asked = page.waitForEvent('dialog');
    const reload = page.evaluate(() => location.reload());
    const question = await asked;
    expect(question.type()).toBe('beforeunload');
    await question.dismiss();
    await reload.catch(() => undefined);
    await tests(page).getByRole('button', { name: 'Stay here' }).click();
    expect(await rows.count()).toBe(10);
    await page.locator('cc-listening .outcome').focus();
    for (let i = 0; i < 20 && (await focused(page)) !== 'Keep with the builds'; i++) await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await tests(page).getByText('Kept with the builds;').waitFor();
    await page.keyboard.press('Escape');
    await expect.poll(() => tests(page).isVisible()).toBe(false);
    await dock(page).getByRole('button', { name: 'Blind test' }).press('Enter');
    await tests(page).getByText('Kept runs (1)').waitFor();
  });

  test('Escape asks before answers are lost, and giving up gives the page its sound back', async () => {
    const page = await visit(threeBuilds());
    await dock(page).getByRole('button', { name: 'Blind test' }).click();
    await expect.poll(() => tests(page).getByRole('button', { name: 'Start' }).isEnabled()).toBe(true);
    await tests(page).getByRole('button', { name: 'Start' }).click();
    await tests(page).getByText('Trial 1 of 16').waitFor();
    await page.keyboard.press('Escape');
    await tests(page).getByRole('alertdialog').waitFor();
    expect(await focused(page)).toBe('Go on');
    await page.keyboard.press('Enter');
    expect(await tests(page).getByText('Trial 1 of 16').isVisible()).toBe(true);
    await page.keyboard.press('Escape');
    await tests(page).getByRole('button', { name: 'Give it up' }).press('Enter');
    await tests(page).getByRole('button', { name: 'Start' }).waitFor();
    await page.keyboard.press('Escape');
    await page.keyboard.press('c');
    await expect.poll(() => letter(page, 'C').getAttribute('aria-pressed')).toBe('true');
  });

  test('a preference run over three builds by keys ends in a ranking with its doubt', async () => {
    const page = await visit(threeBuilds());
    await dock(page).getByRole('button', { name: 'Blind test' }).click();
    await tests(page).getByRole('radio', { name: 'Which do you prefer?' }).check();
    await tests(page).getByLabel('rounds').selectOption('1');
    await expect.poll(() => tests(page).getByRole('button', { name: 'Start' }).isEnabled()).toBe(true);
    await tests(page).getByRole('button', { name: 'Start' }).click();
    for (let i = 0; i < 3; i++) {
      await tests(page)
        .getByText(`Choice ${i + 1} of 3`)
        .waitFor();
      // neither letter nor name of what is heard
      expect(await tests(page).locator('.trial').textContent()).not.toMatch(/Neck|Bridge/);
      for (const key of ['2', '1', 'ArrowLeft', 'Enter']) await page.keyboard.press(key);
    }
    expect(await tests(page).locator('tbody tr').count()).toBe(3);
    expect(await tests(page).locator('.verdict').textContent()).toMatch(
      /Too few choices|beyond what luck would do in 3 choices/,
    );
    await tests(page).getByRole('button', { name: 'Close' }).click();
    await tests(page).getByRole('button', { name: 'Let it go' }).click();
    await expect.poll(() => tests(page).isVisible()).toBe(false);
  });

  for (const scheme of ['light', 'dark'] as const)
    test(`axe finds nothing to mend, ${scheme}`, async () => {
      // ends of a loop may lie closer together than a finger is wide: they stand as fields too
      const page = await visit({ ...threeBuilds(), loop: { from: 0.8, to: 2.4 } }, { colorScheme: scheme });
      await page.keyboard.press('b');
      await dock(page)
        .getByRole('button', { name: /^Builds: / })
        .click();
      expect(await violations(page), 'builds').toEqual([]);
      await page.keyboard.press('Escape');
      await dock(page).getByRole('button', { name: 'Blind test' }).click();
      expect(await violations(page), 'setup').toEqual([]);
      await expect.poll(() => tests(page).getByRole('button', { name: 'Start' }).isEnabled()).toBe(true);
      await tests(page).getByLabel('trials').fill('5');
      await tests(page).getByLabel('trials').press('Tab');
      await tests(page).getByRole('button', { name: 'Start' }).click();
      await tests(page).getByText('Trial 1 of 5').waitFor();
      expect(await violations(page), 'trial').toEqual([]);
      for (let i = 0; i < 5; i++) for (const key of ['x', 'ArrowLeft', 'Enter']) await page.keyboard.press(key);
      await tests(page).locator('.verdict').waitFor();
      expect(await violations(page), 'result').toEqual([]);
    });

  for (const width of [390, 1024, 1440])
    test(`dock and dialogs fit at ${width} px`, async () => {
      const page = await visit(threeBuilds(), { viewport: { width, height: 844 } });
      const over = () => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      if (width === 1440) expect((await dock(page).boundingBox())!.height).toBeLessThanOrEqual(96);
      await dock(page)
        .getByRole('button', { name: /^Builds: / })
        .click();
      expect(await over()).toBeLessThanOrEqual(0);
      const inside = await page.locator('cc-dock [popover]').boundingBox();
      expect(inside!.x).toBeGreaterThanOrEqual(0);
      expect(inside!.x + inside!.width).toBeLessThanOrEqual(width);
      expect(inside!.y).toBeGreaterThanOrEqual(0);
      await page.keyboard.press('Escape');
      await dock(page).getByRole('button', { name: 'Blind test' }).click();
      expect(await over()).toBeLessThanOrEqual(0);
    });
});
