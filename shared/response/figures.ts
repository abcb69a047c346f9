/**
 * Figures read off the exact response of a build, as plain data (`quantities.ts`). Everything that states a figure, the
 * page, the sheet and the command line, takes it from here. Pure; kept as long as a build is the same object.
 */

import { harnessGains } from '../circuit/harness.ts';
import { humGains } from '../circuit/hum.ts';
import { CANCELLED, HUM_FREQUENCY } from '../circuit/selector-table.ts';
import { power } from '../complex.ts';
import { dbOfPower } from '../decibels.ts';
import { type Build, isBehindNetwork, type NetworkPoint, type TestPoint } from '../document/build.ts';
import { type Dip, type DipOptions, dips } from './dips.ts';
import { figureGrid, quadrature } from './figure-grid.ts';
import { loadFigures } from './load-figures.ts';
import { type Figure, figure } from './quantities.ts';
import { responses } from './response.ts';

/** Centres of the octaves that are set against the one around 250 Hz, Hz. */
export const OCTAVES = [1000, 2000, 4000, 8000] as const;
const REFERENCE_OCTAVE = 250;
/** Dips are listed up to here, Hz. */
export const DIP_LIMIT = 5000;

const HUM = Float64Array.of(HUM_FREQUENCY);

interface Sound {
  point: TestPoint;
  output: number;
  powers: Float64Array[];
}
/** What was asked of a build last: several figures are read off the same curves. */
const lastOf = new WeakMap<Build, Sound>();

/** Of each string the power of its response on the grid of figures (`figure-grid.ts`). */
export function stringPowers(build: Build, point: TestPoint, output = 0): readonly Float64Array[] {
  let last = lastOf.get(build);
  if (last?.point !== point || last.output !== output) {
    const curves = responses(build, point, figureGrid(), output);
    last = { point, output, powers: curves.map(curve => curve.re.map((_, i) => power(curve, i))) };
    lastOf.set(build, last);
  }
  return last.powers;
}

const falling = (f: number): number => f ** -2;
const logarithmic = (f: number): number => 1 / f;
/** Kept: the octaves, and open strings of a page full of instruments. */
const KEPT = 256;
const quadratures = new Map<string, Float64Array>();
/** Counts of an integral on the grid of figures. */
function counts(weight: typeof falling | typeof logarithmic, from: number, to: number): Float64Array {
  const name = `${weight === falling}/${from}/${to}`;
  let known = quadratures.get(name);
  if (!known) {
    if (quadratures.size >= KEPT) quadratures.clear();
    quadratures.set(name, (known = quadrature(figureGrid(), weight, from, to)));
  }
  return known;
}
const sum = (count: Float64Array, y: Float64Array): number => count.reduce((all, c, i) => all + c * y[i], 0);

/**
 * Level of a build at a test point for plucked strings in general, dB re 1 unit of the test point for 1 N: the mean over
 * the strings of ∫ |H|² f^−2 df / ∫ f^−2 df from each string's open fundamental up to 11.3 kHz. A pluck's bridge force
 * falls as 1/f, and the integral stands for notes on all frets. −Infinity: silence.
 */
export function pluckLevel(build: Build, point: TestPoint, output = 0): number {
  const powers = stringPowers(build, point, output);
  const grid = figureGrid();
  const top = grid[grid.length - 1];
  let mean = 0;
  powers.forEach((curve, s) => {
    const count = counts(falling, Math.max(grid[0], build.instrument.strings[s].pitch), top);
    mean += sum(count, curve) / count.reduce((all, c) => all + c, 0) / powers.length;
  });
  return dbOfPower(mean);
}

/**
 * Mean power of all strings in the octaves around 1, 2, 4 and 8 kHz against that in the octave around 250 Hz, dB: where
 * the sound is darker, these fall. Within an octave every third, every semitone weighs the same. Null: silence.
 */
export function octaveBalance(build: Build, point: TestPoint, output = 0): number[] | null {
  const powers = stringPowers(build, point, output);
  const octave = (centre: number): number => {
    const count = counts(logarithmic, centre / Math.SQRT2, centre * Math.SQRT2);
    return powers.reduce((all, curve) => all + sum(count, curve), 0);
  };
  const reference = octave(REFERENCE_OCTAVE);
  return reference > 1e-30 ? OCTAVES.map(centre => dbOfPower(octave(centre) / reference)) : null;
}

/** Hum of a uniform field at 100 Hz, dB re one coil of mean turns; −Infinity: it cancels; null: no coil is connected. */
export function humLevel(build: Build, point: NetworkPoint, output = 0): number | null {
  if (harnessGains(build, point, HUM)[output].size === 0) return null;
  const level = dbOfPower(power(humGains(build, point, HUM)[output], 0));
  return level < CANCELLED ? -Infinity : level;
}

export interface BuildFigures {
  figures: readonly Figure[];
  /** The dips with their causes; the figures hold what of them is a number. */
  dips: readonly Dip[];
  /** Something of the selected position reaches the output. */
  wired: boolean;
}

export interface FigureOptions extends Partial<DipOptions> {
  string: number;
  point: TestPoint;
}

/** Figures of sound and network at one output, without those of one string. */
export function outputFigures(build: Build, point: TestPoint, output = 0): Figure[] {
  const at = { point, output };
  const level = pluckLevel(build, point, output);
  const balance = octaveBalance(build, point, output);
  const list = [
    figure('level', Number.isFinite(level) ? level : null, at),
    ...OCTAVES.map((octave, i) => figure('octave', balance ? balance[i] : null, { ...at, octave })),
  ];
  // before the jack there are no coils with a load, and no field that hums
  if (!isBehindNetwork(point)) return list;
  const load = loadFigures(build, point, output);
  const low = load?.lowPass ?? null;
  return [
    ...list,
    figure('resonance', load?.resonance ?? null, at),
    figure('peak', load && load.resonance !== null ? load.peak : null, at),
    figure('hum', humLevel(build, point, output), at),
    figure('natural', low?.natural ?? null, at),
    figure('quality', low?.quality ?? null, at),
    figure('departure', low?.departure ?? null, at),
    figure('slope', low?.slope ?? null, at),
  ];
}

/** Dips of a string as figures. */
export const dipFigures = (list: readonly Dip[], at: Figure['at']): Figure[] =>
  list.flatMap((dip, order) => [
    figure('dip', dip.frequency, { ...at, order }),
    figure('depth', dip.depth, { ...at, order }),
    figure('partial', dip.partial, { ...at, order }),
  ]);

const kept = new WeakMap<Build, Map<string, BuildFigures>>();

const keyOf = ({ string, point, fret = 0, output = 0, limit = DIP_LIMIT }: FigureOptions): string =>
  `${string}/${point}/${fret}/${output}/${limit}`;

/** `buildFigures` where they have been asked for before, without any work; else null. */
export const knownFigures = (build: Build, options: FigureOptions): BuildFigures | null =>
  kept.get(build)?.get(keyOf(options)) ?? null;

/** All figures of a build at a test point for one string. Throws as the network does. */
export function buildFigures(build: Build, options: FigureOptions): BuildFigures {
  let found = knownFigures(build, options);
  if (found) return found;
  const { string, point, fret = 0, output = 0, limit = DIP_LIMIT } = options;
  const list = dips(build, string, point, { limit, fret, output });
  const figures = [...outputFigures(build, point, output), ...dipFigures(list, { point, output, string, fret })];
  found = { figures, dips: list, wired: figures[0].value !== null };
  let own = kept.get(build);
  if (!own) kept.set(build, (own = new Map()));
  own.set(keyOf(options), found);
  return found;
}
