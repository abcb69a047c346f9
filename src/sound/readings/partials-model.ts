/** Levels of the partials of one note through every build. Pure. */

import { power, type Spectrum } from '../../../shared/complex.ts';
import { dbOfPower } from '../../../shared/decibels.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { partial, stringModel, waveNumber } from '../../../shared/string/stiff.ts';
import { colourOf } from '../../parts/builds.ts';
import { highest } from '../../parts/curve-levels.ts';
import type { PlotMark, PlotModel, PlotSeries } from '../../parts/plot-model.ts';
import { frequencyText } from '../../parts/plot-ticks.ts';
import { words } from '../../words/readings-words.ts';
import { asLevels, look, referenceOf, type Setting, type Shown, stated } from './plot-setting.ts';

const PARTIALS = 40;

export interface PartialsChoice {
  fret: number;
  /** Pluck point from the saddle, m; null: every partial is struck alike. */
  pluck: number | null;
  span: number;
  dips: ReadonlyMap<Letter, readonly { frequency: number; partial: number }[]>;
  exact: (shown: Shown, frequencies: Float64Array) => Spectrum;
}
/** Frequencies of the partials of a build's string up to 20 kHz, and their levels in dB. */
function partialsOf(one: Shown, { fret, pluck, exact }: PartialsChoice) {
  const model = stringModel(one.build.instrument.strings[one.string]);
  const frequencies = Float64Array.from({ length: PARTIALS }, (_, i) => partial(model, i + 1, fret)).filter(
    f => f <= 20_000,
  );
  const spectrum = exact(one, frequencies);
  const speaking = model.length * 2 ** (-fret / 12);
  const level = frequencies.map((f, i) => {
    const force = pluck === null ? 1 : Math.sin(waveNumber(model, f) * Math.min(pluck, speaking * 0.98)) / (i + 1);
    return dbOfPower(power(spectrum, i) * force * force);
  });
  return { one, frequencies, level };
}

function marksOf({ builds }: Setting, choice: PartialsChoice, count: number): PlotMark[] {
  const marks = builds.flatMap(({ letter }) =>
    (choice.dips.get(letter) ?? [])
      .filter(dip => dip.partial <= count + 0.5)
      .map((dip): PlotMark => {
        const label = `${words.dipMark} ${letter}`;
        return { x: dip.partial, label, colour: colourOf(letter), at: 'top' };
      }),
  );
  return marks.sort((a, b) => a.x - b.x);
}

/**
 * Levels of the partials of one note. With a pluck at d from the saddle a partial's bridge force goes as
 * sin(k_n d)/n (release of a static displacement; N. Fletcher and T. Rossing, The Physics of Musical Instruments, ch. 2).
 */
export function partialsModel(setting: Setting, choice: PartialsChoice): PlotModel {
  const reference = referenceOf(setting);
  const notes = setting.builds.map(one => partialsOf(one, choice));
  const own = notes.find(({ one }) => one === reference) ?? notes[0];
  const shift = highest([own.level], 0);
  const count = Math.max(1, ...notes.map(({ level }) => level.length));
  const numbers = Float64Array.from({ length: count }, (_, i) => i + 1);
  const series = notes.map(
    ({ one, level }): PlotSeries => ({
      ...look(one.letter, one.build),
      shape: 'bars',
      x: numbers.subarray(0, level.length),
      y: level.map(value => value - shift),
      at: n => (level[Math.round(n) - 1] ?? Number.NaN) - shift,
    }),
  );
  const drawn = series.map(one => one.y);
  const named = (n: number) => `${n}, ${frequencyText(own.frequencies[n - 1] ?? Number.NaN)}`;
  return {
    ...asLevels(drawn, choice.span, words.partialsAxis(reference.letter)),
    title: words.titles.partials(setting.stringName, choice.fret, setting.point),
    x: { kind: 'linear', from: 0.4, to: count + 0.6, label: words.partialAxis, unit: '', steps: [1, 2, 5, 10] },
    series,
    marks: marksOf(setting, choice, count),
    bands: [],
    reference: reference.letter,
    xText: n => `${words.partialAxis} ${named(Math.round(n))}`,
    rows: Array.from(numbers, n => ({ x: n, label: named(n) })),
    columns: { x: 'partial', y: 'db' },
    settings: {
      ...stated(setting),
      string: setting.stringName,
      fret: String(choice.fret),
      pluck: words.pluckSetting(choice.pluck),
    },
  };
}
