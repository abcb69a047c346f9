/** What the plot's cursor reads, and the cursor with its box of readings as SVG. */
import { nothing, svg } from 'lit';
import { type PlotModel, valueAt } from './plot-model.ts';
import type { Scale } from './plot-scale.ts';

/** Every main series at `at`, exactly, with its difference from the reference. */
export function readingsAt(model: PlotModel, at: number) {
  const main = model.series.filter(one => !one.quiet);
  const reference = main.find(one => one.key === model.reference);
  const base = reference ? valueAt(reference, at, model.x.kind) : Number.NaN;
  return main.map(series => {
    const y = valueAt(series, at, model.x.kind);
    const difference = reference && series !== reference && model.differenceText ? model.differenceText(y, base) : '';
    return { series, y, text: model.yText(y), difference };
  });
}

export function cursorLayer(model: PlotModel, at: number | null, sx: Scale, sy: Scale, rem: number) {
  if (at === null || at < sx.from || at > sx.to) return nothing;
  const px = sx.place(at);
  const rows = readingsAt(model, at);
  const head = model.xText(at);
  const line = 1.15 * rem;
  const texts = rows.map(({ series, text, difference }) => ({ series, text, difference }));
  const size = (text: string) => text.length * 0.47 * rem;
  const valueWide = Math.max(...texts.map(row => size(row.text)));
  const differenceWide = Math.max(...texts.map(row => size(row.difference)));
  const labelWide = Math.max(1.1 * rem, ...texts.map(row => size(row.series.label) + 0.5 * rem));
  const width = Math.max(
    size(head) + 1.2 * rem,
    labelWide + valueWide + (differenceWide ? differenceWide + 0.9 * rem : 0) + 1.3 * rem,
  );
  const height = line * (rows.length + 1) + 0.7 * rem;
  const right = px + 0.6 * rem + width <= sx.end;
  const x = right ? px + 0.6 * rem : Math.max(2, px - 0.6 * rem - width);
  const y = sy.end + 0.4 * rem;
  const limit = (value: number) => Math.min(sy.start, Math.max(sy.end, sy.place(value)));
  return svg`<g data-passing>
    <path class="cursor" d=${`M${px} ${sy.end}V${sy.start}`} />
    ${rows.map(({ series, y: value }) => (Number.isNaN(value) || value < Math.min(sy.from, sy.to) || value > Math.max(sy.from, sy.to) ? nothing : svg`<circle class="dot" cx=${px} cy=${limit(value)} r="4" style=${`fill:${series.colour}`} />`))}
    <rect class="box" x=${x} y=${y} width=${width} height=${height} />
    <text class="box-text" x=${x + 0.6 * rem} y=${y + line}>${head}</text>
    ${texts.map(
      (row, i) => svg`
        <text class="box-text" x=${x + 0.6 * rem} y=${y + line * (i + 2)} style=${`fill:${row.series.colour}`}>${row.series.label}</text>
        <text class="box-text" x=${x + 0.6 * rem + labelWide + valueWide} y=${y + line * (i + 2)} text-anchor="end" style=${`fill:${row.series.colour}`}>${row.text}</text>
        ${row.difference ? svg`<text class="box-text" x=${x + width - 0.6 * rem} y=${y + line * (i + 2)} text-anchor="end">${row.difference}</text>` : nothing}`,
    )}
  </g>`;
}
