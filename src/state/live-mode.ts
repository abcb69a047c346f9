/** What is heard at this moment, for readings that move: the sound that plays plugs its analyser in here. */
import { signal } from '@preact/signals-core';

export interface LiveTap {
  /** Hz. */
  sampleRate: number;
  /** The newest samples, at least 2048 of them; null: nothing plays. */
  read: () => Float32Array | null;
}

/** Filled while there is an audio host, null otherwise. */
export const liveTap = signal<LiveTap | null>(null);

/** The newest samples of what is heard; null: nothing plays. */
export const liveSamples = (): Float32Array | null => liveTap.peek()?.read() ?? null;
