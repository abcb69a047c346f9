/** How loud a take is through a kernel set: rendered whole, then measured (ITU-R BS.1770 integrated loudness, true peak). */
import { integratedLoudness } from './loudness.ts';
import { renderOffline } from './offline.ts';
import type { PackedKernels } from './partition.ts';
import { truePeak } from './true-peak.ts';

export interface Loudness {
  /** LUFS, −Infinity for silence. */
  integrated: number;
  /** Linear, 1 is full scale. */
  truePeak: number;
}

/** Measures `channels[string]` at `sampleRate` Hz through kernels made for that rate, at the kernels' own gain. */
export function measureLoudness(
  channels: readonly Float32Array[],
  kernels: PackedKernels,
  sampleRate: number,
): Loudness {
  const rendered = renderOffline(channels, kernels, { sampleRate }) ?? [];
  // One output is heard from both loudspeakers, and so it is measured.
  const heard = rendered.length === 1 ? [rendered[0], rendered[0]] : rendered;
  return { integrated: integratedLoudness(heard, sampleRate), truePeak: truePeak(rendered, sampleRate) };
}
