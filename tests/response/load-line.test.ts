/** Coils and load in one line: a coil, its capacitance with the cable's, and an input, by closed forms. */
import { describe, expect, test } from 'vitest';
import type { Build } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { outputFigures } from '../../shared/response/figures.ts';
import { loadFigures } from '../../shared/response/load-figures.ts';
import { loadText } from '../../src/parts/figure-text.ts';
import { words } from '../../src/words/quantity-words.ts';

const [, single] = demoBuilds();
const line = (build: Build, point: 1 | 3 | 4 | 5 = 5) => loadText(outputFigures(build, point));

/** A coil of R and L straight into C and R_in. */
function plain(r: number, l: number, c: number, input: number): Build {
  const build = structuredClone(single);
  build.harness.controls = [];
  build.harness.fixed = [];
  Object.assign(build.pickups[0].coils[0], {
    resistance: r,
    inductance: l,
    capacitance: c,
    loss: { kind: 'none' },
    cover: null,
  });
  build.outputs[0].chain = [{ kind: 'input', name: 'input', resistance: input, capacitance: 0, series: 0 }];
  return build;
}

describe('coils and load in one line', () => {
  // H = 1/((R + sL)(1/R_in + sC) + 1): f0 and Q by comparing coefficients
  test.each([
    [6000, 2.5, 600e-12, 125e3],
    [8000, 4.5, 700e-12, 1e6],
    [6000, 2.5, 600e-12, 30e3],
  ])('%f Ω, %f H, %f F, %f Ω: f0, Q, peak and slope of the second-order low-pass that they are', (r, l, c, input) => {
    const lift = 1 + r / input;
    const natural = Math.sqrt(lift / (l * c)) / (2 * Math.PI);
    const q = Math.sqrt(l * c * lift) / (l / input + r * c);
    const low = loadFigures(plain(r, l, c, input))!.lowPass!;
    expect(low.natural / natural).toBeCloseTo(1, 6);
    // told against 100 Hz, which lies a little over 0 Hz
    expect(low.quality / q).toBeCloseTo(1, 2);
    expect(low.departure).toBeLessThan(0.02);
    const at = (x: number) => -10 * Math.log10((1 - x * x) ** 2 + (x / q) ** 2);
    expect(low.slope).toBeCloseTo(at(8) - at(4), 3);
    const text = line(plain(r, l, c, input));
    expect(text).toMatch(/^Coils and load: a damped second-order low-pass, f0 \d\.\d\d kHz, Q [\d.]+, /);
    expect(Number(/f0 ([\d.]+)/.exec(text)![1]) / (natural / 1e3)).toBeCloseTo(1, 2);
    expect(Number(/Q ([\d.]+)/.exec(text)![1]) / q).toBeCloseTo(1, 2);
    expect(Number(/−([\d.]+) dB per octave/.exec(text)![1])).toBeCloseTo(at(4) - at(8), 1);
    if (q > Math.SQRT1_2) {
      const peak = 20 * Math.log10(q / Math.sqrt(1 - 1 / (4 * q * q)));
      expect(Math.abs(Number(/peak \+([\d.]+) dB/.exec(text)![1]) - peak)).toBeLessThan(0.06);
    } else expect(text).toContain(words.noPeak);
  });

  test('pots at full stay within a decibel of one; a tone control half down is said to be none', () => {
    expect(line(single)).toMatch(/^Coils and load: a damped second-order low-pass/);
    const tone = structuredClone(single);
    tone.harness.controls[0].tone!.setting = 0.3;
    expect(line(tone)).toMatch(/^Coils and load are no second-order low-pass: up to \d+\.\d dB from one of f0/);
    expect(loadFigures(tone)!.lowPass!.departure).toBeGreaterThan(1);
  });

  test('it stands where there is a load, and says nothing of silence', () => {
    expect(line(single, 4)).not.toBe('');
    expect(line(single, 3)).toBe('');
    const silent = structuredClone(single);
    silent.harness.positions[silent.harness.selected].taps = [];
    expect(line(silent)).toBe('');
  });
});
