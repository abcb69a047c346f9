/** In what unit a diameter of a string is written: as the person typed it, whatever the positions are written in. */
import type { StringSpec } from '../document/build.ts';
import { INCH, type UnitSystem } from '../units.ts';

/** Gauges that nobody has typed are written in inches where they are whole half thousandths. */
const STEP = INCH / 2000;

const ofValue = (value: number): UnitSystem => {
  const steps = value / STEP;
  return Math.abs(steps - Math.round(steps)) < 1e-6 * steps ? 'in' : 'mm';
};

/** Unit of the outside diameter. */
export const gaugeUnit = ({ gauge, gaugeIn }: Pick<StringSpec, 'gauge' | 'gaugeIn'>): UnitSystem =>
  gaugeIn ?? ofValue(gauge);

/** Unit of the core's diameter; a core that nobody has typed follows the string. */
export const coreUnit = (string: Pick<StringSpec, 'gauge' | 'gaugeIn' | 'core' | 'coreIn'>): UnitSystem =>
  string.coreIn ?? (string.core !== null && ofValue(string.core) === 'in' ? 'in' : gaugeUnit(string));
