/**
 * What the workarounds are for is still so (the list is in DEVELOPERS.md). A test that fails here is good news: the browser
 * or the library has healed, and workaround, row and test go.
 */
import type { Browser, Page } from 'playwright-core';
import { AudioContext } from 'standardized-audio-context';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { launchChromium } from './chromium.ts';

let browser: Browser;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
  const context = await browser.newContext({ viewport: { width: 400, height: 300 }, hasTouch: true });
  page = await context.newPage();
  // a page of ours: locks need a secure one
  await page.goto(`${inject('fixtures')}sound-host.html`);
});
afterAll(() => browser?.close());
const show = (html: string) =>
  page.evaluate(text => {
    document.body.innerHTML = text;
  }, html);

test('workaround 1: a finger on a shape of a drawing pans although touch-action forbids it', async () => {
  await show(`<div id="pans" style="overflow: auto; width: 300px; height: 200px">
    <svg width="2000" height="150" style="display: block">
      <g style="touch-action: none"><rect width="2000" height="150" /></g>
    </svg></div>`);
  const touch = await page.context().newCDPSession(page);
  const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', x: number) =>
    touch.send('Input.dispatchTouchEvent', { type, touchPoints: type === 'touchEnd' ? [] : [{ x, y: 60 }] });
  await send('touchStart', 250);
  for (let x = 240; x >= 100; x -= 10) await send('touchMove', x);
  await send('touchEnd', 0);
  await expect.poll(() => page.locator('#pans').evaluate(box => box.scrollLeft)).toBeGreaterThan(50);
});

test('workaround 2: box-sizing does not reach what a details element holds', async () => {
  await show(`<style>section { box-sizing: border-box } section * { box-sizing: inherit }</style>
    <section><div id="plain"></div><details open><summary></summary><div id="held"></div></details></section>`);
  const sizing = (id: string) => page.locator(id).evaluate(one => getComputedStyle(one).boxSizing);
  expect(await sizing('#plain')).toBe('border-box');
  expect(await sizing('#held')).toBe('content-box');
});

test('workaround 3: the library keeps outputLatency to itself', async () => {
  expect('outputLatency' in AudioContext.prototype).toBe(false);
  expect('baseLatency' in AudioContext.prototype).toBe(true);
  expect(await page.evaluate(() => 'outputLatency' in window.AudioContext.prototype)).toBe(true);
});

test('workaround 4: no event tells that a worker has ended', async () => {
  const heard = await page.evaluate(async () => {
    const code = `navigator.locks.request('alive', () => new Promise(() => {
      postMessage('here');
      setTimeout(() => close(), 50);
    }));`;
    const worker = new Worker(URL.createObjectURL(new Blob([code])));
    const events: string[] = [];
    for (const kind of ['error', 'messageerror', 'close', 'exit', 'terminate'])
      worker.addEventListener(kind, () => events.push(kind));
    await new Promise(resolve => worker.addEventListener('message', resolve, { once: true }));
    // the lock is had when the worker is gone
    await navigator.locks.request('alive', () => undefined);
    await new Promise(resolve => setTimeout(resolve, 50));
    return events;
  });
  expect(heard).toEqual([]);
});
