/**
 * The selected wiring as plain mixing weights: what the coils' open-circuit voltages add up to at one output before any
 * control, cable or input. Equal coils in series add, in parallel they average; a reversed coil counts negative.
 */
import type { Build, Tap } from '../document/build.ts';
import { isUnder } from '../sensor/placement.ts';

/** Name of a coil in the whole build: `pickup.coil`. */
export const coilKey = (pickup: string, coil: string): string => `${pickup}.${coil}`;

/** Coils a tap uses, in wiring order. */
const tapCoils = (build: Pick<Build, 'pickups'>, tap: Tap): string[] =>
  tap.coils ?? build.pickups.find(p => p.id === tap.pickup)?.coils.map(c => c.id) ?? [];

/**
 * Weight of every connected coil (key `pickup.coil`) at output `output` in the selected position, wiring signs included,
 * the coils' own polarity and winding not. Coils that are not connected are absent.
 */
export function mixingWeights(build: Pick<Build, 'pickups' | 'harness' | 'outputs'>, output = 0): Map<string, number> {
  const weights = new Map<string, number>();
  const position = build.harness.positions[build.harness.selected];
  const taps = position?.taps.filter(t => t.output === build.outputs[output]?.id) ?? [];
  const share = position?.join === 'parallel' ? 1 / taps.length : 1;
  for (const tap of taps) {
    const coils = tapCoils(build, tap);
    const part = (tap.join === 'parallel' ? share / coils.length : share) * (tap.reverse ? -1 : 1);
    coils.forEach((coil, i) => {
      const key = coilKey(tap.pickup, coil);
      weights.set(key, (weights.get(key) ?? 0) + part * (tap.antiphase && i % 2 === 1 ? -1 : 1));
    });
  }
  return weights;
}

/**
 * Whether coils of one pickup that lie under the string at `index` work against each other as they are wired: magnet,
 * winding and wiring make their signals of unlike sign.
 */
export function opposed(build: Build, pickup: string, index: number, output = 0): boolean {
  const weights = mixingWeights(build, output);
  const coils = build.pickups.find(p => p.id === pickup)?.coils.filter(coil => isUnder(coil, index)) ?? [];
  const signs = coils.flatMap(coil => {
    const weight = weights.get(coilKey(pickup, coil.id)) ?? 0;
    return weight === 0 ? [] : [Math.sign(weight * coil.polarity * coil.winding)];
  });
  return new Set(signs).size > 1;
}
