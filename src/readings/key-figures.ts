/** Key figures of a build on one string: resonance, nulls, level. Pure. */
import type { Build, TestPoint } from '../../shared/build/build.ts';
import { power, type Spectrum } from '../../shared/complex.ts';
import { stringModel, waveNumber } from '../../shared/string/stiff.ts';
import { loadFigures } from '../path/load-figures.ts';
import { decibels } from './levels.ts';

export interface StringNull {
  /** Hz. */
  frequency: number;
  /** Real partial number it falls on at the fret. */
  partial: number;
}

export interface KeyFigures {
  /** Of coils, controls and load without the string, Hz; null: nothing stands out. */
  resonance: number | null;
  /** Over the level at low frequencies, dB. */
  height: number;
  /** −3 dB point, Hz; null: beyond the range. */
  corner: number | null;
  nulls: StringNull[];
  /** Mean level of the string's response from 80 Hz to 5 kHz at the test point, dB re 1 unit; null: no signal. */
  level: number | null;
  /** Something is connected in the selected position. */
  wired: boolean;
}

/** Nulls are listed up to here, Hz. */
export const NULL_LIMIT = 5000;

/**
 * Frequencies between `frequencies[0]` and `limit` at which the string's response after the aperture vanishes. That
 * response is purely imaginary, so its nulls, of position, coil spacing and windows alike, are its changes of sign.
 */
export function responseNulls(afterAperture: Spectrum, frequencies: Float64Array, limit: number): number[] {
  const { im } = afterAperture;
  const nulls: number[] = [];
  for (let i = 1; i < frequencies.length && frequencies[i - 1] <= limit; i++) {
    if (im[i] === 0 && im[i - 1] !== 0) nulls.push(frequencies[i]);
    else if (im[i - 1] * im[i] < 0)
      nulls.push(frequencies[i - 1] + (im[i - 1] / (im[i - 1] - im[i])) * (frequencies[i] - frequencies[i - 1]));
  }
  return nulls.filter(frequency => frequency <= limit);
}

/** Mean level from `low` to `high` Hz of a response on a logarithmic grid, dB; null: there is none. */
export function meanLevel(spectrum: Spectrum, frequencies: Float64Array, low = 80, high = 5000): number | null {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < frequencies.length; i++)
    if (frequencies[i] >= low && frequencies[i] <= high) {
      sum += power(spectrum, i);
      count++;
    }
  return sum > 0 ? decibels(sum / count) : null;
}

/**
 * @param at response of a build and string at a test point on `frequencies`
 * @param string index of the string
 */
export function keyFigures(
  build: Build,
  string: number,
  point: TestPoint,
  fret: number,
  frequencies: Float64Array,
  at: (build: Build, string: number, point: TestPoint) => Spectrum,
): KeyFigures {
  const load = loadFigures(build, point === 4 ? 4 : 5);
  const model = stringModel(build.instrument.strings[string]);
  const speaking = model.length * 2 ** (-fret / 12);
  const nulls = responseNulls(at(build, string, 3), frequencies, NULL_LIMIT).map(frequency => ({
    frequency,
    partial: (waveNumber(model, frequency) * speaking) / Math.PI,
  }));
  return {
    resonance: load?.resonance ?? null,
    height: load?.height ?? 0,
    corner: load?.corner ?? null,
    nulls,
    level: meanLevel(at(build, string, point), frequencies),
    wired: load !== null,
  };
}
