/** Keeping work and taking it away, on the built page in a real browser. */
import { readFile } from 'node:fs/promises';
import { unzipSync } from 'fflate';
import type { Download, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { integratedLoudness } from '../../shared/audio/loudness.ts';
import { readWav } from '../../shared/audio/wav.ts';
import type { Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { demoBass } from '../../shared/document/starting/starting-builds.ts';
import { writeLink } from '../../src/files/link.ts';
import { words } from '../../src/words/keep-words.ts';
import { words as pageWords } from '../../src/words/page-words.ts';
import { words as paperWords } from '../../src/words/paper-words.ts';
import { violations } from './harness/accessibility.ts';
import { drawn, visits } from './harness/browser.ts';

const KEY = 'comb-and-coil/sheet';
const { visit, profile, visitIn } = visits();

const header = (page: Page, name: string) =>
  page.getByRole('group', { name: 'Sheet' }).getByRole('button', { name, exact: true });
const figures = async (page: Page) => (await page.locator('cc-key-figures table').textContent())!.replace(/\s+/g, ' ');
const title = (page: Page) => page.getByLabel('title of the sheet');
const rename = async (page: Page, name: string) => {
  await title(page).fill(name);
  await title(page).press('Enter');
};
const kept = (page: Page) => page.evaluate(key => JSON.parse(localStorage.getItem(key) ?? 'null') as Sheet | null, KEY);
const keptTitle = async (page: Page) => (await kept(page))?.title;
const bytesOf = async (download: Download) => new Uint8Array(await readFile(await download.path()));

async function downloaded(page: Page, act: () => Promise<void>): Promise<Download> {
  const [download] = await Promise.all([page.waitForEvent('download'), act()]);
  return download;
}

const openMenu = (page: Page) => page.locator('cc-open').getByRole('button', { name: words.open }).click();

async function openFile(page: Page, name: string, content: string): Promise<void> {
  await openMenu(page);
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), header(page, words.openFile).click()]);
  await chooser.setFiles({ name, mimeType: 'application/json', buffer: Buffer.from(content) });
}

/** A sheet that differs from the demo in every part that a project keeps. */
function ownSheet(): Sheet {
  const sheet = demoSheet();
  const [a, b] = sheet.builds;
  const pickups = a.build.pickups.map(p => ({ ...p, position: 0.1537 }));
  return {
    ...sheet,
    title: 'Client’s choice',
    note: 'second visit',
    take: 'modelled-riff',
    builds: [
      { letter: 'A', build: { ...a.build, name: 'Nearer the saddle', pickups } },
      b,
      { letter: 'C', build: a.build },
    ],
    view: { ...sheet.view, heard: 'B', reference: 'C', string: 3 },
  };
}

describe('project file', () => {
  test('saved, page closed, opened in another profile: everything is back, and undo goes back before it', async () => {
    const first = await visitIn(await profile(), writeLink(ownSheet()));
    const before = await figures(first);
    const file = await downloaded(first, () => header(first, words.save).click());
    expect(file.suggestedFilename()).toBe('Client-s-choice.json');
    const text = new TextDecoder().decode(await bytesOf(file));
    await first.close();

    const second = await visit();
    await expect.poll(() => kept(second)).not.toBeNull();
    const demo = await kept(second);
    await openFile(second, file.suggestedFilename(), text);
    await expect.poll(() => title(second).inputValue()).toBe('Client’s choice');
    expect(await figures(second)).toBe(before);
    await expect.poll(async () => (await kept(second))?.builds).toEqual(ownSheet().builds);
    expect((await kept(second))?.take).toBe('modelled-riff');
    await second.keyboard.press('Control+z');
    await expect.poll(async () => (await kept(second))?.builds).toEqual(demo?.builds);
    expect(await title(second).inputValue()).toBe(demo?.title);
  });

  test('broken and foreign files are refused with a sentence, nothing changes', async () => {
    const page = await visit();
    await rename(page, 'Mine');
    const before = await figures(page);
    const refused = [
      ['torn.json', JSON.stringify(demoSheet()).slice(0, 900), words.noJson],
      ['package.json', '{"name":"x","version":"1.0.0"}', words.foreign],
      ['later.json', JSON.stringify({ ...demoSheet(), version: 9 }), 'newer Comb & Coil'],
    ] as const;
    for (const [name, content, why] of refused) {
      await openFile(page, name, content);
      await page.getByRole('status').getByText(`“${name}” was not opened`).waitFor();
      expect(await page.getByRole('status').first().textContent()).toContain(why);
    }
    expect(await title(page).inputValue()).toBe('Mine');
    expect(await figures(page)).toBe(before);
  });

  test('a file dropped on the page opens; a file of one build joins the others', async () => {
    const page = await visit();
    await page.evaluate(text => {
      const data = new DataTransfer();
      data.items.add(new File([text], 'bass.json', { type: 'application/json' }));
      for (const type of ['dragover', 'drop'])
        document
          .querySelector('cc-app')
          ?.dispatchEvent(new DragEvent(type, { dataTransfer: data, bubbles: true, composed: true, cancelable: true }));
    }, JSON.stringify(demoBass()));
    await expect.poll(async () => (await kept(page))?.builds.map(slot => slot.build.name)[2]).toBe(demoBass().name);
    expect((await kept(page))?.builds).toHaveLength(3);
    expect(await page.locator('html').getAttribute('data-drop')).toBeNull();
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await kept(page))?.builds.length).toBe(2);
  });
});

describe('rendering', () => {
  const dialog = (page: Page) => page.locator('cc-render');
  const start = (page: Page) => dialog(page).getByRole('button', { name: words.start, exact: true }).click();

  test('two builds at two test points come as one ZIP of whole, equally loud WAV files', async () => {
    const page = await visit();
    await header(page, words.render).click();
    await dialog(page).getByLabel(words.pointNames[4]).check();
    await dialog(page).getByText(words.count(4)).waitFor();
    const file = await downloaded(page, () => start(page));
    expect(file.suggestedFilename()).toBe('Ostrel-648.zip');
    const files = unzipSync(await bytesOf(file));
    const names = Object.keys(files);
    expect(names).toHaveLength(4);
    const loudness = new Map<string, number>();
    for (const name of names) {
      expect(name).toMatch(/^[AB]_.+_open-strings-strum_TP[45]_matched_48kHz_24bit\.wav$/);
      const bytes = files[name];
      const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
      expect(view.getUint32(4, true)).toBe(bytes.length - 8);
      const wav = readWav(bytes);
      expect(wav.sampleRate).toBe(48_000);
      expect(wav.channels[0].length / wav.sampleRate).toBeGreaterThan(5);
      expect(new TextDecoder().decode(bytes.subarray(0, 600))).toContain('take: Strum, recorded strings');
      loudness.set(
        name.slice(0, 1) + name.match(/TP\d/)![0],
        integratedLoudness([wav.channels[0], wav.channels[0]], 48_000),
      );
    }
    for (const point of ['TP4', 'TP5'])
      expect(Math.abs(loudness.get(`A${point}`)! - loudness.get(`B${point}`)!)).toBeLessThan(0.1);
    await dialog(page).getByText('is ready').waitFor();
  });

  test('one build alone is a WAV file, at the rate and in the format asked for', async () => {
    const page = await visit();
    await header(page, words.render).click();
    await dialog(page).getByLabel('B Bridge, single coil').uncheck();
    await dialog(page).getByLabel('32-bit float').check();
    await dialog(page).getByLabel('96 kHz').check();
    const file = await downloaded(page, () => start(page));
    expect(file.suggestedFilename()).toMatch(/^A_.*_96kHz_32bit-float\.wav$/);
    expect(readWav(await bytesOf(file)).sampleRate).toBe(96_000);
  });

  test('cancelling ends it without a file', async () => {
    const page = await visit();
    let files = 0;
    page.on('download', () => files++);
    await header(page, words.render).click();
    for (const box of await dialog(page).getByRole('checkbox').all()) if (await box.isEnabled()) await box.check();
    await dialog(page).getByLabel('96 kHz').check();
    await start(page);
    const cancel = dialog(page).getByRole('button', { name: words.cancel, exact: true });
    await expect
      .poll(async () => [await cancel.count(), await dialog(page).locator('.end').textContent()])
      .toContain(1);
    await cancel.click();
    await dialog(page).getByText(words.cancelled).waitFor();
    expect(files).toBe(0);
    // it can be started again
    expect(await dialog(page).getByRole('button', { name: words.start, exact: true }).isEnabled()).toBe(true);
  });
});

describe('the bench Paper', () => {
  const toPaper = (page: Page) =>
    page.locator('cc-app nav').getByRole('link', { name: pageWords.benches.paper }).click();

  test('the address keeps the bench, and the sheet follows the edits', async () => {
    const page = await visit();
    await toPaper(page);
    const first = page.locator('cc-paper .page').first();
    await first.waitFor();
    await expect.poll(() => page.locator('cc-plan').count()).toBe(0);
    expect(new URL(page.url()).searchParams.get('bench')).toBe('paper');
    expect(await page.locator('cc-app nav a[aria-current=page]').textContent()).toContain(pageWords.benches.paper);
    // the dock stands on every bench: another build is heard, and printed
    const before = await first.textContent();
    await page.locator('cc-dock .letters .letter').nth(1).click();
    await expect.poll(() => first.textContent()).not.toBe(before);
    await page.locator('cc-dock input.name').fill('Named on paper');
    await page.locator('cc-dock input.name').press('Enter');
    await expect.poll(() => first.textContent()).toContain('Named on paper');
    await page.keyboard.press('Control+z');
    await expect.poll(() => first.textContent()).not.toContain('Named on paper');
    await page.reload();
    await first.waitFor();
    await page.goBack();
    await page.locator('cc-plan').waitFor();
    await expect.poll(() => page.locator('cc-paper').count()).toBe(0);
  });

  test('prints on the paper chosen, one page a page, with what the title block was given', async () => {
    const page = await visit();
    await toPaper(page);
    const bench = page.locator('cc-paper');
    await bench.getByLabel(paperWords.fields.owner).fill('Alder Bench');
    await bench.getByLabel(paperWords.fields.owner).press('Enter');
    await expect.poll(() => bench.locator('.page').first().textContent()).toContain('Alder Bench');
    for (const [paper, box] of [
      [paperWords.papers.a4, [841.9, 595.3]],
      [paperWords.papers.letter, [792, 612]],
    ] as const) {
      await bench.locator('select').nth(1).selectOption({ label: paper });
      const pages = await bench.locator('.page').count();
      const pdf = (await page.pdf({ preferCSSPageSize: true, printBackground: true })).toString('latin1');
      const boxes = [...pdf.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)];
      expect(boxes).toHaveLength(pages);
      for (const [, width, height] of boxes) {
        expect(Math.abs(Number(width) - box[0])).toBeLessThan(1);
        expect(Math.abs(Number(height) - box[1])).toBeLessThan(1);
      }
    }
  });

  test('on paper 100 mm of the ruler are 100 mm', async () => {
    const page = await visit();
    await toPaper(page);
    await page.locator('cc-paper [data-ruler]').waitFor();
    await page.emulateMedia({ media: 'print' });
    const width = await page
      .locator('cc-paper [data-ruler] path')
      .first()
      .evaluate(path => path.getBoundingClientRect().width);
    // CSS: 96 px are an inch
    expect((width / 96) * 25.4).toBeCloseTo(100, 0);
    expect(Math.abs((width / 96) * 25.4 - 100)).toBeLessThan(0.1);
  });

  test('the SVG file is whole', async () => {
    const page = await visit();
    await toPaper(page);
    const file = await downloaded(page, () =>
      page.locator('cc-paper').getByRole('button', { name: paperWords.saveSvg }).click(),
    );
    const text = new TextDecoder().decode(await bytesOf(file));
    // a page of its own: this one's content policy lets no text become markup
    const blank = await page.context().newPage();
    const root = await blank.evaluate(
      svg => new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement.nodeName,
      text,
    );
    expect(root).toBe('svg');
  });

  for (const scheme of ['light', 'dark'] as const)
    test(`axe finds nothing to mend in dialogs and on paper, on the ${scheme} sheet, and nothing overflows at 390 px`, async () => {
      const page = await visit('', { colorScheme: scheme, viewport: { width: 390, height: 844 } });
      for (const name of [words.render, pageWords.benches.paper]) {
        if (name === words.render) {
          await header(page, name).click();
          await page.locator('cc-render dialog').waitFor();
        } else {
          await toPaper(page);
          await page.locator('cc-paper .page').first().waitFor();
        }
        expect(await violations(page), name).toEqual([]);
        expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
        await page.keyboard.press('Escape');
      }
    });
});

describe('two tabs', () => {
  test('neither writes over the other without a word', async () => {
    const context = await profile();
    const first = await visitIn(context);
    const second = await visitIn(context);
    await rename(first, 'From the first tab');
    await expect.poll(() => keptTitle(first)).toBe('From the first tab');
    await second.getByText(words.otherTab).waitFor();
    // work goes on in the second tab, and is kept apart
    await rename(second, 'From the second tab');
    await second.waitForTimeout(700);
    expect(await keptTitle(first)).toBe('From the first tab');
    await second.reload();
    await drawn(second);
    expect(await title(second).inputValue()).toBe('From the second tab');
    expect(await keptTitle(first)).toBe('From the first tab');

    await second.getByRole('button', { name: words.keepMine }).click();
    await expect.poll(() => keptTitle(first)).toBe('From the second tab');
    await first.getByText(words.otherTab).waitFor();
    expect(await title(first).inputValue()).toBe('From the first tab');
    await first.getByRole('button', { name: words.takeTheirs }).click();
    await expect.poll(() => title(first).inputValue()).toBe('From the second tab');
    await first.getByRole('button', { name: `Undo: ${words.takeTheirsStep}` }).click();
    expect(await title(first).inputValue()).toBe('From the first tab');
  });

  test('looking around in another tab asks nothing', async () => {
    const context = await profile();
    const first = await visitIn(context);
    const second = await visitIn(context);
    await first.waitForTimeout(500);
    await first.keyboard.press('b');
    await expect.poll(async () => (await kept(first))?.view.heard).toBe('B');
    await second.waitForTimeout(400);
    expect(await second.getByText(words.otherTab).count()).toBe(0);
  });
});

describe('links', () => {
  test('a link opened in a fresh profile shows the same figures to the last digit', async () => {
    const context = await profile({ permissions: ['clipboard-read', 'clipboard-write'] });
    const sender = await visitIn(context, writeLink(ownSheet()));
    const before = await figures(sender);
    await header(sender, 'Copy link').click();
    await sender.getByText('Link copied').waitFor();
    const link = await sender.evaluate(() => navigator.clipboard.readText());
    const receiver = await visitIn(await profile(), new URL(link).hash);
    expect(await figures(receiver)).toBe(before);
    expect(await title(receiver).inputValue()).toBe('Client’s choice');
    await expect.poll(() => keptTitle(receiver)).toBe('Client’s choice');
  });

  test('a link leaves one’s own sheet alone until told otherwise', async () => {
    const context = await profile();
    const own = await visitIn(context);
    await rename(own, 'My own work');
    await expect.poll(() => keptTitle(own)).toBe('My own work');
    await own.close();

    const linked = await visitIn(context, writeLink(ownSheet()));
    await linked.getByText(words.fromLink).waitFor();
    await rename(linked, 'Linked and changed');
    await linked.waitForTimeout(700);
    expect(await keptTitle(linked)).toBe('My own work');
    await linked.getByRole('button', { name: words.backToOwn }).click();
    await expect.poll(() => title(linked).inputValue()).toBe('My own work');
    await linked.close();

    const again = await visitIn(context, writeLink(ownSheet()));
    await again.getByRole('button', { name: words.keepLinked }).click();
    await expect.poll(() => keptTitle(again)).toBe('Client’s choice');
    // what it took the place of stands among the earlier sheets, after a reload too
    await again.reload();
    await openMenu(again);
    await again.locator('cc-open').getByRole('button', { name: 'My own work' }).click();
    await expect.poll(() => title(again).inputValue()).toBe('My own work');
  });

  test('a changed linked sheet whose tab is closed is offered again', async () => {
    const context = await profile();
    const own = await visitIn(context);
    await rename(own, 'My own work');
    await expect.poll(() => keptTitle(own)).toBe('My own work');
    const linked = await visitIn(context, writeLink(ownSheet()));
    await rename(linked, 'Linked and changed');
    await linked.close({ runBeforeUnload: true });
    await expect.poll(() => own.evaluate(key => localStorage.getItem(`${key}/left`) !== null, KEY)).toBe(true);
    await own.reload();
    await own.getByRole('button', { name: words.openLeft }).click();
    await expect.poll(() => title(own).inputValue()).toBe('Linked and changed');
  });
});
