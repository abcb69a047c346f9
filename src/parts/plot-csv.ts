/** Figures as comma-separated text (RFC 4180), numbers in full precision with a decimal point. Pure. */
import type { PlotModel } from './plot-model.ts';
import { interpolated } from './plot-scale.ts';

export type Cell = string | number | null;

/** Text that a spreadsheet would take for a formula: names come from files and links that anybody can make. */
const FORMULA = /^[=+\-@\t\r]/;

/**
 * One field: quoted where it holds a comma, a quote or a line break, and after an apostrophe where a spreadsheet would run
 * it. What is no number stays empty.
 */
const field = (cell: Cell): string => {
  if (cell === null) return '';
  if (typeof cell === 'number') return Number.isNaN(cell) ? '' : String(cell);
  const text = FORMULA.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

export const csv = (rows: readonly (readonly Cell[])[]): string =>
  rows.map(row => row.map(field).join(',') + '\r\n').join('');

/** Every point of every main series of a plot; the x of the first, the others at the same x. */
export function plotCsv(model: PlotModel): string {
  const series = model.series.filter(one => !one.quiet);
  const x = series[0]?.x ?? new Float64Array();
  const head = [model.columns.x, ...series.map(one => `${one.label} ${model.columns.y}`.replaceAll(' ', '_'))];
  const rows = Array.from(x, (at, i) => [
    at,
    ...series.map(one => (one.x === x ? one.y[i] : interpolated(one.x, one.y, at, model.x.kind))),
  ]);
  return csv([head, ...rows]);
}
