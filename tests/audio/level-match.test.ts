/** Level match as the page does it: measured through the kernels (ITU-R BS.1770), brought to one loudness, measured again. */
import { describe, expect, test } from 'vitest';
import { Engine } from '../../shared/audio/engine.ts';
import { integratedLoudness } from '../../shared/audio/loudness.ts';
import { measureLoudness } from '../../shared/audio/measure.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { BLOCK, packKernels } from '../../shared/audio/partition.ts';
import { type Build, TEST_POINTS } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { kernels } from '../../shared/response/kernel.ts';
import { stringForces } from '../../src/cli/cli-takes.ts';
import { sine } from './signals.ts';
import { spreadOutside } from './spread.ts';

const TARGET = -14;
const [neck, bridge] = demoBuilds();
/** The bridge build behind a long cable with its tone turned down: quiet and dull. */
const dull: Build = {
  ...bridge,
  harness: {
    ...bridge.harness,
    controls: bridge.harness.controls.map(c => ({
      ...c,
      tone: { ...c.tone!, setting: 0 },
      volume: { ...c.volume!, setting: 0.5 },
    })),
  },
  outputs: bridge.outputs.map(o => ({
    ...o,
    chain: o.chain.map(s => (s.kind === 'cable' ? { ...s, length: 20 } : s)),
  })),
};
const linear = (dB: number) => 10 ** (dB / 20);

/** Measures at a first guess of the gain, corrects, and renders at the corrected gain. */
function matched(
  build: Build,
  channels: Float32Array[],
  rate: number,
  point: (typeof TEST_POINTS)[number],
  guess: number,
) {
  const { outputs } = kernels(build, point, rate);
  const gain = guess + TARGET - measureLoudness(channels, packKernels(outputs, linear(guess)), rate).integrated;
  const [sound] = renderOffline(channels, packKernels(outputs, linear(gain)), { sampleRate: rate })!;
  return { gain, loudness: integratedLoudness([sound, sound], rate) };
}

describe('level-matched builds, measured afterwards, differ by at most 0.1 LU', () => {
  for (const take of ['open-strings-strum', 'modelled-long-note'])
    test(take, () => {
      const { channels, sampleRate } = stringForces(neck, take, 48000, null);
      const builds = [neck, bridge, dull];
      const gains = builds.map(build => {
        const { gain, loudness } = matched(build, channels, sampleRate, 5, 20);
        expect(Math.abs(loudness - TARGET)).toBeLessThanOrEqual(0.1);
        return gain;
      });
      // the builds do differ: without the match this could not pass
      expect(Math.max(...gains) - Math.min(...gains)).toBeGreaterThan(5);
    });

  test('at every test point, from a guess that is 10 dB wrong either way', () => {
    const { channels, sampleRate } = stringForces(neck, 'modelled-long-note', 44100, null);
    for (const point of TEST_POINTS) {
      const near = matched(bridge, channels, sampleRate, point, 20).gain;
      for (const wrong of [-10, 10]) {
        const { loudness } = matched(bridge, channels, sampleRate, point, near + wrong);
        expect(Math.abs(loudness - TARGET), `point ${point}`).toBeLessThanOrEqual(0.1);
      }
    }
  });
});

test('switching level-matched builds in the middle of a note stays 80 dB below it', () => {
  const rate = 48000;
  const tone = Array.from({ length: 6 }, (_, s) => sine(2 * rate, 1000, rate, 0.05 + 0.01 * s));
  const sets = [neck, bridge, dull].map(build => kernels(build, 5, rate).outputs);
  const levels = sets.map(set => {
    const [y] = renderOffline(tone, packKernels(set), { sampleRate: rate })!;
    return Math.sqrt(y.subarray(rate / 2, rate).reduce((sum, v) => sum + v * v, 0) / (rate / 2));
  });
  const engine = new Engine({ sampleRate: rate, strings: 6, outputs: 1, limiter: false });
  const out = new Float32Array(tone[0].length);
  const block = [new Float32Array(BLOCK)];
  for (let b = 0; (b + 1) * BLOCK <= out.length; b++) {
    const next = Math.floor(b / 37) % 3;
    if (b % 37 === 0) engine.setKernels(packKernels(sets[next], 0.1 / levels[next]), b === 0);
    engine.process(
      tone.map(x => x.subarray(b * BLOCK, (b + 1) * BLOCK)),
      block,
    );
    out.set(block[0], b * BLOCK);
  }
  const whole = out.subarray(0, Math.floor(out.length / BLOCK) * BLOCK);
  expect(spreadOutside(whole.subarray(rate * 0.2), 1000, 500, rate)).toBeLessThan(-80);
});
