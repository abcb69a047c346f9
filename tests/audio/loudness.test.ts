/** Blocks, gates and percentiles of ITU-R BS.1770-5 and EBU Tech 3342, each where it decides. */
import { describe, expect, test } from 'vitest';
import {
  gatedLoudness,
  gatingBlocks,
  integratedLoudness,
  kWeightingPower,
  loudnessRange,
  steadyLoudness,
} from '../../shared/audio/loudness.ts';

const sine = (level: number, seconds: number, rate = 8000, frequency = 997): Float32Array =>
  Float32Array.from(
    { length: Math.round(seconds * rate) },
    (_, i) => 10 ** (level / 20) * Math.sin((2 * Math.PI * frequency * i) / rate),
  );
function joined(...parts: Float32Array[]): Float32Array {
  const whole = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
/** Mean square that reads as so many LUFS: −0.691 + 10 log z (BS.1770-5, eq. 2). */
const reading = (loudness: number) => 10 ** ((loudness + 0.691) / 10);

describe('gating blocks', () => {
  test('400 ms every 100 ms, whole ones only, at rates that make no whole steps too', () => {
    for (const rate of [8000, 11025, 48000])
      for (const [seconds, count] of [
        [0.39, 0],
        [0.4, 1],
        [0.49, 1],
        [0.5, 2],
        [2, 17],
      ])
        expect(gatingBlocks([new Float32Array(Math.round(seconds * rate))], rate)).toHaveLength(count);
    const blocks = gatingBlocks([sine(0, 3, 11025)], 11025);
    for (const z of blocks.slice(4)) expect(10 * Math.log10(z) - 0.691).toBeCloseTo(-3.01, 1);
  });

  test('a block has the mean square of its own 400 ms', () => {
    // half a second of silence, half a second of a tone: each block holds 0 to 4 steps of it
    const blocks = gatingBlocks([joined(new Float32Array(4000), sine(0, 0.5))], 8000);
    const steady = blocks[6];
    [0, 0, 1, 2, 3, 4, 4].forEach((steps, i) => {
      expect(Math.abs(blocks[i] / steady - steps / 4)).toBeLessThan(0.02);
    });
  });

  test('channels add with their weights; a shorter one is silent after its end', () => {
    const long = sine(-6, 1);
    const alone = gatingBlocks([long], 8000);
    const weighed = gatingBlocks([long, long], 8000, [1, 0.5]);
    weighed.forEach((z, i) => {
      expect(z / alone[i]).toBeCloseTo(1.5, 9);
    });
    const short = gatingBlocks([long, long.subarray(0, 4000)], 8000);
    expect(short).toHaveLength(alone.length);
    expect(short[0] / alone[0]).toBeCloseTo(2, 9);
    expect(short[4] / alone[4]).toBeCloseTo(1.25, 1);
    // the two surrounds of five channels weigh 1.41 (BS.1770-5, table 3); of two, four or six nothing is surround
    const five = gatingBlocks(
      [0, 1, 2, 3, 4].map(() => long),
      8000,
    );
    expect(five[3] / alone[3]).toBeCloseTo(5.82, 9);
    const only = (at: number) => [0, 1, 2, 3, 4].map(i => (i === at ? long : new Float32Array(0)));
    expect([0, 1, 2, 3, 4].map(at => gatingBlocks(only(at), 8000)[3] / alone[3])).toEqual([
      expect.closeTo(1, 9),
      expect.closeTo(1, 9),
      expect.closeTo(1, 9),
      expect.closeTo(1.41, 9),
      expect.closeTo(1.41, 9),
    ]);
    expect(gatingBlocks([long, long, long, long], 8000)[3] / alone[3]).toBeCloseTo(4, 9);
  });
});

describe('gates', () => {
  test('what reads −70 LUFS or less does not count, what is a little louder does', () => {
    expect(gatedLoudness([reading(-69.9)], -70)).toBeCloseTo(-69.9, 9);
    expect(gatedLoudness([reading(-70.1)], -70)).toBe(Number.NEGATIVE_INFINITY);
    expect(gatedLoudness([], -70)).toBe(Number.NEGATIVE_INFINITY);
    // quiet blocks leave the mean alone: without the gate it would be 3 dB lower
    expect(gatedLoudness([reading(-65), reading(-80)], -70)).toBeCloseTo(-65, 9);
    expect(gatedLoudness([reading(-30)], -20)).toBe(Number.NEGATIVE_INFINITY);
  });
  test('the relative gate stands 10 LU below the mean of what passed the absolute one', () => {
    // two blocks d dB apart have their mean (1 + 10^(−d/10))/2 below the louder one: the gate decides at d = 12.79
    for (const [apart, counts] of [
      [12.7, true],
      [12.9, false],
    ] as const) {
      const both = 10 * Math.log10((1 + 10 ** (-apart / 10)) / 2);
      expect(gatedLoudness([reading(-20), reading(-20 - apart)], -70)).toBeCloseTo(counts ? -20 + both : -20, 9);
    }
  });
  test('less than 400 ms and silence have no loudness', () => {
    expect(integratedLoudness([sine(0, 0.39)], 8000)).toBe(Number.NEGATIVE_INFINITY);
    expect(integratedLoudness([], 8000)).toBe(Number.NEGATIVE_INFINITY);
    expect(integratedLoudness([sine(0, 0.5)], 8000)).toBeGreaterThan(-4);
  });
});

describe('loudness range (EBU Tech 3342)', () => {
  const range = (...levels: number[]) => {
    const x = joined(...levels.map(level => sine(level, 20)));
    return loudnessRange([x, x], 8000);
  };
  test('levels more than 20 LU below the mean do not count, nor those under −70 LUFS', () => {
    // the mean of both lies 3 dB below the louder: the gate stands 23 LU below it
    expect(range(-20, -42)).toBeGreaterThan(20);
    expect(range(-20, -44)).toBeLessThan(2);
    expect(range(-60, -69)).toBeCloseTo(9, 1);
    expect(range(-60, -71)).toBeLessThan(2);
  });
  test('the lowest tenth and the highest twentieth do not count', () => {
    const share = (low: number, high: number) => {
      const x = joined(sine(-30, low), sine(-20, 100 - low - high), sine(-12, high));
      return loudnessRange([x], 8000);
    };
    expect(share(5, 0)).toBeLessThan(0.5);
    expect(share(15, 0)).toBeCloseTo(10, 1);
    expect(share(0, 2)).toBeLessThan(0.5);
    expect(share(0, 10)).toBeCloseTo(8, 1);
  });
  test('of less than 3 s, of silence and of a steady tone there is none', () => {
    expect(loudnessRange([sine(-20, 2.9)], 8000)).toBe(0);
    expect(loudnessRange([new Float32Array(80_000)], 8000)).toBe(0);
    expect(loudnessRange([sine(-20, 3.1)], 8000)).toBeCloseTo(0, 2);
  });
});

test('a steady sound’s loudness from its spectrum is that of the sound itself', () => {
  const rate = 48000;
  const partials = [
    [60, -10],
    [1200, -14],
    [9000, -20],
  ];
  const length = rate * 2;
  const x = new Float32Array(length);
  for (const [f, level] of partials)
    for (let i = 0; i < length; i++) x[i] += 10 ** (level / 20) * Math.sin((2 * Math.PI * f * i) / rate);
  const frequencies = Float64Array.from(partials, ([f]) => f);
  const power = Float64Array.from(partials, ([, level]) => 10 ** (level / 10) / 2);
  expect(steadyLoudness(frequencies, power, rate)).toBeCloseTo(integratedLoudness([x], rate), 2);
  // the weighting's power gain is what a sine of that frequency comes out with, wherever it lies
  for (const f of [25, 60, 200, 1500, 5000, 12_000, 21_000]) {
    const heard = integratedLoudness([sine(0, 3, rate, f)], rate) + 3.01 + 0.691;
    expect(10 * Math.log10(kWeightingPower(Float64Array.of(f), rate)[0])).toBeCloseTo(heard, 1);
  }
});
