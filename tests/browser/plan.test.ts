/** The plan and the instrument form as a person uses them: pointer, touch, keys and typing, in a real browser. */
import type { Locator, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { type Look, visits } from './harness/browser.ts';

const { visit, profile, visitIn } = visits();
const open = async (look: Look = {}): Promise<Page> => {
  const page = await visit('', look);
  await page.evaluate(() => document.fonts.ready);
  return page;
};
const heardPickup = (page: Page) => page.locator('cc-plan .pickup.heard');
const position = async (pickup: Locator) => Number(await pickup.getAttribute('aria-valuenow'));
const undo = (page: Page) => page.locator('cc-app').getByRole('button', { name: /undo/i });
const undoName = (page: Page) => undo(page).getAttribute('aria-label');

/** Middle of an element, px. */
async function middle(locator: Locator): Promise<{ x: number; y: number }> {
  const box = (await locator.boundingBox())!;
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/** px per millimetre, from two things on the drawing that are not pickups: saddle line and fret 12 of a 648 mm scale. */
async function scaleOf(page: Page): Promise<{ saddle: number; perMillimetre: number }> {
  const saddle = (await page.locator('cc-plan .drawing').boundingBox())!.x;
  const twelfth = await middle(page.locator('cc-plan .fret-number', { hasText: /^12$/ }));
  return { saddle, perMillimetre: (twelfth.x - saddle) / 324 };
}

describe('moving a pickup', () => {
  test('stands to scale: pickups, frets and nodes share one scale, across as well as along', async () => {
    const page = await open();
    const { saddle, perMillimetre } = await scaleOf(page);
    const at = (await middle(heardPickup(page).locator('.ring'))).x;
    expect((at - saddle) / perMillimetre).toBeCloseTo(162, 0);
    // first node of the fifth partial of the open string: 648 / 5 mm
    const node = (await middle(page.locator('cc-plan .node').first())).x;
    expect((node - saddle) / perMillimetre).toBeCloseTo(129.6, 0);
    // outer poles are 48.5 to 52 mm apart in the demo; the note says how far
    const poles = await page.locator('cc-plan .pickup.heard .pole').all();
    const first = await middle(poles[0]);
    const last = await middle(poles[5]);
    const note = await page.locator('cc-plan .scale-note').textContent();
    const stated = Number(/poles ([\d.]+)/.exec(note!)![1]);
    expect((last.y - first.y) / perMillimetre).toBeCloseTo(stated, 0);
  });

  test('by mouse it goes where the pointer goes; a drag that rests is one step, undo takes it back', async () => {
    const page = await open();
    const { perMillimetre } = await scaleOf(page);
    const pickup = heardPickup(page);
    const before = await position(pickup);
    const from = await middle(pickup.locator('.coil').first());
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(from.x - 30, from.y, { steps: 4 });
    await page.waitForTimeout(1700);
    await page.mouse.move(from.x - 20 * perMillimetre, from.y, { steps: 4 });
    await page.mouse.up();
    expect(await position(pickup)).toBeCloseTo(before - 20, 0);
    // no place that nobody could lay out: every half millimetre
    expect((await position(pickup)) * 2).toBe(Math.round((await position(pickup)) * 2));
    expect(await undoName(page)).toBe('Undo: move neck pickup');
    await undo(page).click();
    expect(await position(pickup)).toBe(before);
    await expect.poll(() => undo(page).isDisabled()).toBe(true);
  });

  test('a drag stops at the limits', async () => {
    const page = await open();
    const pickup = heardPickup(page);
    const from = await middle(pickup.locator('.coil').first());
    for (const [x, limit] of [
      [0, 'aria-valuemin'],
      [1430, 'aria-valuemax'],
    ] as const) {
      const now = await middle(pickup.locator('.coil').first());
      await page.mouse.move(now.x, from.y);
      await page.mouse.down();
      await page.mouse.move(x, from.y, { steps: 5 });
      await page.mouse.up();
      expect(await position(pickup)).toBe(Number(await pickup.getAttribute(limit)));
    }
    // 0.45 of 648 mm
    expect(await position(pickup)).toBeCloseTo(291.6, 1);
  });

  test('a click alone moves nothing', async () => {
    const page = await open();
    const from = await middle(heardPickup(page).locator('.coil').first());
    await page.mouse.click(from.x + 3, from.y);
    expect(await position(heardPickup(page))).toBe(162);
    expect(await undo(page).isDisabled()).toBe(true);
  });

  test('by finger', async () => {
    const page = await visitIn(await profile({ viewport: { width: 1024, height: 800 }, hasTouch: true }));
    const { perMillimetre } = await scaleOf(page);
    const pickup = heardPickup(page);
    const from = await middle(pickup.locator('.coil').first());
    const touch = await page.context().newCDPSession(page);
    const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', x: number) =>
      touch.send('Input.dispatchTouchEvent', { type, touchPoints: type === 'touchEnd' ? [] : [{ x, y: from.y }] });
    await send('touchStart', from.x);
    for (let i = 1; i <= 10; i++) await send('touchMove', from.x - i * perMillimetre);
    await send('touchEnd', 0);
    await expect.poll(() => position(pickup)).toBeCloseTo(152, 0);
  });

  test('by keys: 1 mm, with Shift 0.1 mm, Home and End to the limits, slant by the page keys', async () => {
    const page = await open();
    const pickup = heardPickup(page);
    await pickup.focus();
    await page.keyboard.press('ArrowRight');
    expect(await position(pickup)).toBe(163);
    await page.keyboard.press('Shift+ArrowLeft');
    expect(await position(pickup)).toBe(162.9);
    expect(await pickup.getAttribute('aria-valuetext')).toBe('162.9 mm from the saddle');
    await page.keyboard.press('PageUp');
    await page.keyboard.press('Alt+ArrowRight');
    expect(await pickup.getAttribute('aria-valuetext')).toBe('162.9 mm from the saddle, slanted 1°');
    expect(await undoName(page)).toBe('Undo: slant neck pickup');
    await page.keyboard.press('End');
    expect(await position(pickup)).toBeCloseTo(291.6, 1);
    await page.keyboard.press('Home');
    expect(await position(pickup)).toBe(Number(await pickup.getAttribute('aria-valuemin')));
  });

  test('in inches the keys step 1/32 in and 0.005 in', async () => {
    const page = await open();
    await page.locator('cc-app cc-menu button[title^=Paper]').click();
    await page.getByLabel('inches').check();
    const pickup = heardPickup(page);
    await pickup.focus();
    await page.keyboard.press('ArrowRight');
    expect(await position(pickup)).toBeCloseTo(162 + 25.4 / 32, 1);
    await page.keyboard.press('Shift+ArrowLeft');
    expect(await pickup.getAttribute('aria-valuetext')).toBe(
      `${(162 / 25.4 + 1 / 32 - 0.005).toFixed(3)} in from the saddle`,
    );
  });

  test('the handle slants it by the angle the pointer goes round', async () => {
    const page = await open();
    const handle = page.locator('cc-plan .slant');
    const centre = await middle(heardPickup(page).locator('.ring'));
    const from = await middle(handle.locator('.dot'));
    const radius = from.y - centre.y;
    const turn = (10 * Math.PI) / 180;
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(centre.x + radius * Math.sin(turn), centre.y + radius * Math.cos(turn), { steps: 6 });
    await page.mouse.up();
    expect(Number(await handle.getAttribute('aria-valuenow'))).toBeCloseTo(10, 0);
    expect(await handle.getAttribute('aria-valuetext')).toContain('bass side towards the nut');
    // the bass end went towards the nut, the treble end towards the saddle
    const poles = await page.locator('cc-plan .pickup.heard .pole').all();
    expect((await middle(poles[5])).x).toBeGreaterThan((await middle(poles[0])).x + 20);
  });
});

describe('typing', () => {
  test('a position in inches on a plan in millimetres; what is out of range gets a message and changes nothing', async () => {
    const page = await open();
    const field = page.locator('cc-pickup-fields cc-quantity').first();
    const input = field.locator('input');
    await input.fill('4 9/16 in');
    await input.press('Enter');
    expect(await position(heardPickup(page))).toBe(115.9);
    await input.fill('400');
    await input.press('Enter');
    expect(await field.locator('[role=alert]').textContent()).toContain('291.6 mm');
    expect(await position(heardPickup(page))).toBe(115.9);
    await input.fill('close to the neck');
    await input.press('Enter');
    expect(await field.locator('[role=alert]').textContent()).toContain('expected');
    await input.press('Escape');
    expect(await field.locator('[role=alert]').count()).toBe(0);
    expect(await position(heardPickup(page))).toBe(115.9);
  });

  test('the name of a pickup stands on its tag and in the name of its steps', async () => {
    const page = await open();
    const name = page.locator('cc-pickup-fields input[type=text][aria-label=name]');
    await name.fill('Fat one');
    await name.press('Enter');
    await expect.poll(() => page.locator('cc-plan .tag.heard').allTextContents()).toEqual(['A fat one']);
    await heardPickup(page).focus();
    await page.keyboard.press('ArrowLeft');
    expect(await undoName(page)).toBe('Undo: move fat one pickup');
  });
});

describe('builds, strings and partials', () => {
  test("a click on another build's pickup makes that build heard; by keys it keeps the focus", async () => {
    const page = await open();
    await page.locator('cc-plan .pickup.other .hit').click({ force: true });
    await expect.poll(() => page.locator('cc-plan .tag.heard').allTextContents()).toEqual(['B bridge']);
    await page.locator('cc-plan .pickup.other').focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('cc-plan .tag.heard').allTextContents()).toEqual(['A neck']);
    await page.keyboard.press('ArrowRight');
    expect(await position(heardPickup(page))).toBe(163);
  });

  test('strings are chosen by name and by keys, and the wave follows', async () => {
    const page = await open();
    const caption = page.locator('cc-wave-choice p');
    expect(await caption.textContent()).toContain('5th harmonic of the open E2');
    await page.getByRole('radio', { name: 'string 4, D3' }).click();
    await expect.poll(() => caption.textContent()).toContain('5th harmonic of the open D3');
    await page.keyboard.press('ArrowUp');
    await expect.poll(() => caption.textContent()).toContain('the open G3');
    expect(await page.getByRole('radio', { checked: true }).getAttribute('aria-label')).toContain('string 3, G3');
    await page.getByRole('button', { name: 'harmonic down' }).click();
    // the fourth partial has a node at a quarter of 648 mm, where the demo's neck pickup stands: between its coils
    await expect.poll(() => caption.textContent()).toContain('nodes every 162.0 mm');
    await page.getByRole('button', { name: 'fret up' }).click();
    await expect.poll(() => caption.textContent()).toContain('G3 at fret 1');
  });

  test('a node over a coil is marked and said', async () => {
    const page = await open();
    const input = page.locator('cc-pickup-fields cc-quantity').first().locator('input');
    // one coil of the pair then stands over the first node of the fifth partial, 129.6 mm
    await input.fill(String(129.6 + 9.25));
    await input.press('Enter');
    await expect.poll(() => page.locator('cc-plan .node.over').count()).toBe(1);
    await expect.poll(() => page.locator('cc-wave-choice p').textContent()).toContain('a node lies over A neck');
  });

  test('the pluck point moves by keys and goes back to what the take says', async () => {
    const page = await open();
    const pluck = page.getByRole('slider', { name: 'pluck point' });
    await pluck.focus();
    await page.keyboard.press('ArrowLeft');
    const start = Number(await pluck.getAttribute('aria-valuenow'));
    await page.keyboard.press('ArrowLeft');
    expect(Number(await pluck.getAttribute('aria-valuenow'))).toBeCloseTo(start - 1, 6);
    await page.keyboard.press('Delete');
    await expect.poll(() => page.getByLabel('set pluck point').isChecked()).toBe(false);
  });

  test('the table gives the distance of each coil on each string', async () => {
    const page = await open();
    await page.getByText('Distances and strings').click();
    const cells = await page.locator('cc-plan-data tbody').first().locator('tr').nth(5).locator('td').allTextContents();
    // coils 18.5 mm apart about 162 mm; the string converges by less than a hundredth of a millimetre
    expect([cells[0], cells[3]].sort()).toEqual(['152.8', '171.3']);
    expect(await page.locator('cc-plan-data .panel').textContent()).toContain('computed from gauge and core');
  });
});

describe('small', () => {
  test('at 390 px the drawing scrolls under names and saddle that stay, and the band is no wider than the page', async () => {
    const page = await visitIn(
      await profile({
        viewport: { width: 390, height: 844 },
        hasTouch: true,
        isMobile: true,
      }),
    );
    const plan = (await page.locator('cc-plan').boundingBox())!;
    expect(plan.x + plan.width).toBeLessThanOrEqual(390);
    const scroller = page.locator('cc-plan .scroller');
    const name = page.getByRole('radio', { name: 'string 6, E2' });
    const before = await name.boundingBox();
    const pickup = (await heardPickup(page).boundingBox())!;
    await scroller.evaluate(e => e.scrollBy(120, 0));
    expect(await name.boundingBox()).toEqual(before);
    expect((await heardPickup(page).boundingBox())!.x).toBeCloseTo(pickup.x - 120, 0);
  });
});

describe('the instrument form', () => {
  test('a ready bass, one string less, one tuned by its note name; the pickups stay on it', async () => {
    const page = await open();
    await page
      .getByRole('button', { name: /^String/ })
      .first()
      .click();
    const form = page.locator('cc-instrument-form');
    await form.getByLabel('ready instruments').selectOption({ label: 'Five-string bass, 45-130' });
    await expect.poll(() => page.locator('cc-plan g.name').count()).toBe(5);
    // a quarter of 864 mm, as it was a quarter of 648 mm
    expect(await position(heardPickup(page))).toBe(216);
    await form.getByRole('button', { name: 'Remove' }).click();
    await expect.poll(() => page.locator('cc-plan g.name').count()).toBe(4);
    expect(await undoName(page)).toMatch(/^Undo: remove B0|^Undo: remove E1/);
    const pitch = form.getByLabel('pitch', { exact: true });
    await pitch.fill('D1');
    await pitch.press('Enter');
    await expect.poll(() => page.getByRole('radio', { checked: true }).getAttribute('aria-label')).toContain('D1');
    await pitch.fill('9 Hz');
    await pitch.press('Enter');
    expect(await form.locator('cc-quantity [role=alert]').textContent()).toContain('15 Hz');
  });
});
