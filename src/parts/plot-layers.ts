/** The still layers of a plot as SVG: ruling and figures of the axes, shaded bands, curves, their names, marks. */
import { nothing, svg } from 'lit';
import { labelPlaces } from './plot-labels.ts';
import type { PlotModel, PlotSeries } from './plot-model.ts';
import type { Scale } from './plot-scale.ts';
import { axisNumber, linearTicks, logTicks, type Tick } from './plot-ticks.ts';

export function groundLayer(model: PlotModel, sx: Scale, sy: Scale, rem: number) {
  const across = sx.end - sx.start;
  const up = sy.start - sy.end;
  const xTicks =
    model.x.kind === 'log' ? logTicks(model.x, across) : linearTicks(model.x, across, 2.4 * rem, model.x.steps);
  const yTicks =
    model.y.kind === 'log' ? logTicks(model.y, up * 1.6) : linearTicks(model.y, up, 2.4 * rem, model.y.steps);
  const vertical = (value: number) => `M${Math.round(sx.place(value)) + 0.5} ${sy.end}V${sy.start}`;
  const horizontal = (value: number) => `M${sx.start} ${Math.round(sy.place(value)) + 0.5}H${sx.end}`;
  const strong = (ticks: Tick[]) => ticks.filter(tick => tick.label);
  const fine = (ticks: Tick[]) => ticks.filter(tick => !tick.label);
  const lines = (kind: typeof fine) =>
    [...kind(xTicks).map(t => vertical(t.value)), ...kind(yTicks).map(t => horizontal(t.value))].join('');
  const labels = strong(xTicks).filter(tick => sx.place(tick.value) <= sx.end - (model.x.unit ? 2.2 * rem : 0));
  return svg`
    <rect x=${sx.start} y=${sy.end} width=${across} height=${up} fill="none" class="frame" />
    <path class="ruling fine" d=${lines(fine)} />
    <path class="ruling" d=${lines(strong)} />
    ${model.y.kind === 'linear' && model.y.from < 0 && model.y.to > 0 ? svg`<path class="zero" d=${horizontal(0)} />` : nothing}
    ${labels.map(t => svg`<text x=${sx.place(t.value)} y=${sy.start + 1.1 * rem} text-anchor="middle">${t.label}</text>`)}
    ${
      model.x.unit
        ? svg`<text x=${sx.end + 0.9 * rem} y=${sy.start + 1.1 * rem} text-anchor="end">${`${axisNumber(model.x.to)}${model.x.to >= 1000 ? '' : ' '}${model.x.unit}`}</text>`
        : nothing
    }
    ${strong(yTicks).map(
      t =>
        svg`<text x=${sx.start - 0.45 * rem} y=${sy.place(t.value) + 0.28 * rem} text-anchor="end">${t.value > 0 && model.y.from < 0 ? `+${t.label}` : t.label}</text>`,
    )}
    <text x=${sx.start} y=${sy.end - 0.45 * rem}>${model.y.label}</text>`;
}

/** Shaded stretches (`labels` false), drawn under the curves, or what is written on them, drawn over the curves. */
export function bandLayer(model: PlotModel, sx: Scale, sy: Scale, rem: number, labels: boolean) {
  const clampX = (value: number) => Math.min(sx.end, Math.max(sx.start, sx.place(value)));
  const clampY = (value: number) => Math.min(sy.start, Math.max(sy.end, sy.place(value)));
  return model.bands.map(band => {
    const [x1, x2] = band.axis === 'x' ? [clampX(band.from), clampX(band.to)] : [sx.start, sx.end];
    const [y1, y2] = band.axis === 'y' ? [clampY(band.to), clampY(band.from)] : [sy.end, sy.start];
    if (x2 - x1 < 0.5 || y2 - y1 < 0.5) return nothing;
    if (!labels) return svg`<rect class=${band.tone} x=${x1} y=${y1} width=${x2 - x1} height=${y2 - y1} />`;
    if (!band.label || (band.axis === 'x' && x2 - x1 < band.label.length * 0.42 * rem)) return nothing;
    const y = band.axis === 'y' ? y1 - 0.3 * rem : sy.start - 0.5 * rem;
    return band.axis === 'y'
      ? svg`<text class="halo" x=${x1 + 0.4 * rem} y=${y}>${band.label}</text>`
      : svg`<text class="halo" x=${x2 - 0.4 * rem} y=${y} text-anchor="end">${band.label}</text>`;
  });
}

type PathOf = (series: PlotSeries, sx: Scale, sy: Scale, bars: { width: number; shift: number } | null) => string;

/** `pathOf` draws one series; `bars` is null for a line. */
export function curveLayer(model: PlotModel, sx: Scale, sy: Scale, pathOf: PathOf) {
  const main = model.series.filter(one => one.shape === 'bars' && !one.quiet);
  // bars of one place share three quarters of the room to the next
  const slot = main.length && sx.kind === 'linear' ? (0.76 * Math.abs(sx.place(1) - sx.place(0))) / main.length : 0;
  return model.series.map(one => {
    const index = main.indexOf(one);
    const bars =
      one.shape === 'bars' ? { width: Math.max(1, slot - 1), shift: (index - (main.length - 1) / 2) * slot } : null;
    return svg`<path
      class=${bars ? 'bars' : one.quiet ? 'curve quiet' : 'curve'}
      d=${pathOf(one, sx, sy, bars)}
      transform=${one.moved ? `translate(0 ${sy.place(-one.moved.down) - sy.place(0)})` : nothing}
      style=${bars ? `stroke:${one.colour};fill:${one.colour}` : `stroke:${one.colour}`}
      stroke-dasharray=${one.dash && !(bars && slot < 6) ? one.dash : nothing}
    />`;
  });
}

export function labelLayer(model: PlotModel, sx: Scale, sy: Scale, rem: number) {
  const main = model.series.filter(one => !one.quiet && one.label);
  if (main.some(one => one.shape === 'bars')) return nothing;
  const places = labelPlaces(
    main.map(({ label, x, y, drawn }) => ({ label, ...(drawn ?? { x, y }) })),
    sx,
    sy,
    rem,
  );
  return main.map((one, i) => {
    const at = places[i];
    return at === null
      ? nothing
      : svg`<text class="label halo" text-anchor="middle" x=${at.px} y=${at.py + 0.35 * rem} style=${`fill:${one.colour}`}>${one.label}</text>`;
  });
}

export function markLayer(model: PlotModel, sx: Scale, sy: Scale, rem: number) {
  let free = -Infinity;
  return model.marks
    .filter(mark => mark.x >= sx.from && mark.x <= sx.to)
    .map(mark => {
      const px = sx.place(mark.x);
      const length = 0.5 * rem;
      const y = mark.at === 'top' ? sy.end : sy.start;
      const tip = mark.at === 'top' ? y + length : y - length;
      const wide = (mark.label.length * 0.5 + 0.6) * rem;
      const shown = mark.label !== '' && px - wide / 2 > free;
      if (shown) free = px + wide / 2;
      return svg`<path class="mark" d=${`M${px} ${y}V${tip}`} style=${`stroke:${mark.colour}`} />
        ${shown ? svg`<text class="halo" text-anchor="middle" x=${px} y=${mark.at === 'top' ? tip + 0.8 * rem : tip - 0.25 * rem} style=${`fill:${mark.colour}`}>${mark.label}</text>` : nothing}`;
    });
}
