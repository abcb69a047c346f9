import { expect, test } from 'vitest';
import { loopRegion } from '../../shared/audio/loop.ts';
import { fitLoop } from '../../src/audio/transport.ts';
import { noise, sine } from './signals.ts';
import { spreadOutside } from './spread.ts';

const RATE = 48000;

/** The region `times` over, as a looping source plays it. */
function repeated(region: Float32Array, times: number): Float32Array {
  const out = new Float32Array(region.length * times);
  for (let t = 0; t < times; t++) out.set(region, t * region.length);
  return out;
}

test('no jump where the loop closes, wherever its points are', () => {
  const x = sine(RATE, 1000, RATE, 0.5);
  for (const [from, to] of [
    [4000, 30000],
    [12345, 40011],
    [960, 20017],
  ]) {
    const [region] = loopRegion([x], from, to, 960);
    expect(region.length).toBe(to - from);
    const sound = repeated(region, 6);
    let step = 0;
    for (let i = 1; i < sound.length; i++) step = Math.max(step, Math.abs(sound[i] - sound[i - 1]));
    expect(step).toBeLessThan(0.5 * ((2 * Math.PI * 1000) / RATE) * 1.01);
    expect(spreadOutside(sound, 1000, 500, RATE)).toBeLessThan(-80);
    // Without the fade the same points do jump: the measurement can fail.
    if (to === 40011) expect(spreadOutside(repeated(x.slice(from, to), 6), 1000, 500, RATE)).toBeGreaterThan(-80);
  }
});

test('outside the fade the take is untouched; before the first sample there is silence', () => {
  const x = noise(5000, 3);
  const [region] = loopRegion([x], 100, 3000, 480);
  expect(region.subarray(0, 2900 - 480)).toEqual(x.subarray(100, 3000 - 480));
  expect(Math.abs(region[2899] - x[99])).toBeLessThan(1e-4);
  const [first] = loopRegion([x], 0, 3000, 480);
  expect(Math.abs(first[2999])).toBeLessThan(1e-4);
});

test('loop points are ordered, kept within the take and apart', () => {
  expect(fitLoop({ from: 2, to: 1 }, 3 * RATE, RATE)).toEqual({ from: RATE, to: 2 * RATE });
  expect(fitLoop({ from: -1, to: 99 }, 3 * RATE, RATE)).toEqual({ from: 0, to: 3 * RATE });
  expect(fitLoop({ from: 3, to: 3 }, 3 * RATE, RATE)).toEqual({ from: 3 * RATE - 2400, to: 3 * RATE });
  expect(fitLoop({ from: Number.NaN, to: 1 }, RATE, RATE)).toBeNull();
  expect(fitLoop({ from: 0, to: 1 }, 100, RATE)).toBeNull();
  expect(() => loopRegion([new Float32Array(10)], 5, 5, 1)).toThrow('5 to 5');
});
