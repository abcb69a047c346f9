/** Impedances of the builds on the plot grid, kept as long as a build is the same object. */

import { outputImpedance, pickupImpedance } from '../../../shared/circuit/harness.ts';
import type { Spectrum } from '../../../shared/complex.ts';
import type { Build } from '../../../shared/document/build.ts';

const kept = new WeakMap<Build, Map<string, Spectrum | null>>();

/** Seen into the jack (`pickup` null) or into one pickup by itself; null: this build has no such pickup or no signal there. */
export function impedanceOf(build: Build, pickup: string | null, frequencies: Float64Array): Spectrum | null {
  let known = kept.get(build);
  if (!known) kept.set(build, (known = new Map()));
  const key = pickup ?? '';
  let found = known.get(key);
  if (found === undefined) {
    if (pickup === null) found = outputImpedance(build, 0, frequencies);
    else found = build.pickups.some(one => one.id === pickup) ? pickupImpedance(build, pickup, frequencies) : null;
    known.set(key, found);
  }
  return found;
}
