/** The level match without a build: loudness as heard, its gate at the target, the mean level it is estimated from. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { integratedLoudness } from '../../shared/audio/loudness.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import {
  FIRST_ABOVE,
  heardLoudness,
  matchGain,
  meanLevel,
  TARGET_LEVEL,
  weightedTake,
} from '../../shared/response/level-match.ts';

const RATE = 8000;
/** A tone in steps of [dB, tenths of a second]. */
const steps = (list: readonly (readonly [number, number])[]): Float32Array => {
  const out = new Float32Array(list.reduce((sum, [, tenths]) => sum + tenths * 800, 0));
  let at = 0;
  for (const [level, tenths] of list)
    for (let i = 0; i < tenths * 800; i++, at++)
      out[at] = 10 ** (level / 20) * Math.sin((2 * Math.PI * 997 * at) / RATE);
  return out;
};
const louder = (x: Float32Array, by: number) => x.map(v => v * 10 ** (by / 20));

describe('loudness as heard', () => {
  test('one output sounds from both loudspeakers, two from one each', () => {
    const x = steps([[-20, 20]]);
    expect(heardLoudness([x], RATE)).toBeCloseTo(heardLoudness([x, x], RATE), 10);
    // BS.1770: 997 Hz at full scale reads −3.01 in one channel, 0.00 in two
    expect(heardLoudness([x], RATE)).toBeCloseTo(-20, 1);
    expect(heardLoudness([x, new Float32Array(x.length)], RATE)).toBeCloseTo(-23.01, 1);
  });

  test('what is brought to the target measures the target, whatever it was rendered in', () => {
    const anySteps = fc.array(fc.tuple(fc.integer({ min: -75, max: 0 }), fc.integer({ min: 2, max: 20 })), {
      minLength: 1,
      maxLength: 6,
    });
    fc.assert(
      fc.property(anySteps, fc.constantFrom(-90, -20, 0, 40), (list, unit) => {
        const x = louder(steps(list), unit);
        const heard = heardLoudness([x], RATE);
        fc.pre(Number.isFinite(heard));
        const matched = louder(x, matchGain(heard));
        expect(integratedLoudness([matched, matched], RATE)).toBeCloseTo(TARGET_LEVEL, 3);
        expect(heardLoudness([louder(x, -30)], RATE)).toBeCloseTo(heard - 30, 3);
      }),
      { numRuns: 40 },
    );
  });

  test('what falls below the gate at the target does not let quiet passages in', () => {
    // of 100 s that nearly fall silent and a passage 20 dB down, the loud second alone counts
    const loud: [number, number] = [-10, 10];
    const quiet: [number, number] = [-30, 10];
    const alone = heardLoudness([steps([loud])], RATE);
    const among = heardLoudness([steps([loud, [-75, 1000], quiet])], RATE);
    expect(Math.abs(among - alone)).toBeLessThan(1.5);
    const counted = heardLoudness([steps([loud, [-30, 1000], quiet])], RATE);
    expect(among - counted).toBeGreaterThan(10);
  });

  test('silence has none and is not lifted', () => {
    expect(heardLoudness([new Float32Array(8000)], RATE)).toBe(Number.NEGATIVE_INFINITY);
    expect(matchGain(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(matchGain(Number.NaN)).toBe(0);
    expect(matchGain(-20)).toBe(TARGET_LEVEL + 20);
  });
});

describe('the mean level of a steady take', () => {
  const [build] = demoBuilds();
  const tone = Float32Array.from({ length: 96_000 }, (_, i) => 0.3 * Math.sin((2 * Math.PI * 440 * i) / 48_000));
  const silent = new Float32Array(96_000);
  // at test point 1 every string passes as it is
  const level = (channels: readonly Float32Array[], of = build) => meanLevel(of, weightedTake(channels, 48_000), 1);

  test('lies below its loudness by what two loudspeakers and the standard’s offset add', () => {
    expect(level([tone, silent, silent, silent, silent, silent]) + FIRST_ABOVE).toBeCloseTo(
      heardLoudness([tone], 48_000),
      1,
    );
    expect(FIRST_ABOVE).toBeCloseTo(3.0103 - 0.691, 4);
  });
  test('strings add their powers; one that the take does not have is silent; outputs share', () => {
    const one = level([tone, silent, silent]);
    expect(level([silent, tone, tone]) - one).toBeCloseTo(3.01, 2);
    const twice = { ...build, outputs: [build.outputs[0], { ...build.outputs[0], id: 'second' }] };
    expect(level([tone], twice)).toBeCloseTo(one, 9);
    expect(level([silent])).toBe(Number.NEGATIVE_INFINITY);
  });
});
