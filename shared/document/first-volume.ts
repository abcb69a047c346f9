/** The volume and the tone control that stand for all of a build's where one value is said or taken over: the first. */
import type { Control, Tone, Volume } from './build.ts';

export const firstVolume = (controls: readonly Control[]): Volume | null =>
  controls.find(c => c.volume)?.volume ?? null;
export const firstTone = (controls: readonly Control[]): Tone | null => controls.find(c => c.tone)?.tone ?? null;
