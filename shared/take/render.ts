/** From a take of the list to the force of every string on the bridge. */

import type { Instrument } from '../document/build.ts';
import { toEnd } from '../steps.ts';
import { type Manifest, misfit, recordingOf, type Take } from './manifest.ts';
import { modelledSteps } from './modelled.ts';
import { type Decoded, recordedSteps } from './recorded.ts';
import { scoreDuration } from './score.ts';
import { scoreFor } from './scores.ts';

export type { Decoded } from './recorded.ts';

export interface RenderOptions {
  manifest: Manifest;
  /** The strings that sound (modelled) or that the channels are laid on (recorded). */
  instrument: Instrument;
  /** Hz. */
  sampleRate: number;
  /** Pluck point of modelled takes, m from the saddle; null or absent: as the score says. Recorded takes keep theirs. */
  pluck?: number | null;
  /** Decoded recordings by file name; needed by recorded takes. */
  recordings?: ReadonlyMap<string, Decoded>;
}

export interface RenderedTake {
  id: string;
  /** Bridge force of each string of the instrument, N. */
  channels: Float32Array[];
  sampleRate: number;
  /** s. */
  duration: number;
  /** Largest force of the strings together, N. */
  peak: number;
  /** Whether the force is exact for the model or an estimate from a recording. */
  level: 'exact' | 'estimated';
}

/** Greatest magnitude of the channels' sum. */
const peakOfSum = (channels: readonly Float32Array[]): number => {
  let peak = 0;
  const [first] = channels;
  for (let i = 0; i < (first?.length ?? 0); i++) {
    let sum = 0;
    for (const channel of channels) sum += channel[i];
    if (Math.abs(sum) > peak) peak = Math.abs(sum);
  }
  return peak;
};

/**
 * Renders in steps, yielding the share done (0 to 1) after each note.
 * @throws RangeError where `misfit` says that the take cannot be played on the instrument
 */
export function* renderTakeSteps(take: Take, options: RenderOptions): Generator<number, RenderedTake> {
  const { manifest, instrument, sampleRate, pluck, recordings } = options;
  if (misfit(manifest, take, instrument)) throw new RangeError(`“${take.id}” does not fit this instrument`);
  const score = scoreFor(take.id, instrument);
  if (!score) throw new RangeError(`there is no score “${take.id}”`);
  const recording = recordingOf(manifest, take);
  const { channels } = recording
    ? yield* recordedSteps(score, recording, recordings ?? new Map(), instrument, sampleRate)
    : yield* modelledSteps(score, instrument, sampleRate, pluck ?? undefined);
  return {
    id: take.id,
    channels,
    sampleRate,
    duration: scoreDuration(score),
    peak: peakOfSum(channels),
    level: recording ? 'estimated' : 'exact',
  };
}

/** `renderTakeSteps` in one go. */
export const renderTake = (take: Take, options: RenderOptions): RenderedTake => toEnd(renderTakeSteps(take, options));
