import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Convolver, sizeOf } from '../../shared/audio/convolver.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { allPartitions, BLOCK, checkPacked, FILE_BLOCK, packKernels } from '../../shared/audio/partition.ts';
import { directConvolution, largest, largestDifference, noise } from './signals.ts';

const B = 128;
/** −120 dB of the peak. */
const CLOSE = 1e-6;
/**
 * Peak of the loudest single string, its tail included. The rounding of a transform goes by this and not only by the peak of
 * what came out: strings that cancel, or an end before the tail, leave next to nothing and yet their own rounding.
 */
const largestPart = (inputs: Float32Array[], kernels: Float32Array[]): number =>
  Math.max(
    ...inputs.map((x, s) => {
      const whole = new Float32Array(x.length + kernels[s].length - 1);
      whole.set(x);
      return largest(directConvolution([whole], [kernels[s]]));
    }),
  );
const render = (inputs: Float32Array[], outputs: Float32Array[][], block = BLOCK): Float32Array[] =>
  renderOffline(inputs, packKernels(outputs, 1, block), { sampleRate: 48000, tail: 0 }) ?? [];

describe.each([16, BLOCK, FILE_BLOCK])('equals the direct sum, blocks of %i samples', block => {
  test.each([1, B - 1, B, B + 1, 2 * B - 1, 2 * B, 2 * B + 1, 3 * B - 1, 2048, 16384])('kernel of %i taps', taps => {
    const x = noise(Math.max(2000, taps + 500), 1);
    const h = noise(taps, 2);
    const [y] = render([x], [[h]], block);
    const wanted = directConvolution([x], [h]);
    expect(largestDifference(y, wanted)).toBeLessThan(CLOSE * largest(wanted));
  });

  test('any number of strings, lengths and outputs', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 700 }), { minLength: 1, maxLength: 12 }),
        fc.integer({ min: 1, max: 2 }),
        fc.integer({ min: 1, max: 1500 }),
        fc.integer({ min: 1, max: 1e9 }),
        (lengths, outputs, length, seed) => {
          const inputs = lengths.map((_, s) => noise(length, seed + s));
          const kernels = Array.from({ length: outputs }, (_, o) =>
            lengths.map((taps, s) => noise(taps, seed + 100 * (o + 1) + s)),
          );
          const rendered = render(inputs, kernels, block);
          rendered.forEach((y, o) => {
            const wanted = directConvolution(inputs, kernels[o]);
            expect(largestDifference(y, wanted)).toBeLessThan(
              CLOSE * Math.max(largest(wanted), largestPart(inputs, kernels[o])),
            );
          });
        },
      ),
      { numRuns: 20, examples: [[[1, 1, 80], 1, 1, 18]] },
    );
  });

  test('strings that fall silent and return, and the tail after the end', () => {
    const x = noise(6 * B * 4, 3);
    x.fill(0, 5 * B + 17, 13 * B + 3);
    const h = noise(3 * B + 5, 4);
    const y = renderOffline([x], packKernels([[h]], 1, block), { sampleRate: 48000 }) ?? [];
    const padded = new Float32Array(x.length + h.length);
    padded.set(x);
    expect(y[0].length).toBe(padded.length);
    const wanted = directConvolution([padded], [h]);
    expect(largestDifference(y[0], wanted)).toBeLessThan(CLOSE * largest(wanted));
    expect(largest(y[0], x.length)).toBeGreaterThan(0.1);
  });

  test('the history reaches back over the longest kernel', () => {
    const taps = 16384;
    const x = new Float32Array(taps + 1000);
    x[3] = 1;
    const h = new Float32Array(taps);
    h[taps - 1] = 0.5;
    const [y] = render([x], [[h]], block);
    expect(y[3 + taps - 1]).toBeCloseTo(0.5, 7);
    expect(largest(y, 0, 3 + taps - 1)).toBeLessThan(1e-7);
    expect(largest(y, 3 + taps)).toBeLessThan(1e-7);
  });
});

test('a block that is not finite does no more harm than silence, and is counted', () => {
  const kernels = packKernels([[Float32Array.of(1, 0.5)]]);
  const convolver = new Convolver(sizeOf(kernels), 48000, new Float32Array(B));
  const input = noise(B, 5);
  const clean = input.slice();
  input[7] = Number.NaN;
  input[9] = Number.POSITIVE_INFINITY;
  input[11] = Number.NEGATIVE_INFINITY;
  for (const i of [7, 9, 11]) clean[i] = 0;
  expect(convolver.push([input], [])).toBe(3);
  convolver.copy(0, kernels, 0, 1);
  convolver.render(0, 1);
  expect(convolver.mix(0, 1, 0, 0)).toBe(0);
  convolver.finish(1, 0, 1, false);
  const wanted = directConvolution([clean], [Float32Array.of(1, 0.5)]);
  expect(largestDifference(convolver.heard[0], wanted)).toBeLessThan(CLOSE * largest(wanted));
});

test('packing names what is wrong', () => {
  expect(() => packKernels([])).toThrow('at least one output');
  expect(() => packKernels([[new Float32Array(1)], []])).toThrow('one kernel for each string');
  expect(() => packKernels([[new Float32Array(1)]], Number.NaN)).toThrow('NaN');
  const packed = packKernels([[new Float32Array(300)]]);
  expect(packed.partitions).toBe(3);
  expect(allPartitions(packed)).toBe(0);
  const noisy = packKernels([[noise(300, 1), noise(100, 2)]]);
  expect(allPartitions(noisy)).toBe(4);
  expect(() => checkPacked(noisy)).not.toThrow();
  expect(() => checkPacked({ ...noisy, data: noisy.data.slice(8) })).toThrow('expected 4096');
  expect(() => checkPacked({ ...noisy, strings: 1 })).toThrow('path 1');
  expect(() => checkPacked({ ...noisy, outputs: 0 })).toThrow('path 0');
});
