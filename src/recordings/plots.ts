/** Drawings of a recording: its spectrum before and after, and a note's partials with what was fitted to them. */

import type { EstimatedNote } from '../../shared/take/estimate/estimate.ts';
import { LEVEL_GRID, type Uncoloured } from '../../shared/take/own/prepare.ts';
import type { PlotModel } from '../parts/plot-model.ts';
import { words } from '../words/recordings-words.ts';

const db = (y: number) => `${y.toFixed(1).replace('-', '−')} dB`;
const SPAN = 72;

export function beforeAfter(name: string, { before, after, weak }: Uncoloured): PlotModel {
  const curve = (key: string, text: string, colour: string, dash: string, y: Float64Array) => ({
    key,
    label: '',
    name: text,
    colour,
    dash,
    x: LEVEL_GRID,
    y,
  });
  return {
    title: words.plotTitle(name),
    x: { kind: 'log', from: 20, to: 15000, label: words.frequency, unit: 'Hz' },
    y: { kind: 'linear', from: -SPAN, to: 0, label: words.plotAxis, unit: 'dB', steps: [12, 24] },
    series: [
      curve('before', words.before, 'var(--soft)', '5 3', before),
      curve('after', words.after, 'var(--ink)', '', after),
    ],
    marks: [],
    bands: weak.map(([from, to]) => ({ axis: 'x', from, to, label: words.tooWeak, tone: 'hatch' })),
    reference: null,
    yText: db,
    differenceText: null,
    xText: words.hz,
    rows: [50, 100, 200, 500, 1000, 2000, 5000, 10000].map(x => ({ x, label: words.hz(x) })),
    columns: { x: 'frequency_hz', y: 'db' },
    settings: {},
  };
}

export function envelope(note: EstimatedNote, measured: Float64Array, fitted: Float64Array): PlotModel {
  const x = Float64Array.from(measured, (_, i) => i + 1);
  const values = [...measured, ...fitted];
  const top = 6 * Math.ceil(Math.max(...values) / 6);
  const bottom = Math.max(top - 84, 6 * Math.floor(Math.min(...values) / 6));
  return {
    title: words.envelopeTitle(note.fret),
    x: { kind: 'linear', from: 0, to: measured.length + 1, label: words.partial, unit: '' },
    y: { kind: 'linear', from: bottom, to: top, label: words.levelAxis, unit: 'dB', steps: [12, 24] },
    series: [
      {
        key: 'measured',
        label: '',
        name: words.measuredLevel,
        colour: 'var(--soft)',
        dash: '',
        x,
        y: measured,
        shape: 'bars',
      },
      { key: 'fitted', label: '', name: words.fittedLevel, colour: 'var(--ink)', dash: '', x, y: fitted },
    ],
    marks: [],
    bands: [],
    reference: null,
    yText: db,
    differenceText: null,
    xText: n => `${words.partial} ${Math.round(n)}`,
    rows: Array.from(x, n => ({ x: n, label: String(n) })),
    columns: { x: 'partial', y: 'db' },
    settings: {},
  };
}
