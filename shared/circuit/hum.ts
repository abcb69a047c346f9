/**
 * Hum of a uniform alternating field, which induces in every coil an EMF that goes with its turns and its winding
 * direction and knows nothing of its magnet. Coils wound the other way round cancel it: what stays is |N₁ − N₂|.
 * Fields that are not uniform, and electric fields, do not cancel like this.
 */

import { type Spectrum, spectrum } from '../complex.ts';
import type { Build, Coil, NetworkPoint } from '../document/build.ts';
import { harnessGains } from './harness.ts';
import type { Wired } from './solder-places.ts';

/** Turns per ohm of a common coil (8000 turns of 0.063 mm wire, 6.1 kΩ): resistance goes with length, so with turns. */
const TURNS_PER_OHM = 8000 / 6121.5;

/** Turns of a coil: as stated, or from its wire's resistance. */
export const turnsOf = (coil: Coil): number => coil.turns ?? coil.resistance * TURNS_PER_OHM;

/** Mean turns of all coils of a build: what hum is stated against. */
export function meanTurns(wired: Pick<Build, 'pickups'>): number {
  const all = wired.pickups.flatMap(p => p.coils.map(turnsOf));
  return all.reduce((a, b) => a + b, 0) / all.length;
}

/**
 * Gain per output from a field that would induce 1 V in a coil of the build's mean turns to the output voltage. 0 dB
 * is thus the hum of one middling coil alone, without load.
 */
export function humGains(wired: Wired, point: NetworkPoint, frequencies: Float64Array): Spectrum[] {
  const mean = meanTurns(wired);
  return harnessGains(wired, point, frequencies).map(gains => {
    const sum = spectrum(frequencies.length);
    for (const pickup of wired.pickups)
      for (const coil of pickup.coils) {
        const gain = gains.get(`${pickup.id}.${coil.id}`);
        if (!gain) continue;
        const weight = (coil.winding * turnsOf(coil)) / mean;
        for (let i = 0; i < frequencies.length; i++) {
          sum.re[i] += weight * gain.re[i];
          sum.im[i] += weight * gain.im[i];
        }
      }
    return sum;
  });
}
