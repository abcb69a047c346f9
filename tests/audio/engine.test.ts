import { describe, expect, test } from 'vitest';
import { Engine, type EngineConfig, LOOK_AHEAD, METER, meterSize } from '../../shared/audio/engine.ts';
import { linearGraph, type SoundGraph } from '../../shared/audio/graph.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { FILE_BLOCK, packGraph, packKernels } from '../../shared/audio/partition.ts';
import type { Source } from '../../shared/audio/sources.ts';
import { largest, largestDifference, noise, pickupLike, sine } from './signals.ts';
import { spreadOutside } from './spread.ts';

const B = 128;
const RATE = 48000;
const scaled = (gain: number) => packKernels([[Float32Array.of(gain)]]);

/** Runs `input` through an engine; `before(block)` may act before each block. */
function run(
  input: Float32Array[],
  config: Partial<EngineConfig>,
  before: (engine: Engine, block: number) => void,
): { outputs: Float32Array[]; engine: Engine } {
  const engine = new Engine({ sampleRate: RATE, strings: input.length, outputs: 1, limiter: false, ...config });
  const blocks = Math.floor(input[0].length / B);
  const outputs = Array.from({ length: engine.config.outputs }, () => new Float32Array(blocks * B));
  const block = outputs.map(() => new Float32Array(B));
  for (let b = 0; b < blocks; b++) {
    before(engine, b);
    engine.process(
      input.map(x => x.subarray(b * B, (b + 1) * B)),
      block,
    );
    outputs.forEach((out, o) => {
      out.set(block[o], b * B);
    });
  }
  return { outputs, engine };
}

describe('change of kernels', () => {
  const fadeBlocks = Math.floor((0.02 * RATE) / B);

  test('takes 10 to 20 ms, rises without a step and ends exactly on the new set', () => {
    const ones = [new Float32Array(40 * B).fill(1)];
    const {
      outputs: [y],
    } = run(ones, {}, (engine, b) => {
      if (b === 0) engine.setKernels(scaled(0.25), true);
      if (b === 10) engine.setKernels(scaled(0.75));
    });
    const seconds = (fadeBlocks * B) / RATE;
    expect(seconds).toBeGreaterThanOrEqual(0.01);
    expect(seconds).toBeLessThanOrEqual(0.02);
    expect(largestDifference(y, new Float32Array(10 * B).fill(0.25), 0, 10 * B)).toBeLessThan(1e-7);
    for (let i = 10 * B; i < (10 + fadeBlocks) * B; i++) {
      expect(y[i] - y[i - 1]).toBeGreaterThanOrEqual(0);
      expect(y[i] - y[i - 1]).toBeLessThan((0.5 * 1.6) / (fadeBlocks * B));
    }
    expect(y[(10 + fadeBlocks) * B - 1]).toBeCloseTo(0.75, 6);
    expect(
      largestDifference(y.subarray((10 + fadeBlocks) * B), new Float32Array(40 * B).fill(0.75), 0, 10 * B),
    ).toBeLessThan(1e-6);
  });

  test('while one fade runs, only the newest of those that come waits, and no fade is restarted', () => {
    const ones = [new Float32Array(60 * B).fill(1)];
    const spent: number[] = [];
    const heard: number[] = [];
    const set = (gain: number) => ({ ...scaled(gain), id: gain });
    const {
      outputs: [y],
    } = run(ones, {}, (engine, b) => {
      if (b === 0) engine.setKernels(set(0), true);
      if (b === 5) engine.setKernels(set(0.2));
      if (b === 6) engine.setKernels(set(0.9));
      if (b === 7) engine.setKernels(set(-0.9));
      if (b === 8) engine.setKernels(set(0.5));
      for (let one = engine.takeSpent(); one !== null; one = engine.takeSpent()) spent.push(one.id!);
      if (engine.heard?.id !== heard.at(-1)) heard.push(engine.heard!.id!);
    });
    const firstEnd = (5 + fadeBlocks) * B;
    expect(y[firstEnd - 1]).toBeCloseTo(0.2, 6);
    expect(largest(y, 0, firstEnd)).toBeLessThan(0.2 + 1e-6);
    expect(y[firstEnd + fadeBlocks * B - 1]).toBeCloseTo(0.5, 6);
    expect(Math.min(...y)).toBeGreaterThan(-1e-7);
    expect(y[y.length - 1]).toBeCloseTo(0.5, 6);
    // Each was handed back once, heard or not, and what is heard was told.
    expect(spent.sort()).toEqual([-0.9, 0, 0.2, 0.5, 0.9]);
    expect(heard).toEqual([0, 0.2, 0.5]);
  });

  test('there and back again is the same as never having left, sets of differing lengths', () => {
    const x = [noise(120 * B, 11, 0.5), noise(120 * B, 12, 0.5)];
    const a = [[noise(5 * B - 3, 13, 0.1), noise(200, 14, 0.1)]];
    const b = [[noise(90, 15, 0.1), noise(23 * B + 1, 16, 0.1)]];
    const stay = run(x, {}, (engine, n) => n === 0 && engine.setKernels(packKernels(a), true)).outputs[0];
    const other = run(x, {}, (engine, n) => n === 0 && engine.setKernels(packKernels(b), true)).outputs[0];
    const aba = run(x, {}, (engine, n) => {
      if (n === 0) engine.setKernels(packKernels(a), true);
      if (n === 40) engine.setKernels(packKernels(b));
      if (n === 80) engine.setKernels(packKernels(a));
    }).outputs[0];
    expect(largestDifference(aba, stay, 0, 40 * B)).toBe(0);
    // The new set is heard over the input before it came, as if it had always been there.
    expect(largestDifference(aba, other, (40 + fadeBlocks) * B, 80 * B)).toBe(0);
    expect(largestDifference(aba, stay, (80 + fadeBlocks) * B)).toBe(0);
    for (let i = 40 * B; i < (40 + fadeBlocks) * B; i++) {
      const [low, high] = [Math.min(stay[i], other[i]), Math.max(stay[i], other[i])];
      expect(aba[i]).toBeGreaterThan(low - 1e-6);
      expect(aba[i]).toBeLessThan(high + 1e-6);
    }
  });

  test.each([44100, 48000, 96000])('a 1 kHz sine at %i Hz stays clean through many changes', sampleRate => {
    const x = [sine(2 * sampleRate, 1000, sampleRate, 0.5)];
    const sets = [
      [[pickupLike(1024, 40, 3000, sampleRate)]],
      [[pickupLike(700, 90, 5000, sampleRate)]],
      [[pickupLike(2000, 15, 1200, sampleRate)]],
      [[Float32Array.of(-1)]],
    ];
    const {
      outputs: [y],
    } = run(x, { sampleRate }, (engine, b) => {
      if (b === 0) engine.setKernels(packKernels(sets[0]), true);
      if (b % 41 === 40) engine.setKernels(packKernels(sets[Math.floor(b / 41 + 1) % sets.length]));
    });
    expect(spreadOutside(y.subarray(sampleRate * 0.2), 1000, 500, sampleRate)).toBeLessThan(-80);
  });
});

describe('guards', () => {
  test('NaN and infinity in the input come out as silence of those samples and are counted', () => {
    const x = noise(40 * B, 21, 0.5);
    x[1000] = Number.NaN;
    x[2000] = Number.POSITIVE_INFINITY;
    x.fill(Number.NaN, 3000, 3100);
    const clean = x.map(v => (Number.isFinite(v) ? v : 0));
    const kernels = packKernels([[pickupLike(300, 20, 3000, RATE)]]);
    const { outputs, engine } = run([x], {}, (e, b) => b === 0 && e.setKernels(kernels, true));
    const wanted = run([clean], {}, (e, b) => b === 0 && e.setKernels(kernels, true)).outputs[0];
    expect(largestDifference(outputs[0], wanted)).toBe(0);
    const meters = new Float32Array(meterSize(1));
    engine.readMeters(meters);
    expect(meters[METER.bad]).toBe(102);
  });

  test('kernels that are not finite are silence, counted, and the next good set is heard', () => {
    const x = noise(80 * B, 22, 0.2);
    const bad = packKernels([[Float32Array.of(Number.NaN, 1)]]);
    const { outputs, engine } = run([x], { limiter: true }, (e, b) => {
      if (b === 0) e.setKernels(scaled(1), true);
      if (b === 20) e.setKernels(bad);
      if (b === 40) e.setKernels(scaled(0.5));
    });
    expect(outputs[0].every(Number.isFinite)).toBe(true);
    const meters = new Float32Array(meterSize(1));
    engine.readMeters(meters);
    expect(meters[METER.bad]).toBeGreaterThan(0);
    expect(outputs[0][70 * B]).toBeCloseTo(0.5 * x[70 * B - LOOK_AHEAD], 6);
  });

  test('the largest numbers a sample can hold', () => {
    const x = new Float32Array(20 * B).fill(3.4e38);
    const { outputs } = run([x], { limiter: true }, (e, b) => b === 0 && e.setKernels(scaled(1000), true));
    expect(outputs[0].every(Number.isFinite)).toBe(true);
    expect(largest(outputs[0])).toBeLessThan(10 ** (-1 / 20));
  });

  test('kernels that do not fit are refused, what plays goes on', () => {
    const engine = new Engine({ sampleRate: RATE, strings: 2, outputs: 1, maxTaps: 1000 });
    expect(() => engine.setKernels(packKernels([[new Float32Array(2000)]]))).toThrow('2048 taps');
    const three = packKernels([[new Float32Array(1), new Float32Array(1), new Float32Array(1)]]);
    expect(() => engine.setKernels(three)).toThrow('3 strings');
    const files = packKernels([[new Float32Array(1)]], 1, FILE_BLOCK);
    expect(() => engine.setKernels(files)).toThrow('blocks of 1024');
    expect(() => engine.setVolume(Number.NaN)).toThrow('NaN');
    expect(() => new Engine({ sampleRate: 0, strings: 1, outputs: 1 })).toThrow('sample rate');
  });
});

describe('sources', () => {
  const NOISE = { kind: 'noise', seed: 5 } as const;
  const hum = (frequency: number) => ({ kind: 'hum', frequency, harmonics: [0.5, 0, 0.1] }) as const;
  const graph = (sources: SoundGraph['sources'], kernel = [1]): SoundGraph => ({
    ...linearGraph([[new Float32Array(1)]]),
    sources,
    outputs: [sources.map((_, i) => ({ from: 1 + i, kernel: Float32Array.from(kernel) }))],
  });

  test('hum is a sum of harmonics, noise is white, of mean square 1, and the same every time', () => {
    const silent = [new Float32Array(400 * B)];
    const play = (source: Source) =>
      run(silent, {}, (engine, b) => b === 0 && engine.setKernels(packGraph(graph([source])), true)).outputs[0];
    const wanted = Float32Array.from(silent[0], (_, n) => {
      const turn = (2 * Math.PI * 50 * n) / RATE;
      return 0.5 * Math.sin(turn) + 0.1 * Math.sin(3 * turn);
    });
    expect(largestDifference(play(hum(50)), wanted)).toBeLessThan(1e-5);
    // what would lie beyond half the rate is left out
    expect(largest(play({ kind: 'hum', frequency: 20_000, harmonics: [0, 0.5, 0.5] }))).toBe(0);
    const first = play(NOISE);
    expect(largestDifference(first, play(NOISE))).toBe(0);
    expect(largestDifference(first, play({ ...NOISE, seed: 6 }))).toBeGreaterThan(1);
    for (const lag of [0, 1, 2, 5, 100]) {
      let sum = 0;
      for (let n = lag; n < first.length; n++) sum += first[n] * first[n - lag];
      // three times the scatter of 51,200 products
      expect(Math.abs(sum / first.length - (lag === 0 ? 1 : 0))).toBeLessThan(0.014);
    }
  });

  test('come and go with the kernel set that has them, and stand beside all strings there is room for', () => {
    const silent = Array.from({ length: 3 }, () => new Float32Array(100 * B));
    const { outputs } = run(silent, {}, (engine, b) => {
      if (b === 0) engine.setKernels(scaled(1), true);
      if (b === 20) engine.setKernels(packGraph(graph([NOISE, hum(50)])));
      if (b === 60) engine.setKernels(scaled(1));
    });
    expect(largest(outputs[0], 0, 20 * B)).toBe(0);
    expect(largest(outputs[0], 40 * B, 60 * B)).toBeGreaterThan(1);
    expect(largest(outputs[0], 80 * B)).toBe(0);
    const engine = new Engine({ sampleRate: RATE, strings: 1, outputs: 1 });
    expect(() => engine.setKernels(packGraph(graph([NOISE, NOISE, NOISE])))).toThrow('sources 3');
  });
});

describe('volume, meters, outputs', () => {
  test('the start is quiet and rises in a straight line; a change of volume has no step', () => {
    const ones = [new Float32Array(200 * B).fill(0.5)];
    const {
      outputs: [y],
    } = run(ones, { rise: 0.1, volume: 0.5 }, (engine, b) => {
      if (b === 0) engine.setKernels(scaled(1), true);
      if (b === 100) engine.setVolume(1);
    });
    expect(y[0]).toBeLessThan(0.001);
    expect(y[2400]).toBeCloseTo(0.125, 3);
    expect(y[4900]).toBeCloseTo(0.25, 6);
    let step = 0;
    for (let i = 1; i < y.length; i++) step = Math.max(step, Math.abs(y[i] - y[i - 1]));
    expect(step).toBeLessThan(2e-4);
    expect(y[y.length - 1]).toBeCloseTo(0.5, 6);
  });

  test('meters: a full-scale sine has peak 1 and mean square 1/2', () => {
    const { engine } = run([sine(375 * B, 1000, RATE)], {}, (e, b) => b === 0 && e.setKernels(scaled(1), true));
    const meters = new Float32Array(meterSize(1));
    engine.readMeters(meters);
    expect(meters[METER.output]).toBeCloseTo(1, 4);
    expect(meters[METER.output + 1]).toBeCloseTo(0.5, 4);
    expect(meters[METER.blocks]).toBe(375);
    expect(meters[METER.gain]).toBe(1);
    engine.readMeters(meters);
    expect(meters[METER.output]).toBe(0);
  });

  test('one output sounds on both channels; two stay apart', () => {
    const engine = new Engine({ sampleRate: RATE, strings: 1, outputs: 2, limiter: false });
    const out = [new Float32Array(B), new Float32Array(B)];
    engine.setKernels(scaled(0.5), true);
    engine.process([noise(B, 31)], out);
    expect(largest(out[0])).toBeGreaterThan(0.1);
    expect(out[1]).toEqual(out[0]);
    engine.setKernels(packKernels([[Float32Array.of(1)], [Float32Array.of(-2)]]), true);
    engine.process([noise(B, 32, 0.1)], out);
    expect(
      largestDifference(
        out[1],
        out[0].map(v => -2 * v),
      ),
    ).toBeLessThan(1e-8);
  });

  test('missing strings, no strings and reset are silence', () => {
    const engine = new Engine({ sampleRate: RATE, strings: 3, outputs: 1, limiter: false });
    const out = [new Float32Array(B).fill(9)];
    engine.process([], out);
    expect(largest(out[0])).toBe(0);
    engine.setKernels(packKernels([[noise(500, 1), noise(500, 2), noise(500, 3)]]), true);
    engine.process([noise(B, 33)], out);
    expect(largest(out[0])).toBeGreaterThan(0);
    engine.reset();
    engine.process([], out);
    expect(largest(out[0])).toBe(0);
  });
});

test('file rendering equals the engine block by block, and in larger blocks', () => {
  const inputs = Array.from({ length: 6 }, (_, s) => noise(100 * B, 40 + s, 0.3));
  const kernels = packKernels([inputs.map((_, s) => pickupLike(700 + 100 * s, 20 + s, 3000, RATE))]);
  const live = run(inputs, {}, (engine, b) => b === 0 && engine.setKernels(kernels, true)).outputs[0];
  const parts: number[] = [];
  const file = renderOffline(inputs, kernels, {
    sampleRate: RATE,
    onProgress: part => {
      parts.push(part);
      return true;
    },
  }) ?? [new Float32Array(0)];
  expect(file[0].length).toBe(100 * B + 1200);
  expect(largestDifference(live, file[0])).toBe(0);
  const bigger = packKernels([inputs.map((_, s) => pickupLike(700 + 100 * s, 20 + s, 3000, RATE))], 1, FILE_BLOCK);
  const [quicker] = renderOffline(inputs, bigger, { sampleRate: RATE }) ?? [];
  expect(quicker.length).toBe(file[0].length);
  expect(largestDifference(quicker, file[0])).toBeLessThan(1e-6 * largest(file[0]));
  expect(parts[0]).toBe(0);
  expect(parts[parts.length - 1]).toBe(1);
  expect(renderOffline(inputs, kernels, { sampleRate: RATE, onProgress: () => false })).toBeNull();
  const limited = renderOffline(inputs, kernels, { sampleRate: RATE, gain: 0.1, limiter: true, tail: 0 }) ?? [];
  const plain = renderOffline(inputs, kernels, { sampleRate: RATE, gain: 0.1, tail: 0 }) ?? [];
  expect(largestDifference(limited[0], plain[0])).toBe(0);
});
