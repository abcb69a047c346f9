/** The engine against the browser's own convolvers, and file rendering against the clock. */
import { sizeOf } from '../../shared/audio/convolver.ts';
import { Engine } from '../../shared/audio/engine.ts';
import { flux, rails } from '../../shared/audio/law.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { FILE_BLOCK, type PackedKernels, packGraph, packKernels } from '../../shared/audio/partition.ts';
import { noise } from '../audio/signals.ts';
import { launchChromium } from '../browser/chromium.ts';
import type { EngineFixture } from '../browser/fixtures/engine.ts';
import { busyKernels } from '../browser/fixtures/scenarios.ts';
import { serveSite } from '../browser/site.ts';

const SECONDS = 30;
const RATE = 48000;
const TAPS = [1024, 2048, 4096];
const ROUNDS = 9;

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1];

/** 30 s of six strings in Chromium: the built worklet and six ConvolverNodes by turns in one run. */
async function againstConvolvers(): Promise<void> {
  const site = await serveSite('fixtures');
  const browser = await launchChromium();
  try {
    const page = await browser.newPage();
    await page.goto(`${site.url}engine.html`);
    await page.waitForFunction(() => 'engineFixture' in window);
    const time = (kind: 'worklet' | 'convolvers', taps: number): Promise<number> =>
      page.evaluate(
        ([k, t, s]) =>
          (window as unknown as { engineFixture: EngineFixture }).engineFixture.timeRender(
            k as 'worklet' | 'convolvers',
            t as number,
            s as number,
          ),
        [kind, taps, SECONDS] as const,
      );
    for (const taps of TAPS) {
      const ours: number[] = [];
      const theirs: number[] = [];
      await time('worklet', taps);
      await time('convolvers', taps);
      for (let round = 0; round < ROUNDS; round++) {
        ours.push(await time('worklet', taps));
        theirs.push(await time('convolvers', taps));
      }
      const [a, b] = [median(ours), median(theirs)];
      console.log(
        `engine, ${SECONDS} s, 6 strings × ${taps} taps: worklet ${a.toFixed(0)} ms (${((SECONDS * 1000) / a).toFixed(0)} × real time), ` +
          `six ConvolverNodes ${b.toFixed(0)} ms, ratio ${(a / b).toFixed(2)} (median of ${ROUNDS} by turns)`,
      );
    }
  } finally {
    await browser.close();
    await site.close();
  }
}

function fileRendering(): void {
  for (const taps of TAPS) {
    const channels = Array.from({ length: 6 }, (_, s) => noise(SECONDS * RATE, 80 + s, 0.02));
    const packed = packKernels([busyKernels(taps)], 1, FILE_BLOCK);
    const times: number[] = [];
    for (let round = 0; round < 4; round++) {
      const begin = process.cpuUsage().user;
      renderOffline(channels, packed, { sampleRate: RATE, tail: 0 });
      times.push((process.cpuUsage().user - begin) / 1000);
    }
    const ms = median(times.slice(1));
    console.log(
      `file rendering in Node, ${SECONDS} s, 6 strings × ${taps} taps: ${ms.toFixed(0)} ms (${((SECONDS * 1000) / ms).toFixed(0)} × real time) of a core`,
    );
  }
}

const STRINGS = 6;
/** A kernel of noise that falls by 60 dB, each of its own. */
const busy = (() => {
  let seed = 0;
  return (taps: number): Float32Array => noise(taps, ++seed, 0.1).map((v, n) => v * 10 ** ((-3 * n) / taps));
})();
const strings = Array.from({ length: STRINGS }, (_, s) => s);

/** What the engine is compared in, all with kernels of 2048 taps if nothing else is said. */
const kinds = (): Record<string, PackedKernels> => ({
  'six strings, one output': packKernels([strings.map(() => busy(2048))]),
  'one law per coil and string, two coils': packGraph({
    strings: STRINGS,
    sources: [],
    late: 0,
    stages: [[0, 1].map(() => strings.map(from => ({ law: flux(3), paths: [{ from, kernel: busy(2048) }] })))],
    outputs: [[STRINGS, STRINGS + 1].map(from => ({ from, kernel: busy(2048) }))],
  }),
  'a stage that clips': packGraph({
    strings: STRINGS,
    sources: [],
    late: 0,
    stages: [[[{ law: rails(1), paths: strings.map(from => ({ from, kernel: busy(2048) })) }]]],
    outputs: [[{ from: STRINGS, kernel: busy(2048) }]],
  }),
  'twelve outputs, each string to two of its own': packKernels(
    Array.from({ length: 12 }, (_, o) => strings.map(s => (s === o % STRINGS ? busy(2048) : new Float32Array(1)))),
  ),
  'twelve outputs, every string to each': packKernels(Array.from({ length: 12 }, () => strings.map(() => busy(2048)))),
  'twelve strings, two outputs, 16384 taps': packKernels(
    Array.from({ length: 2 }, () => Array.from({ length: 12 }, () => busy(16384))),
  ),
});

/** Time of the processor (not of the clock: other work on the machine counts little) per block, by turns. */
function graphs(): void {
  const engines = Object.entries(kinds()).map(([name, packed]) => {
    const engine = new Engine({
      sampleRate: RATE,
      strings: packed.strings,
      outputs: packed.outputs,
      size: sizeOf(packed),
    });
    engine.setKernels(packed, true);
    const inputs = Array.from({ length: packed.strings }, (_, s) => noise(128, 40 + s, 0.02));
    const outputs = Array.from({ length: packed.outputs }, () => new Float32Array(128));
    return { name, engine, inputs, outputs, times: [] as number[] };
  });
  const blocks = 1000;
  for (let round = 0; round <= ROUNDS; round++)
    for (const { engine, inputs, outputs, times } of engines) {
      const begin = process.cpuUsage().user;
      for (let b = 0; b < blocks; b++) engine.process(inputs, outputs);
      // the first turn warms up
      if (round > 0) times.push((process.cpuUsage().user - begin) / blocks);
    }
  const least = median(engines[0].times);
  for (const { name, times } of engines) {
    const time = median(times);
    const share = (100 * time) / (128e6 / RATE);
    console.log(
      `engine in Node, ${name}: ${time.toFixed(1)} µs a block (${share.toFixed(1)} % of a core), ratio ${(time / least).toFixed(2)}`,
    );
  }
}

export default async function bench(): Promise<void> {
  await againstConvolvers();
  graphs();
  fileRendering();
}
