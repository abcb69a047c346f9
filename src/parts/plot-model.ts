/** What a plot shows, as plain data: everything that `<cc-plot>` draws, speaks, lists and exports. */
import type { Axis } from './plot-scale.ts';
import { interpolated } from './plot-scale.ts';

export interface PlotAxis extends Axis {
  /** What it measures, with its unit: `frequency, Hz`. */
  label: string;
  /** Stands after the last label of the axis: `Hz`, `dB`. */
  unit: string;
  /** Steps that rulings may have; none: 1, 2, 5. */
  steps?: readonly number[];
}

export interface PlotSeries {
  /** Unique in its plot. */
  key: string;
  /** Short, drawn at the curve: `A`. */
  label: string;
  /** In full, for tables, legends and speech: `A, neck at the 24th fret`. */
  name: string;
  /** CSS colour, usually a variable. */
  colour: string;
  /** SVG dash pattern, px; empty: solid. */
  dash: string;
  /** Ascending. */
  x: Float64Array;
  y: Float64Array;
  /** The same curve with more points, for drawing and for the cursor; absent: `x` and `y` are drawn. */
  drawn?: { x: Float64Array; y: Float64Array };
  /**
   * The curve of which this one stands `down` lower, on a linear axis: its path is drawn once and moved. A zero that moves
   * with the hand moves every curve. Absent: it is drawn where it is.
   */
  moved?: { y: Float64Array; down: number };
  /** Exact value at any x; absent: interpolated. */
  at?: (x: number) => number;
  /** Context behind the main curves: thin, without label, read-out and columns in tables. */
  quiet?: boolean;
  shape?: 'line' | 'bars';
}

/** A place on the x axis with a word to it. */
export interface PlotMark {
  x: number;
  label: string;
  colour: string;
  /** Stands at the top or at the bottom of the frame. */
  at: 'top' | 'bottom';
}

/** A shaded stretch of one axis. */
export interface PlotBand {
  axis: 'x' | 'y';
  from: number;
  to: number;
  label: string;
  /** `hatch`: nothing can be said here; `tint`: a range with a meaning. */
  tone: 'tint' | 'hatch';
}

export interface PlotModel {
  /** What is plotted, one line. */
  title: string;
  x: PlotAxis;
  y: PlotAxis;
  series: readonly PlotSeries[];
  marks: readonly PlotMark[];
  bands: readonly PlotBand[];
  /** Key of the series that differences in the read-out are taken against; null: none are shown. */
  reference: string | null;
  /** Written on a value of y: `−3.0 dB`. */
  yText: (y: number) => string;
  /** Written on a difference of two values of y; null: there are no differences of this quantity. */
  differenceText: ((y: number, from: number) => string) | null;
  /** Written on a value of x. */
  xText: (x: number) => string;
  /** Rows of the table of figures: x and what stands in the first column. */
  rows: readonly { x: number; label: string }[];
  /** Column heads of the exported figures: x, and what is added to a series' label. */
  columns: { x: string; y: string };
  /** All that is needed to make this plot again; goes into exported files. */
  settings: Readonly<Record<string, string>>;
}

/** Value of a series at `x`: exact where the series knows it, else between its points. */
export const valueAt = (series: PlotSeries, x: number, kind: Axis['kind']): number => {
  if (series.at) return series.at(x);
  const curve = series.drawn ?? series;
  return interpolated(curve.x, curve.y, x, kind);
};
