/** From the sheet's signals to the plot of the reading that is looked at. */
import { smoothed } from '../../../shared/audio/smoothing.ts';
import type { PowerSpectrum } from '../../../shared/audio/spectrum.ts';
import { type Build, isBehindNetwork, POINT } from '../../../shared/document/build.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { type BuildFigures, buildFigures, knownFigures } from '../../../shared/response/figures.ts';
import { loadFigures } from '../../../shared/response/load-figures.ts';
import { figureValue } from '../../../shared/response/quantities.ts';
import { mixedResponse, response } from '../../../shared/response/response.ts';
import { usualPluck } from '../../../shared/take/modelled.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { departsText } from '../../parts/figure-text.ts';
import type { PlotModel } from '../../parts/plot-model.ts';
import { measured, measureProblem, stringDensities } from '../../state/measured.ts';
import { curves, everyCurve, heard, PLOT_GRID, plotted, slots, store, stringIndex, view } from '../../state/page.ts';
import { soundDeparts } from '../../state/sound.ts';
import { type CurrentTake, currentTake } from '../../state/take.ts';
import { words } from '../../words/readings-words.ts';
import {
  absolute,
  differenceSpan,
  impedanceAt,
  impedancePhase,
  liveWanted,
  span,
  withPluck,
  X_RANGES,
  xRange,
} from './choices.ts';
import { differenceModel } from './difference-model.ts';
import { impedanceModel } from './impedance-model.ts';
import { impedanceOf } from './impedances.ts';
import type { Live } from './live-spectrum.ts';
import { partialsModel } from './partials-model.ts';
import type { Setting, Shown } from './plot-setting.ts';
import { responseModel } from './response-model.ts';
import { estimatedDensity, spectrumModel } from './spectrum-model.ts';
import { shaded, weakBands } from './weak-bands.ts';

/** A plot with what is said under it, or the reason why there is none. */
export interface Plotted {
  model: PlotModel | null;
  note: string;
}

function setting(): Setting {
  const { reading, reference, point } = view.value;
  // what belongs to no string is shown of every instrument
  const every = reading === 'spectrum' || reading === 'impedance';
  return {
    frequencies: PLOT_GRID,
    builds: every ? everyCurve.value : curves.value,
    reference,
    point,
    stringName: heard.value.instrument.strings[stringIndex.value].name,
    x: X_RANGES[xRange.value],
  };
}

/** Figures to mark; of a build that a hand is at work on, those it has already: dips come back when the hand rests. */
function figuresOf({ build, string }: Shown): BuildFigures | null {
  const { point, fret } = view.value;
  return (store.working.value ? knownFigures : buildFigures)(build, { string, point, fret });
}
const dipsOf = (one: Shown) => figuresOf(one)?.dips ?? [];
function resonanceOf(one: Shown): number | null {
  const { point } = view.value;
  if (!isBehindNetwork(point)) return null;
  const known = figuresOf(one);
  return known ? figureValue(known.figures, 'resonance') : (loadFigures(one.build, point)?.resonance ?? null);
}

function responsePlot(setting: Setting): Plotted {
  const { point, allStrings } = view.value;
  const others = setting.builds.flatMap(one =>
    one.build.instrument.strings.flatMap(({ name }, string) =>
      string === one.string || !allStrings
        ? []
        : [{ ...one, string, name, spectrum: plotted(one.build, string, point) }],
    ),
  );
  const model = responseModel(setting, {
    absolute: absolute.value,
    span: span.value,
    dips: new Map(setting.builds.map(one => [one.letter, dipsOf(one)])),
    resonances: new Map(
      setting.builds.flatMap(one => {
        const resonance = resonanceOf(one);
        return resonance === null ? [] : [[one.letter, resonance] as const];
      }),
    ),
    others,
    exact: (one, frequency) => response(one.build, one.string, point, Float64Array.of(frequency)),
  });
  const silent = setting.builds.filter(one => figuresOf(one)?.wired === false).map(({ letter }) => letter);
  return { model, note: silent.length && point !== POINT.force ? words.notWired(silent.join(', ')) : '' };
}

/** Measured densities on the plot grid, so that a picture of the live spectrum costs no more than itself. */
const onGrid = new WeakMap<PowerSpectrum, { n: number; grid: Float64Array }>();
function exactDensity(spectrum: PowerSpectrum, n: number): Float64Array {
  const known = onGrid.get(spectrum);
  if (known?.n === n) return known.grid;
  const grid = smoothed(spectrum.frequencies, spectrum.power, PLOT_GRID, n);
  onGrid.set(spectrum, { n, grid });
  return grid;
}

/** Powers of the strings added; null: the strings have not been measured yet. */
function quickDensity(take: CurrentTake, build: Build, n: number): Float64Array | null {
  const strings = stringDensities();
  if (!strings) return null;
  const { point } = view.value;
  const mixture = take.uncombed?.length ? mixedResponse(build, point, PLOT_GRID) : null;
  const responses = build.instrument.strings.map((_, index) =>
    mixture && take.uncombed?.includes(index) ? mixture : plotted(build, index, point),
  );
  return smoothed(PLOT_GRID, estimatedDensity(strings, responses, PLOT_GRID), PLOT_GRID, n);
}

function spectrumPlot(setting: Setting, live: Live | null): Plotted {
  const { point, smoothing } = view.value;
  const take = currentTake.value;
  if (!take) return { model: null, note: words.noTake };
  const density = new Map<Letter, Float64Array>();
  let estimated = false;
  for (const { letter, build } of setting.builds) {
    const exact = measured(build, point)?.density;
    const found = exact ? exactDensity(exact, smoothing) : quickDensity(take, build, smoothing);
    if (found) density.set(letter, found);
    if (!exact) estimated = true;
  }
  const failed = measureProblem.value;
  if (!density.size) return { model: null, note: failed ? words.takeFailed : words.loadingTake };
  const how = failed ? words.takeFailed : estimated ? words.estimate : words.exact;
  const model = spectrumModel(setting, { density, live, smoothing, span: span.value, take: take.id, how });
  return { model, note: liveWanted.value && !live ? `${how} ${words.liveIdle}` : how };
}

function differencePlot(setting: Setting): Plotted {
  if (setting.builds.length < 2) return { model: null, note: words.alone };
  const { smoothing } = view.value;
  return { model: differenceModel(setting, { smoothing, span: differenceSpan.value }), note: '' };
}

function partialsPlot(setting: Setting): Plotted {
  const { point, fret, units } = view.value;
  const pluck = store.sheet.value.pluck ?? usualPluck(...heard.value.instrument.strings.map(s => s.scale));
  const model = partialsModel(setting, {
    fret,
    pluck: withPluck.value ? pluck : null,
    span: span.value,
    dips: new Map(setting.builds.map(one => [one.letter, dipsOf(one)])),
    exact: (one, frequencies) => response(one.build, one.string, point, frequencies),
  });
  return { model, note: withPluck.value ? words.withPluckHint(formatQuantity(pluck, 'length', units)) : '' };
}

/** Places an impedance is seen at: the output, and every pickup of any build. */
export function impedancePlaces(): [id: string | null, name: string][] {
  const pickups = new Map<string, string>();
  for (const { build } of slots.value)
    for (const { id, name } of build.pickups) if (!pickups.has(id)) pickups.set(id, name || id);
  return [[null, words.atOutput], ...pickups];
}

function impedancePlot(setting: Setting): Plotted {
  const [id, where] = impedancePlaces().find(([id]) => id === impedanceAt.value) ?? [null, words.atOutput];
  const found = setting.builds.flatMap(one => {
    const curve = impedanceOf(one.build, id, PLOT_GRID);
    return curve ? [[one.letter, curve] as const] : [];
  });
  return { model: impedanceModel(setting, { curves: new Map(found), where, phase: impedancePhase.value }), note: '' };
}

/** With the stretches shaded that the current take says too little about. */
function withWeakStretches({ model, note }: Plotted, string: number | null): Plotted {
  const weak = weakBands(currentTake.value, string);
  if (!model || weak.length === 0) return { model, note };
  return { model: shaded(model, weak), note: [note, words.weakHint].filter(Boolean).join(' ') };
}

/** With a word where the heard build does not sound as its curve says. */
function withDeparture({ model, note }: Plotted): Plotted {
  const departs = departsText(view.value.heard, soundDeparts.value);
  return { model, note: model ? [note, departs].filter(Boolean).join(' ') : note };
}

/** What is plotted now. Reads signals. */
export function whatIsPlotted(live: Live | null): Plotted {
  try {
    const now = setting();
    switch (view.value.reading) {
      case 'response':
        return withDeparture(withWeakStretches(responsePlot(now), stringIndex.value));
      case 'spectrum':
        return withDeparture(withWeakStretches(spectrumPlot(now, live), null));
      case 'difference':
        return withDeparture(withWeakStretches(differencePlot(now), stringIndex.value));
      case 'partials':
        return withDeparture(partialsPlot(now));
      case 'impedance':
        return impedancePlot(now);
    }
  } catch (error) {
    // a network that contradicts itself says what is wrong in its own words
    return { model: null, note: error instanceof Error ? error.message : String(error) };
  }
}
