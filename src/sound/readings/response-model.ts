/** The response of every build on one string, and of the other strings behind it. Pure. */

import { power, type Spectrum } from '../../../shared/complex.ts';
import { dbOfPower } from '../../../shared/decibels.ts';
import { isBehindNetwork } from '../../../shared/document/build.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { colourOf } from '../../parts/builds.ts';
import { type Levels, levelsOf, referenceLevel } from '../../parts/curve-levels.ts';
import type { PlotMark, PlotModel, PlotSeries } from '../../parts/plot-model.ts';
import { words } from '../../words/readings-words.ts';
import { asLevels, look, overFrequency, referenceOf, type Setting, type Shown, stated } from './plot-setting.ts';

type Lowered = Pick<PlotSeries, 'x' | 'y' | 'drawn' | 'moved'>;
/** Curves of one spectrum are kept: an edit of one build leaves the other builds' arrays, and their paths, as they are. */
const kept = new WeakMap<Spectrum, { levels: Levels; shift: number; lowered: Lowered }>();
function levels(spectrum: Spectrum, frequencies: Float64Array, shift: number): Lowered {
  const known = kept.get(spectrum);
  const same = known?.levels.x === frequencies;
  if (same && known.shift === shift) return known.lowered;
  const whole = same ? known.levels : levelsOf(spectrum, frequencies);
  const lower = (y: Float64Array) => y.map(level => level - shift);
  const { x, y, drawn } = whole;
  const lowered = { x, y: lower(y), drawn: { x: drawn.x, y: lower(drawn.y) }, moved: { y: drawn.y, down: shift } };
  kept.set(spectrum, { levels: whole, shift, lowered });
  return lowered;
}

export interface ResponseChoice {
  absolute: boolean;
  /** dB. */
  span: number;
  /** Marks at the foot of the plot: dips of each build. */
  dips: ReadonlyMap<Letter, readonly { frequency: number }[]>;
  resonances: ReadonlyMap<Letter, number>;
  /** The other strings, as context; empty: only the selected one. */
  others: readonly (Shown & { name: string })[];
  /** Exact value of one build's response at any frequency. */
  exact: (shown: Shown, frequency: number) => Spectrum;
}
/** Dips stand at the foot of the plot, resonances at its top once there is a circuit. */
function marksOf({ builds, point }: Setting, choice: ResponseChoice): PlotMark[] {
  const marks = builds.flatMap(({ letter }): PlotMark[] => {
    const colour = colourOf(letter);
    const dips = choice.dips.get(letter) ?? [];
    const resonance = isBehindNetwork(point) ? choice.resonances.get(letter) : undefined;
    return [
      ...dips.map(dip => ({ x: dip.frequency, label: '', colour, at: 'bottom' as const })),
      ...(resonance === undefined ? [] : [{ x: resonance, label: letter, colour, at: 'top' as const }]),
    ];
  });
  return marks.sort((a, b) => a.x - b.x);
}

export function responseModel(setting: Setting, choice: ResponseChoice): PlotModel {
  const { frequencies, builds, point } = setting;
  const reference = referenceOf(setting);
  const shift = choice.absolute ? 0 : referenceLevel(reference.spectrum, frequencies);
  const series: PlotSeries[] = [
    ...choice.others.map(one => ({
      ...look(one.letter, one.build),
      key: `${one.letter}/${one.string}`,
      label: one.name,
      quiet: true,
      ...levels(one.spectrum, frequencies, shift),
    })),
    ...builds.map(one => ({
      ...look(one.letter, one.build),
      ...levels(one.spectrum, frequencies, shift),
      at: (frequency: number) => dbOfPower(power(choice.exact(one, frequency), 0)) - shift,
    })),
  ];
  const scale = choice.absolute ? words.absoluteAxis(words.absoluteUnits[point]) : words.relativeAxis(reference.letter);
  const place = choice.others.length ? words.atAllStrings(point) : words.at(point, setting.stringName);
  const drawn = series.map(one => one.y);
  return {
    ...overFrequency(setting),
    ...asLevels(drawn, choice.span, scale),
    title: words.titles.response(place),
    series,
    marks: marksOf(setting, choice),
    reference: reference.letter,
    columns: { x: 'frequency_hz', y: 'db' },
    settings: { ...stated(setting), string: setting.stringName, scale },
  };
}
