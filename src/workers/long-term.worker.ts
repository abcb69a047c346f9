/** Renders the take through one build after the other, away from the page, and measures what comes out. */

import { renderOffline } from '../../shared/audio/offline.ts';
import { packKernels } from '../../shared/audio/partition.ts';
import { type PowerSpectrum, powerDensity } from '../../shared/audio/spectrum.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { kernels } from '../../shared/response/kernel.ts';

export type Order =
  | { kind: 'take'; take: number; channels: Float32Array[]; sampleRate: number; uncombed: readonly number[] }
  | { kind: 'render'; take: number; job: number; build: Build; point: TestPoint };
export type Answer =
  | { kind: 'strings'; take: number; densities: PowerSpectrum[] }
  | { kind: 'rendered'; take: number; job: number; density: PowerSpectrum }
  | { kind: 'failed'; take: number; job: number; message: string };

let take: Extract<Order, { kind: 'take' }> | null = null;
const answer = (message: Answer) => postMessage(message);

addEventListener('message', (event: MessageEvent<Order>) => {
  const order = event.data;
  try {
    if (order.kind === 'take') {
      take = order;
      const densities = order.channels.map(channel => powerDensity(channel, order.sampleRate));
      answer({ kind: 'strings', take: order.take, densities });
    } else if (take && order.take === take.take) {
      const { channels, sampleRate, uncombed } = take;
      const set = kernels(order.build, order.point, sampleRate, uncombed);
      const rendered = renderOffline(channels, packKernels(set.outputs), { sampleRate });
      const density = powerDensity(rendered?.[0] ?? new Float32Array(1), sampleRate);
      answer({ kind: 'rendered', take: order.take, job: order.job, density });
    }
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    answer({ kind: 'failed', take: order.take, job: order.kind === 'render' ? order.job : -1, message });
  }
});
