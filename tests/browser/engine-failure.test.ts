/** The page when its audio engine fails: what is heard afterwards, and what is said. The engine as shipped is made to throw. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import type { Sheet } from '../../shared/document/sheet.ts';
import { writeLink } from '../../src/files/link.ts';
import { words } from '../../src/words/dock-words.ts';
import { Ears, threeBuilds } from './ears.ts';
import { visits } from './harness/browser.ts';
import { Dock } from './harness/dock.ts';

const { profile, visitIn } = visits();

/**
 * Before the engine's own code: a processor that throws in its next block once it is told `break`, and keeps kernels back
 * from `withhold` to `give`.
 */
const BREAKABLE = `
const register = globalThis.registerProcessor;
globalThis.registerProcessor = (name, Processor) => register(name, class extends Processor {
  constructor(options) {
    super(options);
    const take = this.port.onmessage;
    this.port.onmessage = event => {
      if (event.data === 'break') this.broken = true;
      else if (event.data === 'withhold') this.held = [];
      else if (event.data === 'give') {
        for (const one of this.held.splice(0)) take.call(this.port, one);
        this.held = null;
      } else if (this.held && event.data.kind === 'kernels') this.held.push(event);
      else take.call(this.port, event);
    };
  }
  process(...all) {
    if (this.broken) throw new Error('broken by the test');
    return super.process(...all);
  }
});
`;

declare global {
  interface Window {
    /** Ports of the engines made so far. */
    ports?: MessagePort[];
  }
}

const made = (page: Page): Promise<number> => page.evaluate(() => window.ports?.length ?? 0);
const tellEngine = (page: Page, what: 'break' | 'withhold' | 'give'): Promise<void> =>
  page.evaluate(what => window.ports?.at(-1)?.postMessage(what), what);

/** The page with an engine that can be told to fail. */
const open = async (sheet: Sheet): Promise<Page> =>
  visitIn(await profile(), writeLink(sheet), async fresh => {
    await fresh.addInitScript(() => {
      const Native = AudioWorkletNode;
      window.ports = [];
      window.AudioWorkletNode = new Proxy(Native, {
        construct(target, all: ConstructorParameters<typeof AudioWorkletNode>) {
          const node = new target(...all);
          if (all[1] === 'comb-and-coil-engine') window.ports?.push(node.port);
          return node;
        },
      });
    });
    await fresh.route(/engine\.worklet[^/]*\.js/, async route => {
      const shipped = await route.fetch();
      await route.fulfill({ response: shipped, body: BREAKABLE + (await shipped.text()) });
    });
  });

test('a failed engine is built again with the build that was heard; one that cannot be is said to be lost', async () => {
  const sheet = threeBuilds(true);
  const page = await open(sheet);
  const dock = new Dock(page);
  await dock.play();
  const ears = await Ears.of(page, sheet);
  await dock.hear('B');
  await dock.measured();
  const before = await ears.listen();
  expect(before.build).toBe('B');

  await tellEngine(page, 'break');
  await expect.poll(() => made(page)).toBe(2);
  await page.getByText(words.rebuilt('').split('(')[0], { exact: false }).first().waitFor();
  const after = await ears.listen();
  expect(after.build).toBe('B');
  expect(after.gain).toBeCloseTo(before.gain, 1);

  for (const rebuilt of [3, 4]) {
    await tellEngine(page, 'break');
    await expect.poll(() => made(page)).toBe(rebuilt);
  }
  expect((await ears.listen()).build).toBe('B');
  await tellEngine(page, 'break');
  const [, lost] = words.engineLost('').split(')');
  await page.getByText(lost.trim(), { exact: false }).first().waitFor();
  expect(await made(page)).toBe(4);
  await expect.poll(() => dock.playButton.getAttribute('aria-label')).toBe(words.play);

  // a new engine begins with the build that is chosen by now
  await dock.hear('A');
  await dock.play();
  await expect.poll(() => made(page)).toBe(5);
  await expect.poll(() => dock.heard()).toBe('A');
  expect((await ears.listen()).build).toBe('A');
});

test('the switch shows the build that the engine plays, and says of another that it is not heard', async () => {
  const page = await open(threeBuilds(true));
  const dock = new Dock(page);
  await dock.hear('B');
  await dock.hear('A');
  await dock.play();
  await expect.poll(() => dock.heard()).toBe('A');
  expect(await dock.unheard()).toBe('');

  await tellEngine(page, 'withhold');
  await dock.letter('B').click();
  await expect.poll(() => dock.unheard()).toBe(words.unheard({ letter: 'B', instead: 'A', why: null }));
  expect(await dock.heard()).toBe('A');
  await tellEngine(page, 'give');
  await expect.poll(() => dock.heard()).toBe('B');
  expect(await dock.unheard()).toBe('');

  // nothing sounds, so nothing is missing: what is chosen is shown
  await tellEngine(page, 'withhold');
  await dock.playButton.click();
  await expect.poll(() => dock.playButton.getAttribute('aria-label')).toBe(words.play);
  await dock.hear('A');
  expect(await dock.unheard()).toBe('');
});
