import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { resample } from '../../shared/audio/resample.ts';

/** Cosine fade at both ends, so that only the middle of the file is judged. */
const tone = (frequency: number, rate: number, seconds = 1) =>
  Float32Array.from({ length: rate * seconds }, (_, i) => Math.sin((2 * Math.PI * frequency * i) / rate));

/** Largest difference from the ideal in the middle half, dB re full scale. */
function worst(y: Float32Array, ideal: (i: number) => number): number {
  let most = 0;
  for (let i = y.length >> 2; i < (3 * y.length) >> 2; i++) most = Math.max(most, Math.abs(y[i] - ideal(i)));
  return 20 * Math.log10(most + 1e-12);
}

const RATES = [
  [44100, 48000],
  [48000, 44100],
  [96000, 48000],
  [192000, 44100],
  [8000, 48000],
  [22050, 96000],
  [44101, 48000],
  [48000, 44099],
];

describe('resampling', () => {
  test.each(RATES)('%i to %i Hz: tones in the passband keep level, phase and time within -100 dB', (from, to) => {
    const nyquist = Math.min(from, to) / 2;
    for (const part of [0.01, 0.2, 0.5, 0.89]) {
      const f = part * nyquist;
      const y = resample(tone(f, from), from, to);
      expect(y.length).toBe(to);
      // Images and aliases would show in the same difference.
      expect(worst(y, i => Math.sin((2 * Math.PI * f * i) / to))).toBeLessThan(-100);
    }
  });

  test.each(RATES.filter(([from, to]) => from > to))('%i to %i Hz: what would fold is below -100 dB', (from, to) => {
    for (const f of [to / 2 + 20, 0.6 * to, Math.min(0.95 * to, 0.49 * from)]) {
      if (f >= from / 2) continue;
      expect(worst(resample(tone(f, from), from, to), () => 0)).toBeLessThan(-100);
    }
  });

  test('the same rate copies', () => {
    const x = tone(100, 8000);
    const y = resample(x, 8000, 8000);
    expect(y).toEqual(x);
    expect(y).not.toBe(x);
  });

  test('a constant stays one away from the ends, whatever the rates', () => {
    fc.assert(
      fc.property(fc.integer({ min: 8000, max: 192000 }), fc.integer({ min: 8000, max: 192000 }), (from, to) => {
        const y = resample(new Float32Array(6000).fill(0.5), from, to);
        expect(y.length).toBe(Math.round((6000 * to) / from));
        expect(Math.abs(y[y.length >> 1] - 0.5)).toBeLessThan(1e-6);
      }),
      { numRuns: 25 },
    );
  });

  test('empty in, empty out; a broken rate is refused', () => {
    expect(resample(new Float32Array(0), 44100, 48000).length).toBe(0);
    expect(() => resample(new Float32Array(1), 44100.5, 48000)).toThrow('whole number of Hz, got 44100.5');
    expect(() => resample(new Float32Array(1), 44100, 0)).toThrow('got 0');
  });
});
