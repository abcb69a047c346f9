import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { instantiate } from '../../shared/audio/binary.ts';
import { LOOK_AHEAD } from '../../shared/audio/engine.ts';
import { largest, largestDifference, noise, sine, truePeak } from './signals.ts';

const B = 128;
const CEILING = 10 ** (-1 / 20);

/** The engine's way out alone: blocks of samples, as kernels would have made them, through the limiter. */
function limit(channels: Float32Array[], sampleRate = 48000): { outputs: Float32Array[]; lowest: number } {
  const binary = instantiate();
  binary.prepare(B, 1, 1, channels.length, 1, 1, 0, 0, 0, B, sampleRate);
  const { buffer } = binary.memory;
  const length = Math.ceil((channels[0].length + LOOK_AHEAD) / B) * B;
  const outputs = channels.map(() => new Float32Array(length));
  let lowest = 1;
  for (let start = 0; start < length; start += B) {
    channels.forEach((channel, o) => {
      const block = new Float32Array(buffer, binary.outputAt(0, o), B);
      block.fill(0);
      block.set(channel.subarray(start, start + B));
      binary.mix(o, binary.outputAt(0, o), 0, 0);
    });
    lowest = Math.min(lowest, binary.finish(1, 0, 1, true));
    outputs.forEach((out, o) => {
      out.set(new Float32Array(buffer, binary.heardAt(o), B), start);
    });
  }
  return { outputs, lowest };
}

test('is as late as is told', () => {
  expect(instantiate().lookAhead()).toBe(LOOK_AHEAD);
});

test('with nothing to limit it is a delay, to the last bit', () => {
  const x = [noise(3000, 1, 0.3), noise(3000, 2, 0.3)];
  const { outputs, lowest } = limit(x);
  x.forEach((channel, o) => {
    expect(largestDifference(channel, outputs[o].subarray(LOOK_AHEAD))).toBe(0);
  });
  expect(lowest).toBe(1);
  const close = sine(6000, 997, 48000, 0.79);
  expect(largestDifference(close, limit([close]).outputs[0].subarray(LOOK_AHEAD))).toBe(0);
});

describe('true peak below −1 dBFS, measured by another interpolator, 16 points a sample', () => {
  test.each([
    ['quarter of the rate, samples 3 dB below the peak', 12000, Math.PI / 4],
    ['just beside the quarter', 12007, 0],
    ['near half the rate', 20000, 0.3],
    ['low', 82.4, 0],
  ])('sine, %s', (_, frequency, phase) => {
    for (const amplitude of [0.95, 1.2, 4, 30]) {
      const { outputs, lowest } = limit([sine(6000, frequency, 48000, amplitude, phase)]);
      expect(truePeak(outputs[0])).toBeLessThan(CEILING);
      expect(lowest).toBeLessThan(1);
    }
  });

  test('white noise, bursts, steps and single clicks of any level', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e9 }),
        fc.double({ min: -6, max: 36, noNaN: true }),
        fc.constantFrom('noise', 'bursts', 'steps', 'clicks'),
        (seed, level, kind) => {
          const x = noise(2500, seed, 10 ** (level / 20));
          const shape = noise(2500, seed + 1);
          if (kind === 'bursts') for (let i = 0; i < x.length; i++) x[i] *= Math.floor(i / 150) % 3 === 0 ? 1 : 0.02;
          if (kind === 'steps') for (let i = 1; i < x.length; i++) x[i] = shape[i] > 0.97 ? x[i] : x[i - 1];
          if (kind === 'clicks') for (let i = 0; i < x.length; i++) x[i] *= shape[i] > 0.99 ? 1 : 0;
          expect(truePeak(limit([x]).outputs[0])).toBeLessThan(CEILING);
        },
      ),
      { numRuns: 40 },
    );
  });

  test('band-limited chords at 44.1 and 96 kHz', () => {
    for (const rate of [44100, 96000]) {
      const x = new Float32Array(8000);
      for (const f of [82.4, 246.9, 659.3, 3000, 4400, 9100]) {
        const part = sine(x.length, f, rate, 0.9, f);
        for (let i = 0; i < x.length; i++) x[i] += part[i];
      }
      expect(truePeak(limit([x], rate).outputs[0])).toBeLessThan(CEILING);
    }
  });
});

test('outputs are linked: both get the gain that the louder one needs', () => {
  const loud = sine(6000, 440, 48000, 2);
  const soft = loud.map(v => v / 8);
  const { outputs } = limit([loud, soft]);
  const scaled = outputs[1].map(v => v * 8);
  expect(largestDifference(outputs[0], scaled)).toBeLessThan(1e-6);
  expect(largest(outputs[1])).toBeLessThan(0.15);
});

test('after a peak it lets go and is exact again', () => {
  const x = sine(96000, 440, 48000, 0.5);
  x[1000] = 5;
  const { outputs } = limit([x]);
  expect(largestDifference(x, outputs[0].subarray(LOOK_AHEAD), 90000, 95000)).toBe(0);
  expect(Math.abs(outputs[0][1000 + LOOK_AHEAD])).toBeLessThan(CEILING);
});
