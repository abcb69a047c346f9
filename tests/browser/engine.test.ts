/** The built worklet in a real browser: what comes out equals the kernels, the engine in Node, and stays clean. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest';
import { Engine, LOOK_AHEAD } from '../../shared/audio/engine.ts';
import { packKernels } from '../../shared/audio/partition.ts';
import { magnitudes } from '../../shared/complex.ts';
import { response } from '../../shared/response/response.ts';
import { largest, largestDifference, magnitudeAt, truePeak } from '../audio/signals.ts';
import { spreadOutside } from '../audio/spread.ts';
import { launchChromium } from './chromium.ts';
import type { EngineFixture } from './fixtures/engine.ts';
import { lowest, REAL_BUILDS, type Scenario, type ScenarioName, scenarioOf } from './fixtures/scenarios.ts';
import { buildSite } from './site.ts';

declare const window: { engineFixture: EngineFixture };

let browser: Browser;
let page: Page;

beforeAll(async () => {
  browser = await launchChromium();
  page = await browser.newPage();
  await page.goto(`${inject('fixtures')}engine.html`);
  await page.waitForFunction(() => 'engineFixture' in window);
});
afterAll(() => browser?.close());

const render = (name: ScenarioName, rate: number, limiter = false, string = 0): Promise<number[][]> =>
  page.evaluate(([n, r, l, s]) => window.engineFixture.render(n, r, l, s), [name, rate, limiter, string] as [
    ScenarioName,
    number,
    boolean,
    number,
  ]);

/** The same scenario through the engine in Node. */
function inNode({ sampleRate, length, channels, kernels, changes }: Scenario, limiter = false): Float32Array[] {
  const engine = new Engine({ sampleRate, strings: channels.length, outputs: 2, limiter });
  engine.setKernels(packKernels(kernels), true);
  const out = [new Float32Array(length), new Float32Array(length)];
  for (let start = 0; start < length; start += 128) {
    for (const change of changes) if (change.block * 128 === start) engine.setKernels(packKernels(change.kernels));
    const inputs = channels.map(channel => {
      const block = new Float32Array(128);
      block.set(channel.subarray(start, start + 128));
      return block;
    });
    engine.process(
      inputs,
      out.map(output => output.subarray(start, start + 128)),
    );
  }
  return out;
}

test('the page is built with the very worklet that is tested here', async () => {
  const workletOf = (folder: string): string => {
    const name = readdirSync(join(folder, 'assets')).find(file => /^engine\.worklet.*\.js$/.test(file)) ?? '';
    return readFileSync(join(folder, 'assets', name), 'utf8');
  };
  const [site, fixtures] = [await buildSite('page'), await buildSite('fixtures')];
  expect(existsSync(join(site, 'index.html'))).toBe(true);
  expect(workletOf(site)).toBe(workletOf(fixtures));
});

describe.each([44100, 48000, 96000])('an impulse at %i Hz', rate => {
  test.each([0, 3, 5])('on string %i is its kernel: 0.02 dB down to −50 dB, then −90 dB', async string => {
    const { kernels } = scenarioOf('impulse', rate, string);
    const [left, right] = await render('impulse', rate, true, string);
    expect(largestDifference(left, right)).toBe(0);
    const wanted = kernels[0][string];
    // The impulse stood at sample 64, the idle limiter is a delay.
    const got = left.slice(64 + LOOK_AHEAD);
    const frequencies = Array.from({ length: 400 }, (_, i) => 20 * ((0.42 * rate) / 20) ** (i / 399));
    const exact = frequencies.map(f => magnitudeAt(wanted, f, rate));
    const most = Math.max(...exact);
    let dB = 0;
    let absolute = 0;
    frequencies.forEach((f, i) => {
      const measured = magnitudeAt(got, f, rate);
      if (exact[i] > most * 10 ** (-50 / 20)) dB = Math.max(dB, Math.abs(20 * Math.log10(measured / exact[i])));
      else absolute = Math.max(absolute, Math.abs(measured - exact[i]) / most);
    });
    expect(dB).toBeLessThan(0.02);
    expect(20 * Math.log10(absolute + 1e-12)).toBeLessThan(-90);
    expect(largestDifference(got, wanted, 0, 2048)).toBeLessThan(1e-7);
    expect(largest(left, 0, 64 + LOOK_AHEAD)).toBeLessThan(1e-7);
  });
});

describe.each([44100, 48000, 96000])('sound against the plotted curve at %i Hz', rate => {
  test.each([0, 1, 2])('build %i: 0.02 dB down to −50 dB, then −90 dB, from 20 Hz to 0.42 of the rate', async which => {
    const build = REAL_BUILDS[which];
    const [left] = await render('realBuild', rate, false, which);
    const frequencies = Float64Array.from({ length: 500 }, (_, i) => 20 * ((0.42 * rate) / 20) ** (i / 499));
    const exact = magnitudes(response(build, lowest(build), 5, frequencies));
    const most = Math.max(...exact);
    let dB = 0;
    let absolute = 0;
    frequencies.forEach((f, i) => {
      const measured = magnitudeAt(left, f, rate);
      if (exact[i] > most * 10 ** (-50 / 20)) dB = Math.max(dB, Math.abs(20 * Math.log10(measured / exact[i])));
      else absolute = Math.max(absolute, Math.abs(measured - exact[i]) / most);
    });
    expect(dB).toBeLessThan(0.02);
    expect(20 * Math.log10(absolute + 1e-12)).toBeLessThan(-90);
  });
});

test.each([44100, 48000, 96000])('changes of kernels leave a 1 kHz sine clean at %i Hz, as in Node', async rate => {
  const [left] = await render('changingSine', rate);
  const settled = Float32Array.from(left).subarray(Math.floor(rate * 0.06));
  expect(spreadOutside(settled, 1000, 500, rate)).toBeLessThan(-80);
  expect(largestDifference(left, inNode(scenarioOf('changingSine', rate))[0])).toBeLessThan(1e-7);
});

test('six strings into two outputs equal the engine in Node', async () => {
  const wanted = inNode(scenarioOf('sixStrings', 48000));
  const got = await render('sixStrings', 48000);
  for (const output of [0, 1]) expect(largestDifference(got[output], wanted[output])).toBeLessThan(1e-7);
  expect(largestDifference(got[0], got[1])).toBeGreaterThan(0.01);
});

test("the page's own nodes give the same, at full level", async () => {
  for (const name of ['sixStrings', 'impulse'] as const) {
    const wanted = inNode(scenarioOf(name, 48000));
    const got = await page.evaluate(n => window.engineFixture.renderByNode(n, 48000), name);
    for (const output of [0, 1]) expect(largestDifference(got[output], wanted[output])).toBeLessThan(1e-7);
    expect(largest(got[0])).toBeGreaterThan(0.01);
  }
});

test('what is too loud stays below −1 dBFS true peak', async () => {
  const [left] = await render('tooLoud', 48000, true);
  expect(truePeak(left)).toBeLessThan(10 ** (-1 / 20));
  expect(largest(left)).toBeGreaterThan(0.5);
});

test('an engine that fails is rebuilt a few times, then given up, and each time it is told', async () => {
  const told = await page.evaluate(() => window.engineFixture.failures());
  expect(told.map(line => line.split(' ')[0])).toEqual(['true', 'true', 'true', 'false']);
  expect(told[0]).toContain('comb-and-coil-engine');
});

describe('live', () => {
  test('silent at load; a real click starts it; a loop whose points fit nothing has no jump', async () => {
    expect(await page.evaluate(() => window.engineFixture.stateAtLoad())).toBe('none');
    await page.click('#start');
    await page.evaluate(() => window.engineFixture.begun());
    await page.waitForFunction(() => window.engineFixture.host.state === 'running');
    await page.evaluate(() => window.engineFixture.playSine(true));
    await page.waitForTimeout(1200);
    const { samples, sampleRate } = await page.evaluate(() => window.engineFixture.recent());
    expect(largest(samples)).toBeGreaterThan(0.02);
    // 0.34 s hold three ends of a loop of 0.1 s.
    expect(spreadOutside(Float32Array.from(samples), 1000, 500, sampleRate)).toBeLessThan(-80);
    const positions: number[] = [];
    for (let i = 0; i < 8; i++) {
      positions.push(await page.evaluate(() => window.engineFixture.host.position()));
      await page.waitForTimeout(30);
    }
    expect(Math.min(...positions)).toBeGreaterThanOrEqual(0.3);
    expect(Math.max(...positions)).toBeLessThan(0.401);
    expect(new Set(positions).size).toBeGreaterThan(4);
  });

  test('the engine says which kernel set it plays: the newest of those that wait, and a kernel of almost a second', async () => {
    expect(await page.evaluate(() => window.engineFixture.acknowledged())).toEqual([1, 3]);
    expect(await page.evaluate(() => window.engineFixture.host.heard)).toBe(3);
  });

  test('meters come, and show what is heard', async () => {
    // Without the loop: where its ends cross over, tones out of step are softer for 20 ms.
    await page.evaluate(() => window.engineFixture.playSine(false));
    const meters = async () => page.evaluate(() => window.engineFixture.host.meters);
    // Two strings of 0.1 each at −12 dB, and 3.01 dB less on average.
    let told = await meters();
    await expect
      .poll(async () => {
        told = await meters();
        return told?.outputs[0].level;
      })
      .toBeCloseTo(20 * Math.log10(0.2) - 15.01, 1);
    expect(told?.outputs[0].peak).toBeCloseTo(20 * Math.log10(0.2) - 12, 1);
    expect(told?.outputs).toHaveLength(2);
    expect(told?.reduction).toBe(0);
    expect(told?.bad).toBe(0);
  });

  test('without a loop it runs on, can be sought and stopped, and tells when it has ended', async () => {
    await page.evaluate(() => window.engineFixture.playSine(false));
    await page.waitForFunction(() => window.engineFixture.host.position() > 0.1);
    const early = await page.evaluate(() => {
      const { host } = window.engineFixture;
      const at = host.position();
      host.stop();
      return at;
    });
    await expect
      .poll(async () => largest((await page.evaluate(() => window.engineFixture.recent())).samples))
      .toBeLessThan(1e-6);
    expect(await page.evaluate(() => window.engineFixture.host.playing)).toBe(false);
    expect(await page.evaluate(() => window.engineFixture.host.position())).toBeCloseTo(early, 1);
    await page.evaluate(() => window.engineFixture.playSine(false));
    await page.evaluate(() => window.engineFixture.host.seek(1.8));
    await page.waitForFunction(() => window.engineFixture.events.includes('ended'));
    expect(await page.evaluate(() => window.engineFixture.host.position())).toBe(0);
    expect((await page.evaluate(() => window.engineFixture.events)).filter(event => event.startsWith('error'))).toEqual(
      [],
    );
  });
});
