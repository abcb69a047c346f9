/** Kernels of builds, remembered for as long as the build is the same object: sound and loudness ask for the same ones. */
import type { Build, TestPoint } from '../../shared/build/build.ts';
import { type KernelSet, kernels } from '../../shared/response/kernel.ts';

const known = new WeakMap<Build, { point: TestPoint; rate: number; set: KernelSet }>();

/** Kernels of a build at a test point for a sample rate in Hz; the newest point and rate of each build are kept. */
export function kernelsOf(build: Build, point: TestPoint, sampleRate: number): KernelSet {
  const kept = known.get(build);
  if (kept?.point === point && kept.rate === sampleRate) return kept.set;
  const set = kernels(build, point, sampleRate);
  known.set(build, { point, rate: sampleRate, set });
  return set;
}
