/** The take that plays, decoded or rendered: one channel per string, string 1 first. `state/sound.ts` fills it. */
import { signal } from '@preact/signals-core';
import type { Uncoloured } from '../../shared/take/own/prepare.ts';

export interface CurrentTake {
  id: string;
  /** [string], full scale ±1. */
  channels: Float32Array[];
  /** Hz. */
  sampleRate: number;
  /** Own recordings: indices of strings that carry a mixture of strings and go through no comb. */
  uncombed?: readonly number[];
  /** Own recordings: what was undone on each string that has a channel. */
  uncoloured?: readonly Uncoloured[];
  /** [string]: bands [from, to] in Hz of which the recording says too little; absent: it holds everything. */
  weak?: readonly (readonly [number, number])[][];
}

export const currentTake = signal<CurrentTake | null>(null);
