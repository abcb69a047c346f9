/**
 * What a sensor makes of a string: from the string's waves, the sensor's place and window to one complex factor, the
 * sensor's EMF per unit of what it senses, over the force on the bridge.
 *
 * Each kind of sensing is one function here and one kind of source in the network (`circuit/harness.ts`). A coil senses
 * the velocity of the stretch of string over it, j/Z (W sin kx + V cos kx) with window W + jV (`windows.ts`).
 */
import { type Spectrum, spectrum } from '../complex.ts';
import type { ApertureWindow, Pickup } from '../document/build.ts';
import { comb, type StringWaves } from './comb.ts';
import type { CoilOnString } from './placement.ts';
import { windowOver } from './windows.ts';

/** Where on a string a sensor stands and how it sees it: all that its factor depends on beside the string. */
export interface Sensor {
  readonly senses: Pickup['senses'];
  readonly at: Pick<CoilOnString, 'x' | 'field'>;
  /** Null: a point. */
  readonly window: ApertureWindow | null;
}

type Sense = (sensor: Sensor, waves: StringWaves) => Spectrum;

const velocity: Sense = ({ at, window }, { k, mobility }) => {
  const factor = spectrum(k.length);
  const { im } = factor;
  const { x } = at;
  if (!window) {
    for (let i = 0; i < k.length; i++) im[i] = comb(k[i], x) * mobility[i];
    return factor;
  }
  const { even, odd } = windowOver(window, at.field, k);
  for (let i = 0; i < k.length; i++) im[i] = comb(k[i], x) * even[i] * mobility[i];
  if (odd) for (let i = 0; i < k.length; i++) im[i] += Math.cos(k[i] * x) * odd[i] * mobility[i];
  return factor;
};

const SENSES: Record<Pickup['senses'], Sense> = { velocity };

/** The factor of a sensor over a list of frequencies, m/s per N for a sensor of velocity. */
export const sensing: Sense = (sensor, waves) => SENSES[sensor.senses](sensor, waves);

/** The same for a signal in which strings are mixed, without comb and window: `impedance` (N s/m) stands for all of them. */
export const MIXED: Record<Pickup['senses'], (impedance: number) => number> = {
  velocity: impedance => 1 / impedance,
};
