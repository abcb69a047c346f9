/** Long-term spectrum of the take through every build, and of what is heard now. Pure. */

import { smoothed } from '../../../shared/audio/smoothing.ts';
import type { PowerSpectrum } from '../../../shared/audio/spectrum.ts';
import { power, type Spectrum } from '../../../shared/complex.ts';
import { dbOfPower } from '../../../shared/decibels.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { colourOf } from '../../parts/builds.ts';
import { highest } from '../../parts/curve-levels.ts';
import type { PlotModel, PlotSeries } from '../../parts/plot-model.ts';
import { words } from '../../words/readings-words.ts';
import { asLevels, look, overFrequency, referenceOf, type Setting, stated } from './plot-setting.ts';

const stringsOnGrid = new WeakMap<Float64Array, WeakMap<PowerSpectrum, Float64Array>>();

/** Density of a take whose strings move independently: Σ over strings of P_i |H_i|² on `frequencies`. */
export function estimatedDensity(
  strings: readonly PowerSpectrum[],
  responses: readonly Spectrum[],
  frequencies: Float64Array,
): Float64Array {
  const sum = new Float64Array(frequencies.length);
  let known = stringsOnGrid.get(frequencies);
  if (!known) stringsOnGrid.set(frequencies, (known = new WeakMap()));
  for (const [s, response] of responses.entries()) {
    const string = strings[s];
    if (!string) break;
    let density = known.get(string);
    if (!density) known.set(string, (density = smoothed(string.frequencies, string.power, frequencies, 0)));
    for (let i = 0; i < sum.length; i++) sum[i] += density[i] * power(response, i);
  }
  return sum;
}
/** Levels of a density at one shift, kept: while the live curve moves, the others stay the same arrays. */
const leveled = new WeakMap<Float64Array, { shift: number; y: Float64Array }>();
function densityLevels(density: Float64Array, shift: number): Float64Array {
  const known = leveled.get(density);
  if (known?.shift === shift) return known.y;
  const y = density.map(value => dbOfPower(value) - shift);
  leveled.set(density, { shift, y });
  return y;
}

/** A build's power density on the setting's frequencies, and of what is heard now. */
export interface SpectrumChoice {
  density: ReadonlyMap<Letter, Float64Array>;
  live: { letter: Letter; density: Float64Array } | null;
  smoothing: number;
  span: number;
  take: string;
  /** How the densities were had. */
  how: string;
}
/** Highest level of a density, dB. */
const peakOf = (density: Float64Array): number => dbOfPower(highest([density], 1));

/** The meter's level is not the render's: the live curve is set to the height of its own build. */
function liveSeries({ frequencies }: Setting, choice: SpectrumChoice, shift: number): PlotSeries[] {
  if (!choice.live) return [];
  const { letter, density } = choice.live;
  const own = choice.density.get(letter);
  const lift = (own ? peakOf(own) - shift : 0) - peakOf(density);
  return [
    {
      key: 'live',
      label: words.liveName,
      name: words.liveName,
      colour: colourOf(letter),
      dash: '',
      quiet: true,
      x: frequencies,
      y: density.map(value => dbOfPower(value) + lift),
    },
  ];
}

export function spectrumModel(setting: Setting, choice: SpectrumChoice): PlotModel {
  const { frequencies } = setting;
  const reference = referenceOf(setting).letter;
  const own = choice.density.get(reference);
  const shift = own ? peakOf(own) : 0;
  const series = setting.builds.flatMap(({ letter, build }): PlotSeries[] => {
    const density = choice.density.get(letter);
    return density ? [{ ...look(letter, build), x: frequencies, y: densityLevels(density, shift) }] : [];
  });
  const drawn = series.map(one => one.y);
  return {
    ...overFrequency(setting),
    ...asLevels(drawn, choice.span, words.spectrumAxis(reference)),
    title: words.titles.spectrum(words.atTake(setting.point)),
    series: [...liveSeries(setting, choice, shift), ...series],
    reference,
    columns: { x: 'frequency_hz', y: 'db' },
    settings: {
      ...stated(setting),
      take: choice.take,
      smoothing: words.smoothing(choice.smoothing),
      method: choice.how,
    },
  };
}
