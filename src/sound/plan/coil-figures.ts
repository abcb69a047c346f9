/** What one coil is to one string, as the plan's table writes it. Pure. */
import { dbOfAmplitude } from '../../../shared/decibels.ts';
import type { Build, Coil, Pickup } from '../../../shared/document/build.ts';
import { coilOnString, isUnder } from '../../../shared/sensor/placement.ts';
import { describeString } from '../../../shared/string/describe.ts';
import { frequencyOf } from '../../../shared/string/stiff.ts';
import { formatQuantity, quantityParts, type UnitSystem } from '../../../shared/units.ts';
import { frequencyText, modelledIf } from '../../parts/figure-text.ts';
import { words } from '../../words/plan-words.ts';
import { dimensionNumber } from './plan-figures.ts';

/** What running beside the pole does to the level, loss or gain; none does nothing in any model. */
function besideText(factor: number): string {
  const dB = Number(dbOfAmplitude(factor).toFixed(2));
  return modelledIf(dB !== 0, formatQuantity(dB, 'level'));
}

/** Distance from the string's saddle, first node, miss with what it costs; null: the coil is not under the string. */
export function coilCells(
  build: Build,
  pickup: Pickup,
  coil: Coil,
  index: number,
  units: UnitSystem,
): [distance: string, node: string, beside: string] | null {
  if (!isUnder(coil, index)) return null;
  const { x, offset, alignment } = coilOnString(build, pickup, coil, index);
  const string = describeString(build.instrument.strings[index]);
  const beside = quantityParts(Number((offset * 1e3).toFixed(2)) / 1e3, 'smallLength', units).number;
  return [
    dimensionNumber(x, units),
    frequencyText(frequencyOf(string, Math.PI / x)),
    pickup.poles.kind === 'rail' ? words.data.rail : `${beside} (${besideText(alignment)})`,
  ];
}
