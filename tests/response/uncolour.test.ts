import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { RealFft } from '../../shared/audio/fft.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { packKernels } from '../../shared/audio/partition.ts';
import { magnitudes, spectrum } from '../../shared/complex.ts';
import type { Build } from '../../shared/document/build.ts';
import { examples } from '../../shared/document/starting/starting-builds.ts';
import { kernels } from '../../shared/response/kernel.ts';
import { response } from '../../shared/response/response.ts';
import { uncolour, uncolourFrequencies, uncolouring, uncolouringOf } from '../../shared/response/uncolour.ts';

const RATE = 48000;

/** Uniform noise, seeded, with silence at the end for tails. */
function noise(seconds: number, seed: number): Float32Array {
  let state = seed;
  const n = Math.round(seconds * RATE);
  return Float32Array.from({ length: n }, (_, i) => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return i < n - RATE ? state / 2 ** 31 : 0;
  });
}

/** One string of a build, rendered by the engine, its delay taken out. */
function record(build: Build, string: number, source: Float32Array): Float32Array {
  const set = kernels(build, 5, RATE);
  const packed = packKernels([[set.outputs[0][string]]]);
  const [out] = renderOffline([source], packed, { sampleRate: RATE }) ?? [];
  return out.slice(set.delays[string], set.delays[string] + source.length);
}

/** Complex ratio of the long-term cross spectra y/x over `size`-point Hann blocks: dB of its error against 1, per bin. */
function ratioErrors(x: Float32Array, y: Float32Array, size: number): Float64Array {
  const fft = new RealFft(size);
  const [a, b] = [fft.spectrum(), fft.spectrum()];
  const re = new Float64Array(fft.bins);
  const im = new Float64Array(fft.bins);
  const own = new Float64Array(fft.bins);
  const wave = new Float64Array(size);
  const take = (signal: Float32Array, at: number) => {
    for (let i = 0; i < size; i++) wave[i] = signal[at + i] * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size));
    return wave;
  };
  for (let at = 0; at + size <= x.length; at += size / 2) {
    fft.forward(a, take(x, at));
    fft.forward(b, take(y, at));
    for (let k = 0; k < fft.bins; k++) {
      re[k] += b.re[k] * a.re[k] + b.im[k] * a.im[k];
      im[k] += b.im[k] * a.re[k] - b.re[k] * a.im[k];
      own[k] += a.re[k] ** 2 + a.im[k] ** 2;
    }
  }
  return own.map((p, k) => 20 * Math.log10(Math.hypot(re[k], im[k]) / p));
}

const outside = (f: number, weak: readonly (readonly [number, number])[], margin: number) =>
  weak.every(([from, to]) => f < from - margin || f > to + margin);

describe('un-colouring', () => {
  test.each(examples())(
    '$id: bridge force through it and back is within 0.5 dB from 60 Hz to 10 kHz',
    ({ build }) => {
      const strings = build.instrument.strings.length;
      for (const string of [0, strings - 1]) {
        const source = noise(12, 11 + string);
        const inverse = uncolouringOf(build, string, 5, RATE);
        const back = uncolour(record(build, string, source), inverse).map(v => v / inverse.reference);
        // The bins of this look are 1.5 Hz wide, with lobes of three.
        const errors = ratioErrors(source, back, 32768);
        let judged = 0;
        errors.forEach((error, k) => {
          const f = (k * RATE) / 32768;
          if (f < 60 || f > 10000 || !outside(f, inverse.weak, 5)) return;
          judged++;
          if (!(Math.abs(error) < 0.5)) throw new Error(`${error} dB at ${f} Hz, string ${string}`);
        });
        // Most of the band must be left to judge, or the shading would hide the work.
        expect(judged / ((10000 - 60) / (RATE / 32768))).toBeGreaterThan(0.6);
      }
    },
    60_000,
  );

  test('another build on the un-coloured take equals that build on the source', () => {
    const [{ build: first }, { build: second }] = examples();
    const source = noise(12, 5);
    const inverse = uncolouringOf(first, 1, 5, RATE);
    const back = uncolour(record(first, 1, source), inverse).map(v => v / inverse.reference);
    const errors = ratioErrors(record(second, 1, source), record(second, 1, back), 32768);
    const bins = errors.map((_, k) => ((k || 1e-3) * RATE) / 32768);
    const h = response(second, 1, 5, bins);
    const strengths = magnitudes(h);
    const strongest = Math.max(...strengths);
    bins.forEach((f, k) => {
      if (f < 60 || f > 10000 || !outside(f, inverse.weak, 5)) return;
      // Where the second build itself is silent, the ratio is one of rounding errors.
      if (strengths[k] < 1e-3 * strongest) return;
      if (!(Math.abs(errors[k]) < 0.5)) throw new Error(`${errors[k]} dB at ${f} Hz`);
    });
  });

  test('any placement: the kernel that plays times the kernel that undoes it is 1 outside the shaded bands', () => {
    const builds = examples().map(e => e.build);
    const place = fc.record({
      which: fc.nat(builds.length - 1),
      along: fc.double({ min: 0.03, max: 0.28, noNaN: true }),
    });
    fc.assert(
      fc.property(place, fc.nat(3), ({ which, along }, string) => {
        const example = builds[which];
        const [pickup] = example.pickups;
        const scale = Math.max(...example.instrument.strings.map(s => s.scale));
        const build = { ...example, pickups: [{ ...pickup, position: along * scale }, ...example.pickups.slice(1)] };
        const inverse = uncolouringOf(build, string, 5, RATE);
        const set = kernels(build, 5, RATE);
        const size = 2 * inverse.kernel.length;
        const fft = new RealFft(size);
        const [a, b] = [fft.spectrum(), fft.spectrum()];
        fft.forward(a, set.outputs[0][string]);
        fft.forward(b, inverse.kernel);
        for (let k = 0; k < fft.bins; k++) {
          const f = (k * RATE) / size;
          if (f < 60 || f > 10000 || !outside(f, inverse.weak, 2)) continue;
          const product = (Math.hypot(a.re[k], a.im[k]) * Math.hypot(b.re[k], b.im[k])) / inverse.reference;
          if (!(Math.abs(20 * Math.log10(product)) < 0.5)) throw new Error(`${20 * Math.log10(product)} dB at ${f} Hz`);
        }
      }),
      { numRuns: 40 },
    );
  });

  test.each([20, 30, 40, 60])('nothing is lifted by more than %i dB, and the nulls are shaded', maximumLift => {
    const [{ build }] = examples();
    const inverse = uncolouringOf(build, 2, 5, RATE, { maximumLift });
    expect(inverse.lift).toBeLessThan(maximumLift + 0.01);
    expect(inverse.lift).toBeGreaterThan(maximumLift - 3);
    // The kernel itself, not only its recipe: its transform at every frequency of a twice finer grid.
    const size = 2 * inverse.kernel.length;
    const fft = new RealFft(size);
    const s = fft.spectrum();
    fft.forward(s, inverse.kernel);
    let most = 0;
    for (let k = 0; k < fft.bins; k++) most = Math.max(most, Math.hypot(s.re[k], s.im[k]));
    expect(20 * Math.log10(most)).toBeLessThan(maximumLift + 0.5);
    expect(inverse.weak.length).toBeGreaterThan(0);
  });

  test('less lift shades more', () => {
    const [{ build }] = examples();
    const shaded = (maximumLift: number) =>
      uncolouringOf(build, 2, 5, RATE, { maximumLift }).weak.reduce((sum, [a, b]) => sum + b - a, 0);
    expect(shaded(20)).toBeGreaterThan(shaded(40));
    expect(shaded(40)).toBeGreaterThan(shaded(60));
  });

  test('a flat response needs nothing: the signal returns as it was, at its place', () => {
    const flat = spectrum(uncolourFrequencies(RATE).length);
    flat.re.fill(0.25);
    const inverse = uncolouring(flat, RATE);
    expect(inverse).toMatchObject({ reference: 0.25, weak: [] });
    const x = Float32Array.from({ length: RATE }, (_, i) => Math.sin(i / 9) * Math.sin((Math.PI * i) / RATE) ** 2);
    const y = uncolour(x, inverse);
    expect(y.length).toBe(x.length);
    let most = 0;
    y.forEach((v, i) => {
      most = Math.max(most, Math.abs(v - x[i]));
    });
    expect(most).toBeLessThan(1e-5);
  });

  test('an input corner is undone the same way', () => {
    // First-order high-pass of a sensor of 500 pF into 1 MΩ: 318 Hz.
    const corner = 1 / (2 * Math.PI * 500e-12 * 1e6);
    const f = uncolourFrequencies(RATE);
    const h = spectrum(f.length);
    f.forEach((hz, k) => {
      const r = hz / corner;
      h.re[k] = (r * r) / (1 + r * r);
      h.im[k] = r / (1 + r * r);
    });
    const inverse = uncolouring(h, RATE, { maximumLift: 30 });
    expect(inverse.weak).toEqual([]);
    expect(inverse.lift).toBeGreaterThan(14);
  });

  test('no response at all is said', () => {
    expect(() => uncolouring(spectrum(uncolourFrequencies(RATE).length), RATE)).toThrow('its response is zero');
  });
});
