/** Lengths as the plan writes them: one decimal of a millimetre, a thousandth of an inch. */
import { INCH, quantityParts, type UnitSystem } from '../../../shared/units.ts';

/** Number of a dimension line, without its unit: `162.0`, `6.378`. */
export function dimensionNumber(value: number, units: UnitSystem): string {
  const [size, places] = units === 'mm' ? [1e-3, 1] : [INCH, 3];
  const { number } = quantityParts(Number((value / size).toFixed(places)) * size, 'length', units);
  const [whole, part = ''] = number.split('.');
  return `${whole}.${part.slice(0, places).padEnd(places, '0')}`;
}

/** With its unit, as it is read out: `162.0 mm`. */
export const dimension = (value: number, units: UnitSystem): string => `${dimensionNumber(value, units)} ${units}`;

/** What an arrow key moves, m: 1 mm, or 1/32 in; with Shift a fine step. */
export const arrowStep = (units: UnitSystem, fine: boolean): number =>
  units === 'mm' ? (fine ? 1e-4 : 1e-3) : INCH * (fine ? 0.005 : 1 / 32);

/** What a drag stops at, m: every 0.5 mm, or 1/64 in; with Shift at the fine step of the arrow keys. */
export const dragStep = (units: UnitSystem, fine: boolean): number =>
  fine ? arrowStep(units, true) : units === 'mm' ? 5e-4 : INCH / 64;

/** The multiple of `step` that is nearest to `value`. */
export const snapped = (value: number, step: number): number =>
  Number((Math.round(value / step) * step).toPrecision(12));
