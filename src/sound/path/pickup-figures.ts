/** What a pickup is to each string, as the station's table writes it. Pure. */
import { dbOfAmplitude } from '../../../shared/decibels.ts';
import type { Build, Pickup } from '../../../shared/document/build.ts';
import { coilOnString } from '../../../shared/sensor/placement.ts';
import { formatQuantity, type UnitSystem } from '../../../shared/units.ts';
import { decibelText, modelledText } from '../../parts/figure-text.ts';
import { words } from '../../words/path-words.ts';

/** Least miss that has a side, m. */
const LEAST_MISS = 5e-6;

/**
 * For every string its coils' distances from the saddle, how far it runs beside its pole, and the level of its best coil
 * against that of the pickup's best string; null: no coil is under it.
 */
export function pickupRows(
  build: Build,
  pickup: Pickup,
  units: UnitSystem,
): ([distances: string, miss: string, level: string] | null)[] {
  const all = build.instrument.strings.map((_, i) =>
    pickup.coils.map(coil => coilOnString(build, pickup, coil, i)).filter(one => one.level > 0),
  );
  const loudest = Math.max(...all.flat().map(one => one.level));
  return all.map(coils => {
    if (coils.length === 0) return null;
    const level = Math.max(...coils.map(one => one.level));
    const miss = coils[0].offset;
    const side = Math.abs(miss) < LEAST_MISS ? '' : miss > 0 ? words.missSide.treble : words.missSide.bass;
    return [
      coils.map(one => formatQuantity(one.x, 'length', units)).join(' / '),
      `${formatQuantity(Math.abs(miss), 'length', units)} ${side}`,
      modelledText(decibelText(dbOfAmplitude(level / loudest))),
    ];
  });
}
