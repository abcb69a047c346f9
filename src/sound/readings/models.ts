/** From builds and choices to what a plot shows: one function per reading. Pure. */

import { smoothed } from '../../../shared/audio/smoothing.ts';
import type { PowerSpectrum } from '../../../shared/audio/spectrum.ts';
import { power, type Spectrum } from '../../../shared/complex.ts';
import { dbOfPower } from '../../../shared/decibels.ts';
import type { Build, TestPoint } from '../../../shared/document/build.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { LEVEL_STEP } from '../../../shared/response/noticeable.ts';
import { partial, stringModel, waveNumber } from '../../../shared/string/stiff.ts';
import { colourOf, DASH } from '../../parts/builds.ts';
import { axisTop, highest, levelsOf, referenceLevel, weakStretches } from '../../parts/curve-levels.ts';
import type { PlotAxis, PlotBand, PlotMark, PlotModel, PlotSeries } from '../../parts/plot-model.ts';
import {
  ANGLE_STEPS,
  axisNumber,
  frequencyText,
  LEVEL_STEPS,
  signedNumber,
  thirdOctaves,
} from '../../parts/plot-ticks.ts';
import { words } from '../../words/readings-words.ts';

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

const look = (letter: Letter, build: Build) => ({
  key: letter,
  label: letter,
  name: words.series(letter, build.name),
  colour: colourOf(letter),
  dash: DASH[letter],
});

const frequencyAxis = (x: readonly [number, number]): PlotAxis => ({
  kind: 'log',
  from: x[0],
  to: x[1],
  label: words.frequencyAxis,
  unit: 'Hz',
});
const levelAxis = (top: number, bottom: number, label: string): PlotAxis => ({
  kind: 'linear',
  from: bottom,
  to: top,
  label,
  unit: 'dB',
  steps: LEVEL_STEPS,
});
const levelText = (y: number) => `${signedNumber(y)} dB`;
const levelDifference = (y: number, from: number) => signedNumber(y - from, 1, true);
const frequencyRows = (x: readonly [number, number]) =>
  thirdOctaves(...x)
    .filter(band => band.exact >= x[0] && band.exact <= x[1])
    .map(band => ({ x: band.exact, label: axisNumber(band.nominal) }));

const referenceOf = <T extends { letter: Letter }>(list: readonly T[], letter: Letter): T =>
  list.find(one => one.letter === letter) ?? list[0];

const plain = (setting: Setting): Record<string, string> => ({
  'test point': words.places[setting.point],
  builds: setting.builds.map(one => words.series(one.letter, one.build.name)).join('; '),
});

/** Curves of one spectrum at one shift are kept: an edit of one build leaves the other builds' arrays as they are. */
const kept = new WeakMap<Spectrum, { shift: number; levels: ReturnType<typeof levelsOf> }>();
function levels(spectrum: Spectrum, frequencies: Float64Array, shift: number) {
  const known = kept.get(spectrum);
  if (known && known.shift === shift && known.levels.x === frequencies) return known.levels;
  const made = levelsOf(spectrum, frequencies, shift);
  kept.set(spectrum, { shift, levels: made });
  return made;
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

export function responseModel(setting: Setting, choice: ResponseChoice): PlotModel {
  const { frequencies, builds, point, x } = setting;
  const reference = referenceOf(builds, setting.reference);
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
  const top = axisTop(
    highest(
      series.map(one => one.y),
      0,
    ),
  ); // prettier-ignore
  const marks: PlotMark[] = builds.flatMap(one => [
    ...(choice.dips.get(one.letter) ?? []).map(({ frequency }) => ({
      x: frequency,
      label: '',
      colour: colourOf(one.letter),
      at: 'bottom' as const,
    })),
  ]);
  for (const one of builds) {
    const resonance = choice.resonances.get(one.letter);
    if (resonance !== undefined && point >= 4)
      marks.push({ x: resonance, label: one.letter, colour: colourOf(one.letter), at: 'top' });
  }
  const scale = choice.absolute ? words.absoluteAxis(words.absoluteUnits[point]) : words.relativeAxis(reference.letter);
  const place = choice.others.length ? words.atAllStrings(point) : words.at(point, setting.stringName);
  return {
    title: words.titles.response(place),
    x: frequencyAxis(x),
    y: levelAxis(top, top - choice.span, scale),
    series,
    marks: marks.sort((a, b) => a.x - b.x),
    bands: [],
    reference: reference.letter,
    yText: levelText,
    differenceText: levelDifference,
    xText: frequencyText,
    rows: frequencyRows(x),
    columns: { x: 'frequency_hz', y: 'db' },
    settings: { ...plain(setting), string: setting.stringName, scale },
  };
}

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
  const { frequencies, builds, point, x } = setting;
  const reference = referenceOf(builds, setting.reference);
  const base = smoothedLevels(reference.spectrum, frequencies, choice.smoothing);
  const others = builds.filter(one => one.letter !== reference.letter);
  const series = others.map(one => {
    const own = smoothedLevels(one.spectrum, frequencies, choice.smoothing);
    return {
      ...look(one.letter, one.build),
      label: words.table.difference(one.letter, reference.letter),
      x: frequencies,
      y: own.map((value, i) => value - base[i]),
    };
  });
  const bands: PlotBand[] = [
    {
      axis: 'y',
      from: -LEVEL_STEP,
      to: LEVEL_STEP,
      label: words.levelBand(LEVEL_STEP.toFixed(1)),
      tone: 'tint',
    },
  ];
  if (others.length === 1)
    for (const stretch of weakStretches(
      frequencies,
      base,
      smoothedLevels(others[0].spectrum, frequencies, choice.smoothing),
    ))
      bands.push({ axis: 'x', ...stretch, label: words.tooWeak, tone: 'hatch' });
  return {
    title: words.titles.difference(words.at(point, setting.stringName), reference.letter),
    x: frequencyAxis(x),
    y: levelAxis(choice.span, -choice.span, words.differenceAxis(reference.letter)),
    series,
    marks: [],
    bands,
    reference: null,
    yText: y => `${signedNumber(y, 1, true)} dB`,
    differenceText: null,
    xText: frequencyText,
    rows: frequencyRows(x),
    columns: { x: 'frequency_hz', y: 'db' },
    settings: {
      ...plain(setting),
      string: setting.stringName,
      reference: words.series(reference.letter, reference.build.name),
      smoothing: words.smoothing(choice.smoothing),
    },
  };
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

export function spectrumModel(setting: Setting, choice: SpectrumChoice): PlotModel {
  const { frequencies, builds, point, x } = setting;
  const reference = referenceOf(builds, setting.reference);
  const own = choice.density.get(reference.letter);
  const shift = own ? dbOfPower(highest([own], 1)) : 0;
  const series: PlotSeries[] = [];
  if (choice.live) {
    const { letter, density } = choice.live;
    // the meter's level is not the render's: the live curve is set to the height of its own build
    const lift = dbOfPower(highest([density], 1));
    const target = choice.density.get(letter);
    const level = target ? dbOfPower(highest([target], 1)) - shift : 0;
    series.push({
      key: 'live',
      label: words.liveName,
      name: words.liveName,
      colour: colourOf(letter),
      dash: '',
      quiet: true,
      x: frequencies,
      y: density.map(value => dbOfPower(value) - lift + level),
    });
  }
  for (const one of builds) {
    const density = choice.density.get(one.letter);
    if (density)
      series.push({
        ...look(one.letter, one.build),
        x: frequencies,
        y: densityLevels(density, shift),
      });
  }
  const top = axisTop(
    highest(
      series.filter(one => !one.quiet).map(one => one.y),
      0,
    ),
  ); // prettier-ignore
  return {
    title: words.titles.spectrum(words.atTake(point)),
    x: frequencyAxis(x),
    y: levelAxis(top, top - choice.span, words.spectrumAxis(reference.letter)),
    series,
    marks: [],
    bands: [],
    reference: reference.letter,
    yText: levelText,
    differenceText: levelDifference,
    xText: frequencyText,
    rows: frequencyRows(x),
    columns: { x: 'frequency_hz', y: 'db' },
    settings: {
      ...plain(setting),
      take: choice.take,
      smoothing: words.smoothing(choice.smoothing),
      method: choice.how,
    },
  };
}

const PARTIALS = 40;

export interface PartialsChoice {
  fret: number;
  /** Pluck point from the saddle, m; null: every partial is struck alike. */
  pluck: number | null;
  span: number;
  dips: ReadonlyMap<Letter, readonly { frequency: number; partial: number }[]>;
  exact: (shown: Shown, frequencies: Float64Array) => Spectrum;
}

/** Frequencies of the partials of a build's string at `fret` up to 20 kHz. */
const partialFrequencies = (build: Build, string: number, fret: number): Float64Array => {
  const model = stringModel(build.instrument.strings[string]);
  return Float64Array.from({ length: PARTIALS }, (_, i) => partial(model, i + 1, fret)).filter(f => f <= 20_000);
};

/**
 * Levels of the partials of one note. With a pluck at d from the saddle a partial's bridge force goes as
 * sin(k_n d)/n (release of a static displacement; N. Fletcher and T. Rossing, The Physics of Musical Instruments, ch. 2).
 */
export function partialsModel(setting: Setting, choice: PartialsChoice): PlotModel {
  const { builds, point } = setting;
  const reference = referenceOf(builds, setting.reference);
  const raw = builds.map(one => {
    const frequencies = partialFrequencies(one.build, one.string, choice.fret);
    const spectrum = choice.exact(one, frequencies);
    const model = stringModel(one.build.instrument.strings[one.string]);
    const speaking = model.length * 2 ** (-choice.fret / 12);
    const level = Float64Array.from(frequencies, (f, i) => {
      const force =
        choice.pluck === null ? 1 : Math.sin(waveNumber(model, f) * Math.min(choice.pluck, speaking * 0.98)) / (i + 1);
      return dbOfPower(power(spectrum, i) * force * force);
    });
    return { one, frequencies, level };
  });
  const shift = highest([(raw.find(({ one }) => one === reference) ?? raw[0]).level], 0);
  const numbers = Float64Array.from({ length: PARTIALS }, (_, i) => i + 1);
  const series = raw.map(({ one, level }) => ({
    ...look(one.letter, one.build),
    shape: 'bars' as const,
    x: numbers.subarray(0, level.length),
    y: level.map(value => value - shift),
    at: (n: number) => (level[Math.round(n) - 1] ?? Number.NaN) - shift,
  }));
  const top = axisTop(
    highest(
      series.map(one => one.y),
      0,
    ),
  ); // prettier-ignore
  const count = Math.max(1, ...series.map(one => one.y.length));
  const own = raw.find(({ one }) => one === reference)?.frequencies ?? raw[0].frequencies;
  const name = (n: number) => `${words.partialAxis} ${n}`;
  return {
    title: words.titles.partials(setting.stringName, choice.fret, point),
    x: { kind: 'linear', from: 0.4, to: count + 0.6, label: words.partialAxis, unit: '', steps: [1, 2, 5, 10] },
    y: levelAxis(top, top - choice.span, words.partialsAxis(reference.letter)),
    series,
    marks: builds
      .flatMap(one =>
        (choice.dips.get(one.letter) ?? [])
          .filter(dip => dip.partial <= count + 0.5)
          .map(dip => ({
            x: dip.partial,
            label: `${words.dipMark} ${one.letter}`,
            colour: colourOf(one.letter),
            at: 'top' as const,
          })),
      )
      .sort((a, b) => a.x - b.x),
    bands: [],
    reference: reference.letter,
    yText: levelText,
    differenceText: levelDifference,
    xText: n => `${name(Math.round(n))}, ${frequencyText(own[Math.round(n) - 1] ?? Number.NaN)}`,
    rows: Array.from({ length: count }, (_, i) => ({
      x: i + 1,
      label: `${i + 1}, ${frequencyText(own[i] ?? Number.NaN)}`,
    })),
    columns: { x: 'partial', y: 'db' },
    settings: {
      ...plain(setting),
      string: setting.stringName,
      fret: String(choice.fret),
      pluck:
        choice.pluck === null ? 'none, every partial alike' : `${(choice.pluck * 1000).toFixed(1)} mm from the saddle`,
    },
  };
}

/** Significant figures of an impedance with its prefix: `182 kΩ`. */
export function ohms(value: number): string {
  if (!Number.isFinite(value)) return '–';
  const size = Math.abs(value);
  const [step, prefix] = size >= 1e6 ? [1e6, 'M'] : size >= 1e3 ? [1e3, 'k'] : [1, ''];
  return `${Number((value / step).toPrecision(3))} ${prefix}Ω`;
}

export function impedanceModel(
  setting: Setting,
  choice: {
    /** Per build; a build that has no such place is absent. */
    curves: ReadonlyMap<Letter, Spectrum>;
    where: string;
    phase: boolean;
  },
): PlotModel {
  const { frequencies, builds, x } = setting;
  const shown = builds.filter(one => choice.curves.has(one.letter));
  const series = shown.map(one => {
    const { re, im } = choice.curves.get(one.letter)!;
    return {
      ...look(one.letter, one.build),
      x: frequencies,
      y: choice.phase
        ? re.map((value, i) => (Math.atan2(im[i], value) * 180) / Math.PI)
        : re.map((value, i) => Math.hypot(value, im[i])),
    };
  });
  let low = Infinity;
  for (const one of series) for (const value of one.y) if (value > 0 && value < low) low = value;
  const decade = (value: number, up: boolean) => 10 ** (up ? Math.ceil : Math.floor)(Math.log10(value));
  const top = decade(
    highest(
      series.map(one => one.y),
      1e6,
    ) * 1.05,
    true,
  ); // prettier-ignore
  const bottom = decade(Number.isFinite(low) ? low * 0.95 : 1e3, false);
  return {
    title: words.titles.impedance(choice.where, choice.phase ? words.phase : words.magnitude),
    x: frequencyAxis(x),
    y: choice.phase
      ? { kind: 'linear', from: -90, to: 90, label: words.phaseAxis, unit: '°', steps: ANGLE_STEPS }
      : {
          kind: 'log',
          from: Math.min(bottom, top / 10),
          to: top,
          label: words.magnitudeAxis,
          unit: 'Ω',
        },
    series,
    marks: [],
    bands: [],
    reference: choice.phase ? null : setting.reference,
    yText: choice.phase ? y => `${signedNumber(y, 1)}°` : ohms,
    differenceText: choice.phase ? null : (y, from) => (from > 0 ? `× ${Number((y / from).toPrecision(3))}` : '–'),
    xText: frequencyText,
    rows: frequencyRows(x),
    columns: { x: 'frequency_hz', y: choice.phase ? 'degrees' : 'ohm' },
    settings: { builds: plain(setting).builds, where: choice.where },
  };
}
