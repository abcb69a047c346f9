/** The take that plays, decoded or rendered: one channel per string, string 1 first. The audition fills it. */
import { signal } from '@preact/signals-core';

export interface CurrentTake {
  id: string;
  /** [string], full scale ±1. */
  channels: Float32Array[];
  /** Hz. */
  sampleRate: number;
}

export const currentTake = signal<CurrentTake | null>(null);
