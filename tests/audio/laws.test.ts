/** Signals that laws bend, through the engine: harmonics against closed forms, aliasing, latency, sums. */
import { describe, expect, test } from 'vitest';
import { instantiate } from '../../shared/audio/binary.ts';
import { Engine } from '../../shared/audio/engine.ts';
import { RealFft } from '../../shared/audio/fft.ts';
import type { SoundGraph } from '../../shared/audio/graph.ts';
import { commonSource, flux, follower, type Law, rails } from '../../shared/audio/law.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { LAW_LATENCY, packGraph, packKernels } from '../../shared/audio/partition.ts';
import { directConvolution, largest, largestDifference, noise, pickupLike, sine } from './signals.ts';

const RATE = 48000;
const ONE = Float32Array.of(1);
/** Periods that fill the transform exactly, so that every line of the spectrum is one bin. */
const SIZE = 8192;

/** One input, through a law, to one output. */
const through = (law: Law): SoundGraph => ({
  strings: 1,
  sources: [],
  late: 0,
  stages: [[[{ law, paths: [{ from: 0, kernel: ONE }] }]]],
  outputs: [[{ from: 1, kernel: ONE }]],
});
const render = (graph: SoundGraph, channels: Float32Array[], gain = 1): Float32Array[] =>
  renderOffline(channels, packGraph(graph, gain), { sampleRate: RATE, tail: 0 })!;

/** Amplitudes of the settled output's bins for a sine of `periods` in SIZE samples. */
function lines(law: Law, amplitude: number, periods: number, rate = RATE): Float64Array {
  const x = sine(3 * SIZE, (periods * rate) / SIZE, rate, amplitude);
  const [y] = renderOffline([x], packGraph(through(law)), { sampleRate: rate, tail: 0 })!;
  const fft = new RealFft(SIZE);
  const out = fft.spectrum();
  fft.forward(out, y.subarray(SIZE, 2 * SIZE));
  return Float64Array.from(out.re, (re, k) => (2 * Math.hypot(re, out.im[k])) / SIZE);
}
const decibels = (ratio: number) => 20 * Math.log10(ratio);

describe('harmonics against closed forms', () => {
  test('point pole: second and third of the EMF, string moving a tenth of its distance', () => {
    // Computed from the dipole law (1 + x)^-3; the EMF is the flux's derivative: harmonic n counts n times.
    const h = lines(flux(3), 0.1, 171);
    expect(decibels((2 * h[342]) / h[171])).toBeCloseTo(-13.979, 1);
    expect(Math.abs(decibels((2 * h[342]) / h[171]) + 13.979)).toBeLessThan(0.05);
    expect(Math.abs(decibels((3 * h[513]) / h[171]) + 32.03)).toBeLessThan(0.05);
  });

  test('follower of square law: gain and second harmonic at two levels', () => {
    // I_DSS 0.6 mA, V_P -0.8 V, R_s 10 k, load 1 M: V_GS -0.556386 V, a = 4.522539 (square law, worked by hand).
    const law = follower(0.8 - 0.556386, 4.522539);
    expect(law.slope(0)).toBeCloseTo(0.818924, 6);
    const soft = lines(law, 0.1, 171);
    const loud = lines(law, 0.5, 171);
    expect(Math.abs(decibels(soft[342] / soft[171]) + 49.418)).toBeLessThan(0.05);
    expect(Math.abs(decibels(loud[342] / loud[171]) + 34.241)).toBeLessThan(0.05);
  });

  test('common source: second harmonic A/(4 V_ov), no third', () => {
    const h = lines(commonSource(0.25), 0.05, 171);
    expect(Math.abs(decibels(h[342] / h[171]) + 26.021)).toBeLessThan(0.05);
    expect(decibels(h[513] / h[171])).toBeLessThan(-110);
  });

  test('rails, 3 dB over: the Fourier series of a clipped sine', () => {
    const h = lines(rails(1), 10 ** (3 / 20), 171);
    expect(Math.abs(decibels(h[171] / 1.15696))).toBeLessThan(0.05);
    expect(Math.abs(decibels(h[513] / 0.149519))).toBeLessThan(0.05);
    expect(Math.abs(decibels(h[855] / 0.030188))).toBeLessThan(0.05);
  });
});

describe('aliasing: what is no harmonic stays below −90 dB up to 0.43 of the rate', () => {
  // Periods that no small multiple brings back onto another harmonic's bin.
  test.each([
    ['rails, 3 dB over', rails(1), 10 ** (3 / 20)],
    ['rails, 12 dB over', rails(1), 4],
    ['follower, cut off', follower(0.243614, 4.522539), 1.2],
    ['point pole, half the distance', flux(3), 0.5],
    ['rail, half the distance', flux(1), 0.5],
  ] as const)('%s', (_, law, amplitude) => {
    for (const periods of [171, 499, 853]) {
      const h = lines(law, amplitude, periods);
      let worst = 0;
      for (let k = 1; k < 0.43 * SIZE; k++) if (k % periods !== 0) worst = Math.max(worst, h[k]);
      expect(decibels(worst / h[periods]), `${periods} periods`).toBeLessThan(-90);
    }
  });
});

describe('small signals', () => {
  test.each([rails(1), follower(0.243614, 4.522539), flux(3)])('are as the law is steep, to 0.02 dB (law %#)', law => {
    for (const part of [0.001, 0.02, 0.1, 0.2, 0.3, 0.38, 0.42]) {
      const x = sine(6000, part * RATE, RATE, 1e-4);
      const [y] = render(through(law), [x]);
      const wanted = x.map(v => v * law.slope(0));
      // The curvature of the laws adds at most 6 parts in 10,000 here.
      expect(largestDifference(y, wanted, 1000, 5000)).toBeLessThan(0.0023 * largest(wanted));
    }
  });

  test('come exactly as late as is told, beside a path around the law too', () => {
    expect(instantiate().lawLatency()).toBe(LAW_LATENCY);
    const x = sine(6000, 3000, RATE, 0.5);
    const graph = through(rails(1));
    const both = { ...graph, outputs: [[...graph.outputs[0], { from: 0, kernel: ONE }]] };
    const [y] = render(both, [x]);
    const twice = x.map(v => 2 * v);
    expect(largestDifference(y, twice, 1000, 5000)).toBeLessThan(1e-3);
    const engine = new Engine({ sampleRate: RATE, strings: 1, outputs: 1, limiter: false });
    const packed = packGraph(graph);
    expect(packed.latency).toBe(LAW_LATENCY);
    engine.setKernels(packed, true);
    const click = new Float32Array(128);
    click[0] = 0.1;
    const out = new Float32Array(128);
    engine.process([click], [out]);
    expect(out.indexOf(Math.max(...out))).toBe(LAW_LATENCY);
  });
});

describe('graphs', () => {
  const straight: Law = { value: x => x, slope: () => 1, from: -4, to: 4, beyond: [1, 1], abrupt: false };

  test.each([
    [1, 7],
    [2, 12],
    [3, 5],
    [6, 13],
  ])('%i signals of %i laws each: kernels before and after, by the direct sum', (count, laws) => {
    const strings = 6;
    const inputs = Array.from({ length: strings }, (_, s) => noise(1500, s + 1, 0.2));
    const before = Array.from({ length: count * laws }, (_, i) => noise(200, 100 + i, 0.1));
    const after = Array.from({ length: count }, (_, i) => noise(300, 300 + i, 0.1));
    const graph: SoundGraph = {
      strings,
      sources: [],
      late: 0,
      stages: [
        Array.from({ length: count }, (_, signal) =>
          Array.from({ length: laws }, (_, i) => ({
            law: straight,
            paths: [{ from: i % strings, kernel: before[signal * laws + i] }],
          })),
        ),
      ],
      outputs: [after.map((kernel, i) => ({ from: strings + i, kernel }))],
    };
    const soft = inputs.map(x => band(x));
    const [y] = render(graph, soft);
    const wanted = new Float64Array(1500);
    for (let signal = 0; signal < count; signal++) {
      const sum = new Float32Array(1500);
      for (let i = 0; i < laws; i++)
        directConvolution([soft[i % strings]], [before[signal * laws + i]]).forEach((v, n) => {
          sum[n] += v;
        });
      directConvolution([sum], [after[signal]]).forEach((v, n) => {
        wanted[n] += v;
      });
    }
    // the start and end of the filters lie outside the rendered stretch
    expect(largestDifference(y, wanted, 0, 1400)).toBeLessThan(1e-3 * largest(wanted));
  });

  test('a stage after a stage, and twelve outputs', () => {
    const x = sine(8000, 440, RATE, 2);
    const graph: SoundGraph = {
      strings: 1,
      sources: [],
      late: 0,
      stages: [
        [[{ law: rails(1.5), paths: [{ from: 0, kernel: ONE }] }]],
        [[{ law: rails(1), paths: [{ from: 1, kernel: ONE }] }]],
      ],
      outputs: Array.from({ length: 12 }, (_, o) => [{ from: 2, kernel: Float32Array.of(o + 1) }]),
    };
    const outputs = render(graph, [x]);
    expect(outputs).toHaveLength(12);
    outputs.forEach((y, o) => {
      expect(
        largestDifference(
          y,
          outputs[0].map(v => v * (o + 1)),
        ),
      ).toBeLessThan(1e-4);
    });
    // Twice clipped is clipped at the lower level.
    expect(largest(outputs[0], 1000, 7000)).toBeGreaterThan(0.99);
    expect(largest(outputs[0], 1000, 7000)).toBeLessThan(1.2);
  });

  test('a graph that refers to what comes later is refused', () => {
    const graph = through(rails(1));
    expect(() => packGraph({ ...graph, stages: [[[{ law: rails(1), paths: [{ from: 1, kernel: ONE }] }]]] })).toThrow(
      'signal 1',
    );
  });
});

test('switching a law on and off fades without a click, over its own past', () => {
  const x = sine(300 * 128, 1000, RATE, 0.2);
  const engine = new Engine({ sampleRate: RATE, strings: 1, outputs: 1, limiter: false });
  const kernel = pickupLike(2000, 40, 3000, RATE);
  const on: SoundGraph = {
    strings: 1,
    sources: [],
    late: 0,
    stages: [[[{ law: rails(1), paths: [{ from: 0, kernel: ONE }] }]]],
    outputs: [[{ from: 1, kernel }]],
  };
  engine.setKernels(packKernels([[kernel]]), true);
  const y = new Float32Array(x.length);
  for (let b = 0; b < 300; b++) {
    if (b === 100) engine.setKernels(packGraph(on));
    if (b === 200) engine.setKernels(packKernels([[kernel]]));
    engine.process([x.subarray(b * 128, b * 128 + 128)], [y.subarray(b * 128, b * 128 + 128)]);
  }
  const settled = largest(y, 50 * 128, 100 * 128);
  expect(largest(y, 100 * 128)).toBeLessThan(1.01 * settled);
  expect(largest(y, 150 * 128, 200 * 128)).toBeGreaterThan(0.98 * settled);
  let step = 0;
  for (let i = 50 * 128; i < y.length; i++) step = Math.max(step, Math.abs(y[i] - y[i - 1]));
  expect(step).toBeLessThan(1.1 * settled * 2 * Math.sin((Math.PI * 1000) / RATE));
});

/** Smoothed, so that nothing stands above 0.4 of the rate, where the filters of four times the rate begin to fall. */
function band(x: Float32Array): Float32Array {
  const taps = Float32Array.from({ length: 41 }, (_, i) => {
    const m = i - 20;
    const sinc = m === 0 ? 0.5 : Math.sin((Math.PI * m) / 2) / (Math.PI * m);
    return sinc * (0.42 + 0.5 * Math.cos((Math.PI * m) / 20) + 0.08 * Math.cos((2 * Math.PI * m) / 20));
  });
  return Float32Array.from(directConvolution([x], [taps]));
}
