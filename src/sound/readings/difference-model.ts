/** How far every build's response lies over or under the reference's. Pure. */

import { smoothed } from '../../../shared/audio/smoothing.ts';
import { power, type Spectrum } from '../../../shared/complex.ts';
import { dbOfPower } from '../../../shared/decibels.ts';
import { LEVEL_STEP } from '../../../shared/response/noticeable.ts';
import { weakStretches } from '../../parts/curve-levels.ts';
import type { PlotBand, PlotModel } from '../../parts/plot-model.ts';
import { signedNumber } from '../../parts/plot-ticks.ts';
import { words } from '../../words/readings-words.ts';
import { levelAxis, look, overFrequency, referenceOf, type Setting, stated } from './plot-setting.ts';

/** Power of a response, smoothed over 1/n octave; kept as long as the spectrum is. */
const smooth = new WeakMap<Spectrum, { n: number; levels: Float64Array }>();
function smoothedLevels(spectrum: Spectrum, frequencies: Float64Array, n: number): Float64Array {
  const known = smooth.get(spectrum);
  if (known && known.n === n && known.levels.length === frequencies.length) return known.levels;
  const powers = Float64Array.from(frequencies, (_, i) => power(spectrum, i));
  const values = (n === 0 ? powers : smoothed(frequencies, powers, frequencies, n)).map(dbOfPower);
  smooth.set(spectrum, { n, levels: values });
  return values;
}

export function differenceModel(setting: Setting, choice: { smoothing: number; span: number }): PlotModel {
  const { frequencies, point } = setting;
  const { letter, build, spectrum } = referenceOf(setting);
  const base = smoothedLevels(spectrum, frequencies, choice.smoothing);
  const others = setting.builds
    .filter(one => one.letter !== letter)
    .map(one => ({ ...one, level: smoothedLevels(one.spectrum, frequencies, choice.smoothing) }));
  const inaudible: PlotBand = {
    axis: 'y',
    from: -LEVEL_STEP,
    to: LEVEL_STEP,
    label: words.levelBand(LEVEL_STEP.toFixed(1)),
    tone: 'tint',
  };
  const weak = others.length === 1 ? weakStretches(frequencies, base, others[0].level) : [];
  return {
    ...overFrequency(setting),
    title: words.titles.difference(words.at(point, setting.stringName), letter),
    y: levelAxis(-choice.span, choice.span, words.differenceAxis(letter)),
    series: others.map(one => ({
      ...look(one.letter, one.build),
      label: words.table.difference(one.letter, letter),
      x: frequencies,
      y: one.level.map((value, i) => value - base[i]),
    })),
    bands: [
      inaudible,
      ...weak.map((stretch): PlotBand => ({ axis: 'x', ...stretch, label: words.tooWeak, tone: 'hatch' })),
    ],
    reference: null,
    yText: y => `${signedNumber(y, 1, true)} dB`,
    differenceText: null,
    columns: { x: 'frequency_hz', y: 'db' },
    settings: {
      ...stated(setting),
      string: setting.stringName,
      reference: words.series(letter, build.name),
      smoothing: words.smoothing(choice.smoothing),
    },
  };
}
