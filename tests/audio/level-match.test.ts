/** The level match: measured through the kernels (ITU-R BS.1770), brought to one loudness, measured again. */
import { describe, expect, test } from 'vitest';
import { Engine } from '../../shared/audio/engine.ts';
import { integratedLoudness } from '../../shared/audio/loudness.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { BLOCK, packKernels } from '../../shared/audio/partition.ts';
import { type Build, TEST_POINTS, type TestPoint } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { kernels } from '../../shared/response/kernel.ts';
import {
  FIRST_ABOVE,
  heardLoudness,
  matchGain,
  meanLevel,
  TARGET_LEVEL,
  weightedTake,
} from '../../shared/response/level-match.ts';
import { stringForces } from '../../src/cli/cli-takes.ts';
import { sine } from './signals.ts';
import { spreadOutside } from './spread.ts';

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

/** A take through a build, brought to the target. */
function matched(build: Build, channels: Float32Array[], rate: number, point: TestPoint) {
  const { outputs } = kernels(build, point, rate);
  const gain = matchGain(heardLoudness(renderOffline(channels, packKernels(outputs), { sampleRate: rate })!, rate));
  const [sound] = renderOffline(channels, packKernels(outputs, linear(gain)), { sampleRate: rate })!;
  return { gain, loudness: integratedLoudness([sound, sound], rate) };
}

describe('level-matched builds, measured afterwards, are at the target to 0.01 LU', () => {
  for (const take of ['open-strings-strum', 'modelled-long-note'])
    test(take, () => {
      const { channels, sampleRate } = stringForces(neck, take, 48000, null);
      const gains = [neck, bridge, dull].map(build => {
        const { gain, loudness } = matched(build, channels, sampleRate, 5);
        expect(Math.abs(loudness - TARGET_LEVEL)).toBeLessThanOrEqual(0.01);
        return gain;
      });
      // the builds do differ: without the match this could not pass
      expect(Math.max(...gains) - Math.min(...gains)).toBeGreaterThan(5);
    });

  test('at every test point', () => {
    const { channels, sampleRate } = stringForces(neck, 'modelled-long-note', 44100, null);
    for (const point of TEST_POINTS) {
      const { loudness } = matched(bridge, channels, sampleRate, point);
      expect(Math.abs(loudness - TARGET_LEVEL), `point ${point}`).toBeLessThanOrEqual(0.01);
    }
  });
});

describe('loudness as it is heard', () => {
  const rate = 48000;
  const [loud, quiet] = [sine(4 * rate, 997, rate), sine(4 * rate, 997, rate, 10 ** (-50 / 20))];
  const both = new Float32Array(8 * rate);
  both.set(loud);
  both.set(quiet, 4 * rate);

  test('does not depend on the unit: a gain moves it by that gain, however small', () => {
    const at = (dB: number) => heardLoudness([both.map(x => x * linear(dB))], rate) - dB;
    for (const dB of [-120, -60, -20, 40]) expect(at(dB)).toBeCloseTo(at(0), 4);
    expect(integratedLoudness([both.map(x => x * 1e-6)], rate)).toBe(Number.NEGATIVE_INFINITY);
  });

  test('is the loudness of both loudspeakers, without the pauses', () => {
    // BS.1770: 997 Hz at full scale from two loudspeakers is 0 LUFS
    expect(Math.abs(heardLoudness([loud], rate))).toBeLessThan(0.05);
    // a quarter of a second of the change stands in blocks of both kinds
    expect(Math.abs(heardLoudness([both], rate))).toBeLessThan(0.2);
    expect(heardLoudness([loud, new Float32Array(loud.length)], rate)).toBeCloseTo(-3.01, 1);
  });

  test('silence has none, and gets no gain', () => {
    expect(heardLoudness([new Float32Array(rate)], rate)).toBe(Number.NEGATIVE_INFINITY);
    expect(matchGain(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(matchGain(Number.NaN)).toBe(0);
    expect(matchGain(-20)).toBe(TARGET_LEVEL + 20);
  });

  test('the first estimate is within 1.5 LU of what is measured, for builds 5 dB and more apart', () => {
    const { channels, sampleRate } = stringForces(neck, 'open-strings-strum', rate, null);
    const take = weightedTake(channels, sampleRate);
    for (const build of [neck, bridge, dull]) {
      const outputs = renderOffline(channels, packKernels(kernels(build, 5, rate).outputs), { sampleRate: rate })!;
      const difference = heardLoudness(outputs, rate) - meanLevel(build, take, 5) - FIRST_ABOVE;
      expect(Math.abs(difference)).toBeLessThan(1.5);
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
