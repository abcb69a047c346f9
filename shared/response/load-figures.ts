/**
 * Key figures of what coils, controls, cable and input do together (`circuit/resonance.ts`), kept by electrical content so
 * that moving a pickup solves nothing again. Pure.
 */

import { figures } from '../circuit/resonance.ts';
import type { Build } from '../document/build.ts';

export interface LoadFigures {
  /** Frequency of the highest point, Hz; null: nothing stands out over the low frequencies. */
  resonance: number | null;
  /** Height of that point over the level at low frequencies, dB; 0 without one. */
  height: number;
  /** Where the level has fallen 3 dB below that at low frequencies for good, Hz; null: beyond the range. */
  corner: number | null;
  /** Level at low frequencies, dB re the EMFs' own. */
  level: number;
}

const KEPT = 32;
const kept = new Map<string, LoadFigures | null>();
const perBuild = new WeakMap<Build, LoadFigures | null>();

const keyOf = ({ pickups, harness, outputs }: Build): string =>
  JSON.stringify([
    pickups.map(p => [p.id, p.coils.map(c => [c.id, c.resistance, c.inductance, c.capacitance, c.loss, c.cover])]),
    harness,
    outputs,
  ]);

/** Least height that counts as a resonance for people, dB. */
const LEAST = 0.02;

/** Figures at the end of the chain of the first output; null: nothing is heard there. Throws as the network does. */
export function loadFigures(build: Build): LoadFigures | null {
  const known = perBuild.get(build);
  if (known !== undefined) return known;
  const key = keyOf(build);
  let found = kept.get(key);
  if (found === undefined) {
    const { peakHz, peakDb, minus3dBHz, dcDb } = figures(build, 5);
    const stands = peakHz !== null && peakDb >= LEAST;
    found =
      dcDb === -Infinity
        ? null
        : { resonance: stands ? peakHz : null, height: stands ? peakDb : 0, corner: minus3dBHz, level: dcDb };
    kept.set(key, found);
    if (kept.size > KEPT) kept.delete(kept.keys().next().value!);
  }
  perBuild.set(build, found);
  return found;
}
