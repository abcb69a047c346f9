import { describe, expect, test } from 'vitest';
import { integratedLoudness, kWeighting, kWeightingPower, loudnessRange } from '../../shared/audio/loudness.ts';
import { truePeak } from '../../shared/audio/true-peak.ts';
import { dbOfAmplitude } from '../../shared/decibels.ts';

const db = (level: number) => 10 ** (level / 20);

/** A sine in steps of [peak dBFS, seconds], phase running on. */
function tone(steps: readonly (readonly [number, number])[], rate = 48000, frequency = 1000): Float32Array {
  const out = new Float32Array(steps.reduce((sum, [, t]) => sum + Math.round(t * rate), 0));
  let at = 0;
  for (const [level, t] of steps) {
    for (let i = Math.round(t * rate); i > 0; i--, at++) {
      out[at] = db(level) * Math.sin((2 * Math.PI * frequency * at) / rate);
    }
  }
  return out;
}
const stereo = (steps: readonly (readonly [number, number])[], rate = 48000) => {
  const one = tone(steps, rate);
  return [one, one];
};

describe('K-weighting (ITU-R BS.1770)', () => {
  test('coefficients of the standard at 48 kHz', () => {
    const [shelf, high] = kWeighting(48000);
    [1.53512485958697, -2.69169618940638, 1.19839281085285].forEach((b, i) => {
      expect(shelf.b[i]).toBeCloseTo(b, 12);
    });
    [-1.69065929318241, 0.73248077421585].forEach((a, i) => {
      expect(shelf.a[i]).toBeCloseTo(a, 12);
    });
    expect(high.b).toEqual([1, -2, 1]);
    [-1.99004745483398, 0.99007225036621].forEach((a, i) => {
      expect(high.a[i]).toBeCloseTo(a, 12);
    });
  });

  test('coefficients at 44.1 kHz, from the analogue parameters', () => {
    const [shelf, high] = kWeighting(44100);
    [1.53084123, -2.65098, 1.16907908].forEach((b, i) => {
      expect(Math.abs(shelf.b[i] - b)).toBeLessThan(1e-7);
    });
    [-1.66365511, 0.71259543].forEach((a, i) => {
      expect(Math.abs(shelf.a[i] - a)).toBeLessThan(1e-7);
    });
    [-1.98916967, 0.98919904].forEach((a, i) => {
      expect(Math.abs(high.a[i] - a)).toBeLessThan(1e-7);
    });
  });

  test('gain at 48 kHz', () => {
    const gains = kWeightingPower(Float64Array.of(100, 997, 2000, 10000), 48000).map(g => 10 * Math.log10(g));
    [-1.1335, 0.691, 3.0713, 4.0419].forEach((g, i) => {
      expect(Math.abs(gains[i] - g)).toBeLessThan(1e-3);
    });
  });
});

describe('integrated loudness', () => {
  test.each([8000, 11025, 22050, 44100, 48000, 88200, 96000, 192000])('997 Hz at full scale, %i Hz', rate => {
    // BS.1770: one channel reads −3.01 LKFS, two the double power.
    const x = tone([[0, 3]], rate, 997);
    expect(Math.abs(integratedLoudness([x], rate) + 3.01)).toBeLessThan(0.05);
    expect(Math.abs(integratedLoudness([x, x], rate))).toBeLessThan(0.05);
  });

  // EBU Tech 3341, minimum requirements, cases 1 to 5: stereo 1 kHz, levels per channel in dBFS.
  const cases: [number, [number, number][], number][] = [
    [1, [[-23, 20]], -23],
    [2, [[-33, 20]], -33],
    [
      3,
      [
        [-36, 10],
        [-23, 60],
        [-36, 10],
      ],
      -23,
    ],
    [
      4,
      [
        [-72, 10],
        [-36, 10],
        [-23, 60],
        [-36, 10],
        [-72, 10],
      ],
      -23,
    ],
    [
      5,
      [
        [-26, 20],
        [-20, 20.1],
        [-26, 20],
      ],
      -23,
    ],
  ];
  for (const rate of [44100, 48000, 96000]) {
    test.each(cases)(`EBU Tech 3341 case %i at ${rate} Hz`, (_, steps, expected) => {
      expect(Math.abs(integratedLoudness(stereo(steps, rate), rate) - expected)).toBeLessThan(0.1);
    });
  }

  test('EBU Tech 3341 case 6: five channels', () => {
    const channels = [-28, -28, -24, -30, -30].map(level => tone([[level, 20]]));
    expect(Math.abs(integratedLoudness(channels, 48000) + 23)).toBeLessThan(0.1);
  });

  test('silence and less than a block have none', () => {
    expect(integratedLoudness([new Float32Array(96000)], 48000)).toBe(Number.NEGATIVE_INFINITY);
    expect(integratedLoudness([tone([[0, 0.3]])], 48000)).toBe(Number.NEGATIVE_INFINITY);
  });
});

// EBU Tech 3342, minimum requirements: stereo 1 kHz, 20 s a level.
test.each([
  [[-20, -30], 10],
  [[-20, -15], 5],
  [[-40, -20], 20],
  [[-50, -35, -20, -35, -50], 15],
])('loudness range of %j', (levels, expected) => {
  const x = stereo(levels.map(level => [level, 20] as const));
  expect(Math.abs(loudnessRange(x, 48000) - expected)).toBeLessThan(1);
});

describe('true peak', () => {
  // EBU Tech 3341 cases 15 to 19: sines at a part of the rate and a phase, tolerance +0.2/−0.4 dB.
  test.each([
    [15, 4, 0.5, 0, -6],
    [16, 4, 0.5, 45, -6],
    [17, 6, 0.5, 60, -6],
    [18, 8, 0.5, 67.5, -6],
    [19, 4, 1.41, 45, 3],
  ])('EBU Tech 3341 case %i', (_, divisor, amplitude, degrees, expected) => {
    for (const rate of [44100, 48000, 96000]) {
      // Faded in and out, so that the ends add no peaks of their own.
      const n = rate;
      const x = Float32Array.from({ length: n }, (_, i) => {
        const fade = Math.min(1, i / 1000, (n - i) / 1000);
        return fade * amplitude * Math.sin((2 * Math.PI * i) / divisor + (degrees * Math.PI) / 180);
      });
      const level = dbOfAmplitude(truePeak([x], rate)) - expected;
      expect(level).toBeLessThan(0.2);
      expect(level).toBeGreaterThan(-0.4);
    }
  });

  test('silence has none', () => {
    expect(truePeak([new Float32Array(100)], 48000)).toBe(0);
    expect(truePeak([], 48000)).toBe(0);
  });
});
