/** Kernels of builds, remembered for as long as the build is the same object: sound and loudness ask for the same ones. */
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { type KernelSet, kernels } from '../../shared/response/kernel.ts';

const known = new WeakMap<Build, { point: TestPoint; rate: number; mixtures: string; set: KernelSet }>();

/**
 * Kernels of a build at a test point for a sample rate in Hz; the newest of each build are kept.
 * @param uncombed indices of strings that carry a mixture in the take to be heard
 */
export function kernelsOf(
  build: Build,
  point: TestPoint,
  sampleRate: number,
  uncombed: readonly number[] = [],
): KernelSet {
  const mixtures = uncombed.join();
  const kept = known.get(build);
  if (kept?.point === point && kept.rate === sampleRate && kept.mixtures === mixtures) return kept.set;
  const set = kernels(build, point, sampleRate, uncombed);
  known.set(build, { point, rate: sampleRate, mixtures, set });
  return set;
}
