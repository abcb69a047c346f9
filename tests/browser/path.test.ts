/** The signal path as a person uses it: stations, fields, schematic, selector, chain, in a real browser. */
import { readFileSync } from 'node:fs';
import type { Locator, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { type Letter, STATIONS, type Station } from '../../shared/document/sheet.ts';
import { rodLoss } from '../../shared/sensor/typical.ts';
import { words } from '../../src/words/path-words.ts';
import { violations } from './harness/accessibility.ts';
import { type Look, visits } from './harness/browser.ts';
import { Dock } from './harness/dock.ts';
import { Stations } from './harness/stations.ts';
import { loadedPeak } from './loaded-coil.ts';

const { visit } = visits();
const open = async (look: Look = {}): Promise<Page> => {
  const page = await visit('', { viewport: { width: 1440, height: 1000 }, ...look });
  await page.evaluate(() => document.fonts.ready);
  return page;
};

const panel = (page: Page) => new Stations(page).panel;
const station = (page: Page, name: Station) => new Stations(page).button(name);
const undo = (page: Page) => page.locator('cc-app').getByRole('button', { name: /undo/i });
const hear = (page: Page, letter: Letter) => new Dock(page).letter(letter);
const type = async (field: Locator, text: string) => {
  await field.fill(text);
  await field.press('Enter');
};
const field = (page: Page, label: string) => new Stations(page).field(label).input;
const value = (page: Page, pointer: string) => panel(page).locator(`cc-schematic .edit[data-pointer="${pointer}"]`);

/** The resonances in the table of positions, Hz; NaN: none. */
async function resonances(page: Page): Promise<number[]> {
  const rows = panel(page).locator('cc-positions tbody tr');
  const texts = await rows.locator('td:nth-child(2)').allInnerTexts();
  return texts.map(text => Number.parseFloat(text) * (text.includes('kHz') ? 1000 : 1));
}

const parallel = (...r: number[]) => 1 / r.reduce((sum, x) => sum + 1 / x, 0);
/** Loss of a coil of 2.5 H around rod magnets, ohm. */
const LOSS = (rodLoss(2.5) as { resistance: number }).resistance;
/** Build B of the demo: 6 kΩ, 2.5 H, 100 pF; volume and tone 250 kΩ at 10, the tone capacitor a short at resonance. */
const demoPeak = (cable: number) => loadedPeak(6000, 2.5, 100e-12 + cable, parallel(250e3, 250e3, 1e6), LOSS);

describe('stations and test points', () => {
  test('a station opens its fields, a test point is chosen, by keyboard', async () => {
    const page = await open();
    for (const name of STATIONS) {
      await station(page, name).focus();
      await page.keyboard.press('Enter');
      expect(await station(page, name).getAttribute('aria-pressed')).toBe('true');
      const title = await station(page, name).locator('.title').textContent();
      expect(await panel(page).locator('header h2').textContent()).toBe(title);
    }
    const points = page.locator('cc-path .point button');
    expect(await points.count()).toBe(5);
    await points.nth(1).focus();
    await page.keyboard.press('Space');
    expect(await points.nth(1).getAttribute('aria-pressed')).toBe('true');
    expect(await points.nth(4).getAttribute('aria-pressed')).toBe('false');
  });
});

describe('selector', () => {
  test('digits choose positions wherever no text is typed', async () => {
    const page = await open();
    await station(page, 'position').click();
    await type(panel(page).getByRole('textbox', { name: /configuration/ }), 'HSS');
    await station(page, 'coils').click();
    const chosen = async () => panel(page).locator('.positions button[aria-pressed="true"]').textContent();
    for (const [key, label] of [
      ['5', 'neck'],
      ['2', 'bridge + middle'],
      ['9', 'bridge + middle'],
    ]) {
      await page.keyboard.press(key);
      expect(await chosen()).toContain(label);
    }
    const pot = field(page, 'volume pot');
    await pot.focus();
    await page.keyboard.press('4');
    expect(await pot.inputValue()).toBe('4');
    expect(await chosen()).toContain('bridge + middle');
  });

  test('a silent position names the part that shorts it', async () => {
    const page = await open();
    await station(page, 'coils').click();
    await panel(page).getByText('Blend, fixed parts, stereo').click();
    await panel(page).getByRole('button', { name: '+ resistor' }).click();
    expect(await panel(page).locator('.wrong').count()).toBe(0);
    await type(field(page, 'resistor'), '1m');
    expect(await panel(page).locator('.wrong').textContent()).toMatch(/fixed resistor 1 mΩ .* shorts the signal/);
    await undo(page).click();
    expect(await panel(page).locator('.wrong').count()).toBe(0);
  });
});

describe('cable and input', () => {
  test('a shorter cable moves the resonance to where the closed form says, and the note says so', async () => {
    const page = await open();
    await hear(page, 'B').click();
    await station(page, 'cable').click();
    await type(field(page, 'cable length'), '3');
    // sentences and figures come when the hand rests
    const shown = panel(page).locator('.note');
    await shown.filter({ hasText: '3 m instead of 5 m' }).waitFor();
    const note = (await shown.textContent())!;
    const found = /3 m instead of 5 m: resonance ([\d.]+) → ([\d.]+) kHz/.exec(note);
    expect(found, note).not.toBeNull();
    expect(Math.abs((1000 * Number(found![1])) / demoPeak(500e-12) - 1)).toBeLessThan(0.01);
    expect(Math.abs((1000 * Number(found![2])) / demoPeak(300e-12) - 1)).toBeLessThan(0.01);
    expect(note).toMatch(/listeners just notice/);
    expect(await undo(page).getAttribute('aria-label')).toBe('Undo: change cable length');
  });

  test('the ruler moves by keys and by drag; a drag is one step', async () => {
    const page = await open();
    await station(page, 'cable').click();
    const ruler = new Stations(page).ruler('cable length');
    await ruler.press('ArrowRight');
    expect(await ruler.text()).toBe('5.5 m');
    await ruler.press('Shift+ArrowLeft');
    expect(await ruler.text()).toBe('5.45 m');
    await ruler.drag(5 / 15, 8 / 15, 10 / 15);
    expect(await ruler.text()).toBe('10 m');
    await undo(page).click();
    expect(await ruler.text()).toBe('5.45 m');
  });

  test('a buffer before ten metres brings the resonance back', async () => {
    const page = await open();
    await hear(page, 'B').click();
    await station(page, 'cable').click();
    await type(field(page, 'cable length'), '10 m');
    const shown = async () =>
      Number(/ B ([\d.]+) kHz$/.exec((await station(page, 'cable').textContent())!.trim())?.[1]);
    // figures come when the hand rests
    await expect.poll(async () => Math.abs((1000 * (await shown())) / demoPeak(1000e-12) - 1)).toBeLessThan(0.015);
    await panel(page).getByRole('button', { name: '+ buffer' }).click();
    // it comes in before the input; moved up, it stands before the cable
    await panel(page).getByRole('button', { name: 'buffer: move up' }).click();
    // bare coil into the buffer: its own 100 pF and the buffer's 10 pF, 1 MΩ; damped so far that no peak may be left,
    // so read what the network does at the jack of a less damped control: pots of 1 MΩ
    await station(page, 'coils').click();
    await type(field(page, 'volume pot'), '1M');
    await type(field(page, 'tone pot'), '1M');
    await station(page, 'cable').click();
    const bare = loadedPeak(6000, 2.5, 110e-12, parallel(1e6, 1e6, 1e6), LOSS);
    await expect.poll(async () => Math.abs((1000 * (await shown())) / bare - 1)).toBeLessThan(0.02);
    // the network shows an amplifier
    expect(await panel(page).locator('cc-schematic .line.amplifier').count()).toBe(1);
  });

  test('a refused entry says what is accepted and changes nothing', async () => {
    const page = await open();
    await station(page, 'cable').click();
    const before = await station(page, 'cable').textContent();
    for (const bad of ['-3 m', '0.2 V', 'long']) {
      const length = new Stations(page).field('cable length');
      await length.enter(bad);
      await expect.poll(() => length.message()).toMatch(/expected|accepted/);
    }
    expect(await station(page, 'cable').textContent()).toBe(before);
    expect(await undo(page).isDisabled()).toBe(true);
  });
});

describe('schematic', () => {
  test('a value is edited where it stands, by keyboard alone', async () => {
    const page = await open();
    await station(page, 'cable').click();
    const pointer = '/harness/controls/0/tone/capacitance';
    await value(page, pointer).focus();
    await page.keyboard.press('Enter');
    await page.waitForFunction(() => document.activeElement !== document.body);
    await expect.poll(() => panel(page).locator('cc-schematic cc-quantity').count()).toBe(1);
    await page.keyboard.press('Control+a');
    await page.keyboard.type('47n');
    await page.keyboard.press('Enter');
    await expect.poll(() => value(page, pointer).locator('text').textContent()).toBe('47 n');
    // the field is gone and the value has the focus again
    await expect.poll(() => panel(page).locator('cc-schematic cc-quantity').count()).toBe(0);
    await page.keyboard.press('Enter');
    await page.keyboard.type('0');
    await page.keyboard.press('Enter');
    expect(await panel(page).locator('cc-schematic').getByRole('alert').textContent()).toMatch(/accepted|expected/);
    await page.keyboard.press('Escape');
    expect(await value(page, pointer).locator('text').textContent()).toBe('47 n');
  });

  test('its parts are also a list', async () => {
    const page = await open();
    await station(page, 'cable').click();
    await panel(page).getByRole('button', { name: 'Parts list' }).click();
    const rows = await panel(page).locator('cc-schematic tbody tr').allInnerTexts();
    expect(rows.some(row => /volume pot\s+500 kΩ/.test(row))).toBe(true);
    expect(rows.some(row => /Neck, neck-side: inductance\s+2.25 H/.test(row))).toBe(true);
    // both files hold what their names say
    const saved = async (label: string) => {
      const button = panel(page).locator('cc-schematic').getByRole('button', { name: label, exact: true });
      const [download] = await Promise.all([page.waitForEvent('download'), button.click()]);
      return { name: download.suggestedFilename(), text: readFileSync(await download.path(), 'utf8') };
    };
    const netlist = await saved(words.netlist);
    expect(netlist.name).toMatch(/\.cir$/);
    expect(netlist.text).toMatch(/\n\.ac [\s\S]*\n\.end\s*$/);
    const drawing = await saved(words.saveDrawing);
    expect(drawing.name).toMatch(/\.svg$/);
    expect(drawing.text).toMatch(/^<svg [\s\S]*500 k[\s\S]*<\/svg>\s*$/);
  });
});

describe('a harness from nothing', () => {
  test('HSS with five positions: each by a click, the schematic follows', async () => {
    const page = await open();
    await station(page, 'position').click();
    await type(panel(page).getByRole('textbox', { name: /configuration/ }), 'HXS');
    expect(await panel(page).getByRole('alert').textContent()).toMatch(/HSS/);
    await type(panel(page).getByRole('textbox', { name: /configuration/ }), 'hss');
    expect(await page.locator('cc-plan .pickup.heard, cc-plan .pickup').count()).toBeGreaterThanOrEqual(3);
    await station(page, 'coils').click();
    const positions = panel(page).locator('.positions button');
    expect(await positions.count()).toBe(5);
    // coils in use, position by position from the bridge: both of the double, one and the middle, …
    const sources: number[] = [];
    for (let i = 0; i < 5; i++) {
      await positions.nth(i).click();
      expect(await positions.nth(i).getAttribute('aria-pressed')).toBe('true');
      sources.push(await panel(page).locator('cc-schematic .line.source').count());
    }
    expect(sources).toEqual([2, 2, 1, 2, 1]);
    await panel(page).locator('summary', { hasText: 'All selector positions' }).click();
    await expect.poll(() => panel(page).locator('cc-positions tbody tr').count()).toBe(5);
    // one coil alone hums; a reverse-wound pair cancels, the more so the more alike its coils
    const hum = await panel(page).locator('cc-positions tbody tr td:nth-child(6)').allInnerTexts();
    expect(hum[3]).toMatch(/cancelled/);
    expect(Number.parseFloat(hum[4].replace('−', '-'))).toBeGreaterThan(-3);
  });

  test('volume at half loses treble: the octave at 4 kHz falls against 250 Hz, a treble bleed brings it back', async () => {
    const page = await open();
    await hear(page, 'B').click();
    await station(page, 'coils').click();
    // one more position, so that the table of figures is there
    await panel(page).locator('summary', { hasText: 'What each position connects' }).click();
    await panel(page).getByRole('button', { name: 'Add a position' }).click();
    await panel(page).locator('summary', { hasText: 'All selector positions' }).click();
    const octave4k = async () => {
      const row = panel(page).locator('cc-positions tbody tr').last();
      const text = (await row.locator('td:nth-child(4)').textContent())!;
      return Number(text.split(' / ')[2].replace('−', '-').replace('+', ''));
    };
    await panel(page).locator('summary', { hasText: 'Taper, tolerance' }).click();
    await panel(page).getByLabel('taper').first().selectOption({ label: 'linear' });
    const full = await octave4k();
    expect((await resonances(page))[1]).toBeGreaterThan(3600);
    const ruler = panel(page).getByRole('slider', { name: 'Master volume setting' });
    await ruler.focus();
    await page.keyboard.press('PageDown');
    expect(await ruler.getAttribute('aria-valuetext')).toBe('5');
    const half = await octave4k();
    expect(half).toBeLessThan(full - 3);
    expect((await resonances(page))[1]).toBeNaN();
    await panel(page).getByLabel('treble bleed').selectOption({ label: 'capacitor alone' });
    expect(await octave4k()).toBeGreaterThan(half + 3);
    expect((await resonances(page))[1]).toBeGreaterThan(4000);
    expect(await value(page, '/harness/controls/0/volume/bleed/capacitance').count()).toBe(1);
  });

  test('a pickup is added, shown in the plan, and removed again with its wiring', async () => {
    const page = await open();
    await station(page, 'position').click();
    await panel(page).locator('summary', { hasText: 'Add a pickup' }).click();
    await panel(page)
      .getByRole('button', { name: /single coil, rod magnets/ })
      .click();
    await expect.poll(() => panel(page).getByRole('group', { name: 'Pickups' }).getByRole('button').count()).toBe(2);
    await station(page, 'coils').click();
    expect(await panel(page).locator('.positions button').count()).toBe(4);
    await station(page, 'position').click();
    await panel(page)
      .getByRole('button', { name: /^Remove (Bridge|Middle|Neck)/ })
      .click();
    await station(page, 'coils').click();
    expect(await panel(page).locator('.positions button').count()).toBe(3);
  });
});

describe('for everyone', () => {
  /** Opens whatever can be opened in the panel of a station. */
  const unfold = (page: Page) =>
    panel(page)
      .locator('details')
      .evaluateAll(all => {
        for (const one of all) (one as HTMLDetailsElement).open = true;
      });

  for (const colorScheme of ['light', 'dark'] as const)
    test(`axe finds nothing on the bench with any station open, ${colorScheme}`, async () => {
      const page = await open({ colorScheme });
      await page.getByText('Distances and strings').click();
      for (const name of STATIONS) {
        await station(page, name).click();
        await unfold(page);
        expect(await violations(page), name).toEqual([]);
      }
    });

  test('nothing leaves the page at 390, 1024 and 1440 px', async () => {
    const page = await open();
    const over = () => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    for (const width of [390, 1024, 1440]) {
      await page.setViewportSize({ width, height: 900 });
      for (const name of STATIONS) {
        await station(page, name).click();
        expect(await over(), `${name} ${width}`).toBeLessThanOrEqual(0);
        await unfold(page);
        expect(await over(), `${name} ${width}`).toBeLessThanOrEqual(0);
        const outside = await panel(page).evaluate(host => {
          const right = host.getBoundingClientRect().right;
          return [...host.shadowRoot!.querySelectorAll('*')]
            .filter(e => !e.closest('.scroll') && !e.closest('svg') && e.getBoundingClientRect().width > 1)
            .filter(e => e.getBoundingClientRect().right > right + 1)
            .map(e => `${e.tagName}.${e.className}`);
        });
        expect(outside, `${name} ${width}`).toEqual([]);
      }
    }
  });
});
