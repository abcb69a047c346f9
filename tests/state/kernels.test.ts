/** Kernels that are remembered are those that would be made anew. */
import { expect, test } from 'vitest';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { kernels } from '../../shared/response/kernel.ts';
import { kernelsOf } from '../../src/state/kernels.ts';
import { largestDifference } from '../audio/signals.ts';

const [build] = demoBuilds();

test('the same question has the same answer, another point, rate or mixture another one', () => {
  const questions = [
    [5, 48000, []],
    [5, 48000, [0]],
    [5, 48000, [0, 2]],
    [4, 48000, [0, 2]],
    [4, 44100, [0, 2]],
    [4, 44100, []],
  ] as const;
  for (const [point, rate, mixtures] of questions) {
    const set = kernelsOf(build, point, rate, mixtures);
    const anew = kernels(build, point, rate, mixtures);
    expect(set.delays).toEqual(anew.delays);
    for (const [o, output] of anew.outputs.entries())
      for (const [s, kernel] of output.entries()) expect(largestDifference(set.outputs[o][s], kernel)).toBe(0);
    expect(kernelsOf(build, point, rate, mixtures)).toBe(set);
  }
});
