/** What a person does, on the built page in a real browser, from the first visit on. */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { power } from '../../shared/complex.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { response } from '../../shared/response/response.ts';
import { partial, stringModel } from '../../shared/string/stiff.ts';
import { writeLink } from '../../src/files/link.ts';
import { visits } from './harness/browser.ts';
import { Dock } from './harness/dock.ts';
import { contextState, loopPowers, peak } from './hearing.ts';
import { loadedPeak } from './loaded-coil.ts';

const { visit, profile, visitIn } = visits();

const play = (page: Page) => page.locator('cc-dock button.play');
const station = (page: Page, name: string) => page.locator('cc-path button.station', { hasText: name });
const letter = (page: Page, name: string) => page.locator('cc-dock .letters > button.letter', { hasText: name });
/** Text of a row of the key figures. */
const figures = (page: Page, row: number) => page.locator('cc-key-figures tbody tr').nth(row).textContent();
const pickup = (page: Page) => page.locator('cc-plan').getByRole('slider', { name: /neck/i }).first();
/** The sheet as it is kept: in the tab's own place while it is apart from the browser's, as after a link. */
const kept = (page: Page) =>
  page.evaluate(() => {
    const apart = sessionStorage.getItem('comb-and-coil/sheet/apart');
    const text = apart ? apart.slice(apart.indexOf(' ') + 1) : localStorage.getItem('comb-and-coil/sheet');
    return JSON.parse(text ?? '{}') as ReturnType<typeof demoSheet>;
  });

/** The demo with the take and the view of a listening test. */
const longNote = () => {
  const sheet = demoSheet();
  // a loop short enough to be heard in one piece
  return { ...sheet, take: 'modelled-long-note', loop: { from: 0.8, to: 1.4 }, view: { ...sheet.view, volume: -12 } };
};

describe('first visit', () => {
  test('is silent until a real click on Play, then sounds, below the limiter', async () => {
    const page = await visit();
    expect(await contextState(page)).toBe('none');
    await play(page).click();
    await expect.poll(() => contextState(page)).toBe('running');
    await expect.poll(() => peak(page)).toBeGreaterThan(1e-3);
    expect(await peak(page)).toBeLessThan(10 ** (-1 / 20));
    await play(page).click();
    await expect.poll(() => peak(page)).toBeLessThan(1e-4);
  });
});

describe('placement', () => {
  test('a dragged pickup changes the sound as its curve says', async () => {
    const sheet = longNote();
    const loop = sheet.loop.to - sheet.loop.from;
    const page = await visit(writeLink(sheet));
    const dock = new Dock(page);
    await play(page).click();
    await expect.poll(() => peak(page)).toBeGreaterThan(1e-3);

    const box = (await pickup(page).boundingBox())!;
    const y = box.y + box.height / 2;
    const listenTo = async () => {
      const position = Number.parseFloat((await pickup(page).getAttribute('aria-valuetext'))!) / 1000;
      const [own] = sheet.builds[0].build.pickups;
      const build = { ...sheet.builds[0].build, pickups: [{ ...own, position }] };
      const string = stringModel(build.instrument.strings[5]);
      const partials = [1, 2, 3, 5, 6].map(n => partial(string, n));
      const heard = await loopPowers(page, partials, loop);
      const expected = response(build, 5, 5, Float64Array.from(partials));
      return { heard, expected: partials.map((_, i) => power(expected, i)), position };
    };
    await dock.measured();
    const before = await listenTo();
    await page.mouse.move(box.x + box.width / 2, y);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width / 2 - 160, y, { steps: 12 });
    await page.mouse.up();
    // the pickup has come to rest when its loudness is measured again, and its kernels are heard by then
    await dock.measured();
    const after = await listenTo();
    expect(after.position).toBeLessThan(before.position - 0.02);
    // level match scales all partials alike: compare the balance between them
    const change = (x: number[], y: number[]) => x.map((v, i) => 10 * Math.log10(y[i] / v));
    const heard = change(before.heard, after.heard);
    const expected = change(before.expected, after.expected);
    const balance = (values: number[]) => values.map(v => v - values[0]);
    for (const [i, value] of balance(heard).entries()) expect(Math.abs(value - balance(expected)[i])).toBeLessThan(1.5);
    expect(Math.max(...balance(expected).map(Math.abs))).toBeGreaterThan(3);
  });
});

describe('cable', () => {
  test('another length moves the resonance to where the closed form says', async () => {
    const page = await visit();
    await letter(page, 'B').click();
    await station(page, 'Cable').click();
    const field = page.locator('cc-station').getByLabel('cable length', { exact: false }).first();
    await field.fill('3 m');
    await field.press('Enter');
    const [, build] = demoBuilds();
    const [coil] = build.pickups[0].coils;
    const load = 1 / (1 / 250e3 + 1 / 250e3 + 1 / 1e6);
    const loss = coil.loss.kind === 'eddy' ? coil.loss.resistance : Number.NaN;
    const resonance = loadedPeak(coil.resistance, coil.inductance, coil.capacitance + 300e-12, load, loss);
    await expect
      .poll(async () =>
        Math.abs((1000 * Number(/([\d.]+) kHz/.exec((await figures(page, 1)) ?? '')?.[1])) / resonance - 1),
      )
      .toBeLessThan(0.005);
  });
});

describe('nothing is lost', () => {
  test('undo and redo by keys, and a reload finds everything back', async () => {
    const page = await visit();
    const before = await pickup(page).getAttribute('aria-valuetext');
    await pickup(page).focus();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('Shift+ArrowLeft');
    const moved = await pickup(page).getAttribute('aria-valuetext');
    expect(moved).not.toBe(before);
    await page.keyboard.press('Control+z');
    await expect.poll(() => pickup(page).getAttribute('aria-valuetext')).toBe(before);
    await page.keyboard.press('Control+Shift+z');
    await expect.poll(() => pickup(page).getAttribute('aria-valuetext')).toBe(moved);
    await letter(page, 'B').click();
    await station(page, 'Aperture').click();
    const now = await figures(page, 0);
    await page.reload();
    await page.locator('cc-readings cc-plot svg .curve').first().waitFor();
    expect(await letter(page, 'B').getAttribute('aria-pressed')).toBe('true');
    expect(await figures(page, 0)).toBe(now);
    await letter(page, 'A').click();
    expect(await pickup(page).getAttribute('aria-valuetext')).toBe(moved);
  });

  test('a shared link opens the same builds in a fresh profile', async () => {
    const sheet = longNote();
    const [first] = sheet.builds;
    const pickups = first.build.pickups.map(p => ({ ...p, position: 0.1234 }));
    const page = await visit(writeLink({ ...sheet, builds: [{ ...first, build: { ...first.build, pickups } }] }));
    expect(await pickup(page).getAttribute('aria-valuetext')).toContain('123.4 mm');
    expect(await page.locator('cc-dock .letters > button.letter').count()).toBe(1);
  });

  test('a broken link falls back with a notice', async () => {
    const page = await visit(`${writeLink(demoSheet()).slice(0, -10)}`);
    await page.getByText('The link could not be opened').waitFor();
    expect(await page.locator('cc-dock .letters > button.letter').count()).toBe(2);
  });

  test('a kept sheet whose text is damaged comes back from its journal', async () => {
    const page = await visitIn(await profile());
    const title = page.getByLabel('title of the sheet');
    await title.fill('Mine');
    await title.press('Enter');
    await expect.poll(async () => (await kept(page)).title).toBe('Mine');
    await page.waitForTimeout(500);
    await page.addInitScript(() => localStorage.setItem('comb-and-coil/sheet', '{"format":'));
    await page.reload();
    await expect.poll(() => title.inputValue()).toBe('Mine');
  });
});

test('a short-scale bass of five strings, from the demo to its printed sheet without a word of the guitar', async () => {
  const page = await visit();
  await station(page, 'String').click();
  const form = page.locator('cc-instrument-form');
  await form.getByLabel('ready instruments').selectOption({ label: 'Five-string bass, 45-130' });
  await page.locator('.notice', { hasText: '“Bass line, modelled strings” was chosen' }).waitFor();
  await form.getByLabel('scale length', { exact: true }).fill('762 mm');
  await form.getByLabel('scale length', { exact: true }).press('Enter');
  await expect
    .poll(async () => (await kept(page)).builds[0].build.instrument.strings.map(s => s.scale))
    .toEqual(Array.from({ length: 5 }, () => 0.762));
  await page.getByRole('link', { name: 'Paper', exact: true }).click();
  const texts = page.locator('cc-paper .page svg text');
  await texts.first().waitFor();
  const said = (await texts.allTextContents()).join('\n');
  for (const word of ['762.0 mm', '1  G2', '2  D2', '3  A1', '4  E1', '5  B0', '.130 in', '30.87 Hz', 'Cautions'])
    expect(said).toContain(word);
  // neither lengths, names nor strings of what it was made from
  expect(said).not.toMatch(/648|864|Ostrel|guitar|E4|B3|G3|recorded/);
  await page.emulateMedia({ media: 'print' });
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  expect(pdf.match(/\/Type\s*\/Page\b/g)).toHaveLength(await page.locator('cc-paper .page').count());
});

describe('bad input', () => {
  test('at a field: a message there, the last good value stays', async () => {
    const page = await visit();
    for (const [where, label, entry, message] of [
      ['Cable', 'cable length', 'long', /length|such as/],
      ['Cable', 'cable length', '-2 m', /accepted/],
      ['controls', 'resistance', '0', /accepted/],
      ['controls', 'inductance', '-2.5 H', /accepted/],
    ] as const) {
      await station(page, where).click();
      const before = await kept(page);
      const quantity = page
        .locator('cc-station cc-quantity')
        .filter({ has: page.getByRole('textbox', { name: label }) })
        .first();
      const field = quantity.getByRole('textbox');
      await field.fill(entry);
      await field.press('Enter');
      expect(await field.getAttribute('aria-invalid'), `${label} ${entry}`).toBe('true');
      expect(await quantity.getByRole('alert').textContent(), `${label} ${entry}`).toMatch(message);
      expect((await kept(page)).builds).toEqual(before.builds);
    }
  });

  test('a pickup over the saddle or beyond the strings is refused with the range', async () => {
    const page = await visit();
    for (const entry of ['0 mm', '600 mm']) {
      const field = page.locator('cc-pickup-fields').getByLabel('from the saddle');
      await field.fill(entry);
      await field.press('Enter');
      expect(await field.getAttribute('aria-invalid')).toBe('true');
      expect(await page.locator('cc-plan').getByRole('alert').first().textContent()).toMatch(/mm/);
    }
    expect(await pickup(page).getAttribute('aria-valuetext')).toContain('162');
  });
});

describe('keyboard', () => {
  test('from play to another build, test point and cable without a pointer', async () => {
    const page = await visit();
    await page.keyboard.press('Space');
    await expect.poll(() => peak(page)).toBeGreaterThan(1e-3);
    await page.keyboard.press('b');
    await expect.poll(() => letter(page, 'B').getAttribute('aria-pressed')).toBe('true');
    // every control can be reached by Tab, and focus comes back to the start
    const seen = new Set<string>();
    for (let i = 0; i < 160; i++) {
      await page.keyboard.press('Tab');
      seen.add(
        await page.evaluate(() => {
          let element: Element | null = document.activeElement;
          const path: string[] = [];
          while (element) {
            path.push(element.tagName.toLowerCase());
            const inner: Element | null | undefined = element.shadowRoot?.activeElement;
            if (!inner) break;
            element = inner;
          }
          return path.slice(1).join(' ') || 'body';
        }),
      );
      if ([...seen].some(path => path.startsWith('cc-dock')) && seen.has('body')) break;
    }
    const elements = [...seen].flatMap(path => path.split(' '));
    for (const band of ['cc-plan', 'cc-path', 'cc-readings', 'cc-station', 'cc-dock']) expect(elements).toContain(band);
  });
});
