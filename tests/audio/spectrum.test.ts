import { describe, expect, test } from 'vitest';
import { steadyLoudness } from '../../shared/audio/loudness.ts';
import { bandCentre, bandEdges, bandsBetween, smoothPower } from '../../shared/audio/smoothing.ts';
import { longTermSpectrum, partialLevels, powerDecibels, powerDensity } from '../../shared/audio/spectrum.ts';

const RATE = 48000;
const sine = (f: number, amplitude = 1, length = 4 * RATE) =>
  Float32Array.from({ length }, (_, i) => amplitude * Math.sin((2 * Math.PI * f * i) / RATE));

/** White noise of unit variance, seeded. */
function noise(length: number, seed = 1): Float32Array {
  let state = seed;
  return Float32Array.from({ length }, () => {
    let sum = 0;
    for (let i = 0; i < 12; i++) {
      state = (Math.imul(state, 1664525) + 1013904223) | 0;
      sum += (state >>> 0) / 2 ** 32;
    }
    return sum - 6;
  });
}

describe('spectrum', () => {
  test('a full-scale sine on a bin reads 0 dB, half of it -6.02', () => {
    const f = (100 * RATE) / 4096;
    expect(powerDecibels(longTermSpectrum([sine(f)], RATE, 4096).power)[100]).toBeCloseTo(0, 6);
    expect(powerDecibels(longTermSpectrum([sine(f, 0.5)], RATE, 4096).power)[100]).toBeCloseTo(-6.0206, 4);
  });

  test('the integral of the density is the mean square (Parseval)', () => {
    const x = noise(40 * 8192);
    const { power } = powerDensity(x, RATE, 8192);
    const meanSquare = x.reduce((sum, v) => sum + v * v, 0) / x.length;
    expect((power.reduce((a, b) => a + b) * RATE) / 8192 / meanSquare).toBeCloseTo(1, 2);
  });

  test('channels add in power; a short signal is one block', () => {
    const x = sine(1000, 0.3, 3000);
    const one = longTermSpectrum([x], RATE, 4096).power;
    const two = longTermSpectrum([x, x], RATE, 4096).power;
    expect(one.length).toBe(2049);
    one.forEach((p, k) => {
      expect(two[k]).toBeCloseTo(2 * p, 10);
    });
    expect(Math.max(...one)).toBeGreaterThan(0.02);
  });

  test('steady loudness of 997 Hz at full scale is -3.01 LUFS (ITU-R BS.1770)', () => {
    expect(steadyLoudness(Float64Array.of(997), Float64Array.of(0.5), RATE)).toBeCloseTo(-3.01, 2);
  });

  test('levels of partials, wherever they fall between bins', () => {
    const B = 2e-4;
    const f0 = 82.407;
    const expected = Float64Array.from({ length: 20 }, (_, i) => (i + 1) * f0 * Math.sqrt(1 + B * (i + 1) ** 2));
    const x = noise(2 * RATE, 7).map(v => v * 1e-6);
    expected.forEach((f, n) => {
      const amplitude = 0.2 / (n + 1) ** 2;
      for (let i = 0; i < x.length; i++) x[i] += amplitude * Math.sin((2 * Math.PI * f * i) / RATE + n);
    });
    // Looked for where an ideal string would have them, 2 % off at the top.
    const levels = partialLevels(
      x,
      RATE,
      expected.map(f => f * 0.998),
    );
    expect(levels.length).toBe(20);
    levels.forEach((level, n) => {
      expect(Math.abs(20 * Math.log10((level.amplitude * (n + 1) ** 2) / 0.2))).toBeLessThan(0.1);
      expect(Math.abs(level.frequency - expected[n])).toBeLessThan(0.1);
      expect(level.clearance).toBeGreaterThan(20);
    });
    // A missing partial is told by its clearance.
    const gap = partialLevels(noise(RATE), RATE, Float64Array.of(440, 880));
    for (const { clearance } of gap) expect(clearance).toBeLessThan(15);
  });
});

describe('bands (IEC 61260-1)', () => {
  test('exact centres of third octaves', () => {
    expect(bandCentre(1, 3)).toBeCloseTo(1258.925, 3);
    expect(bandCentre(2, 3)).toBeCloseTo(1584.893, 3);
    expect(bandCentre(-1, 3)).toBeCloseTo(794.328, 3);
  });

  test('edges of the third octave at 1 kHz', () => {
    const [low, high] = bandEdges(1000, 3);
    expect(Math.abs(low - 891.251)).toBeLessThan(1e-3);
    expect(Math.abs(high - 1122.018)).toBeLessThan(1e-3);
  });

  test('even fractions have no band at 1 kHz', () => {
    expect(Math.abs(bandCentre(0, 6) - 1059.254)).toBeLessThan(1e-3);
    expect(Math.abs(bandCentre(0, 12) - 1029.201)).toBeLessThan(1e-3);
  });

  test('the bands of the audible range touch each other', () => {
    const bands = bandsBetween(19, 21000, 3);
    expect(bands.length).toBe(31);
    for (let i = 1; i < bands.length; i++) {
      expect(bandEdges(bands[i], 3)[0]).toBeCloseTo(bandEdges(bands[i - 1], 3)[1], 8);
    }
  });
});

describe('smoothing', () => {
  const grid = Float64Array.from({ length: 8193 }, (_, k) => (k * RATE) / 16384);

  test('a constant stays constant and a straight line its mean over the band', () => {
    for (const fraction of [3, 6, 12, 24]) {
      smoothPower(grid, new Float64Array(grid.length).fill(3), fraction).forEach(p => {
        expect(p).toBeCloseTo(3, 9);
      });
      // ∫ f df over [f/r, fr] divided by its width is f (r + 1/r)/2.
      const r = 2 ** (1 / (2 * fraction));
      const line = smoothPower(grid, grid, fraction);
      for (const k of [10, 100, 4000]) expect(line[k] / ((grid[k] * (r + 1 / r)) / 2)).toBeCloseTo(1, 9);
    }
  });

  test('a comb smooths to its mean power, and power is kept, not dB', () => {
    const comb = grid.map(f => Math.sin(f / 60) ** 2);
    const smooth = smoothPower(grid, comb, 3);
    for (let k = 3000; k < 5000; k++) expect(Math.abs(smooth[k] - 0.5)).toBeLessThan(0.02);
  });

  test('rising frequencies in any spacing: the same band mean on a logarithmic grid', () => {
    const log = Float64Array.from({ length: 4000 }, (_, i) => 20 * 1000 ** (i / 3999));
    const curve = (f: number) => 1 / (1 + (f / 2000) ** 4);
    const a = smoothPower(log, log.map(curve), 6);
    const b = smoothPower(grid, grid.map(curve), 6);
    for (const k of [500, 1000, 3000]) {
      const i = log.findIndex(f => f >= grid[k]);
      expect(Math.abs(10 * Math.log10(a[i] / b[k]))).toBeLessThan(0.05);
    }
  });
});

test('a long-term spectrum of few blocks, spread over a steady noise, has the same level', () => {
  let seed = 5;
  const noise = Float32Array.from({ length: 400_000 }, () => {
    seed = (seed * 1103515245 + 12345) % 2147483648;
    return seed / 1073741824 - 1;
  });
  const total = (most?: number) => longTermSpectrum([noise], 48000, 4096, most).power.reduce((sum, p) => sum + p, 0);
  expect(Math.abs(10 * Math.log10(total(20) / total()))).toBeLessThan(0.2);
});
