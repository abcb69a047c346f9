/** What every reading begins with and has in common: the builds that are shown, their looks, axes and tables. Pure. */

import type { Spectrum } from '../../../shared/complex.ts';
import type { Build, TestPoint } from '../../../shared/document/build.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { colourOf, DASH } from '../../parts/builds.ts';
import { axisTop, highest } from '../../parts/curve-levels.ts';
import type { PlotModel } from '../../parts/plot-model.ts';
import { axisNumber, frequencyText, LEVEL_STEPS, signedNumber, thirdOctaves } from '../../parts/plot-ticks.ts';
import { words } from '../../words/readings-words.ts';

/** One build as every reading needs it. */
export interface Shown {
  letter: Letter;
  build: Build;
  /** Index of the string in this build. */
  string: number;
  spectrum: Spectrum;
}

/** What all readings share. */
export interface Setting {
  frequencies: Float64Array;
  builds: readonly Shown[];
  reference: Letter;
  point: TestPoint;
  /** Name of the selected string. */
  stringName: string;
  x: readonly [number, number];
}

export const look = (letter: Letter, build: Build) => ({
  key: letter,
  label: letter,
  name: words.series(letter, build.name),
  colour: colourOf(letter),
  dash: DASH[letter],
});

/** Build that the others are compared with; the first where that one is not shown. */
export const referenceOf = ({ builds, reference }: Setting): Shown =>
  builds.find(one => one.letter === reference) ?? builds[0];

/** Settings of a plot that every exported file states. */
export const stated = (setting: Setting): Record<string, string> => ({
  'test point': words.places[setting.point],
  builds: setting.builds.map(one => words.series(one.letter, one.build.name)).join('; '),
});

/** A plot over frequency without marks and bands. */
export const overFrequency = ({ x }: Setting) =>
  ({
    x: { kind: 'log', from: x[0], to: x[1], label: words.frequencyAxis, unit: 'Hz' },
    xText: frequencyText,
    rows: thirdOctaves(...x)
      .filter(band => band.exact >= x[0] && band.exact <= x[1])
      .map(band => ({ x: band.exact, label: axisNumber(band.nominal) })),
    marks: [],
    bands: [],
  }) satisfies Partial<PlotModel>;

/** An axis of levels, dB. */
export const levelAxis = (from: number, to: number, label: string) =>
  ({ kind: 'linear', from, to, label, unit: 'dB', steps: LEVEL_STEPS }) satisfies PlotModel['y'];

/** Levels from a little over the highest of `curves` to `span` dB under it. */
export function asLevels(curves: readonly Float64Array[], span: number, label: string) {
  const top = axisTop(highest(curves, 0));
  return {
    y: levelAxis(top - span, top, label),
    yText: (y: number) => `${signedNumber(y)} dB`,
    differenceText: (y: number, from: number) => signedNumber(y - from, 1, true),
  } satisfies Partial<PlotModel>;
}
