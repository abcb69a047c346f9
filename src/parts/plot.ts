/**
 * `<cc-plot>`: curves or bars over a log or linear axis, drawn as SVG.
 *
 * A cursor that snaps to the first curve reads every series exactly: by pointer, or by keyboard when the plot has the
 * focus (arrows; Shift: one point of the curve; Page keys: an octave; Home, End; Escape hides it). `figures` shows the
 * same plot as a table. `toSvg`, `toPng` and `toCsv` give it as a file.
 */
import { css, html, LitElement, nothing, type PropertyValues, svg } from 'lit';
import { guard } from 'lit/directives/guard.js';
import { words } from '../words/readings-words.ts';
import { plotCsv } from './plot-csv.ts';
import { plotSvg, svgToPng } from './plot-export.ts';
import { labelPlaces } from './plot-labels.ts';
import { type PlotModel, type PlotSeries, valueAt } from './plot-model.ts';
import { barsPath, linePath } from './plot-path.ts';
import { nearest, type Scale, scaleOf } from './plot-scale.ts';
import { axisNumber, linearTicks, logTicks } from './plot-ticks.ts';
import { shared } from './styles.ts';

interface Frame {
  width: number;
  height: number;
  /** CSS pixels of one rem. */
  rem: number;
}

export class Plot extends LitElement {
  static override properties = {
    model: { attribute: false },
    figures: { type: Boolean },
    frame: { state: true },
    cursor: { state: true },
    spoken: { state: true },
  };
  declare model: PlotModel | undefined;
  /** Shows the table instead of the drawing. */
  declare figures: boolean;
  declare frame: Frame | null;
  /** Where the cursor stands on the x axis; null: hidden. */
  declare cursor: number | null;
  declare spoken: string;

  static override styles = [
    shared,
    css`
      :host { position: relative; min-block-size: 0; }
      .sheet { position: relative; block-size: 100%; touch-action: pan-y; cursor: crosshair; }
      svg { position: absolute; inset: 0; display: block; user-select: none; -webkit-user-select: none; }
      text { fill: var(--soft); font-family: var(--ui); font-size: 0.8rem; font-variant-numeric: tabular-nums; }
      .label { font-size: 1rem; font-weight: 600; }
      .halo { paint-order: stroke; stroke: var(--panel); stroke-width: 4px; stroke-linejoin: round; }
      .ruling { stroke: var(--grid-strong); stroke-width: 1; fill: none; }
      .ruling.fine { stroke: var(--grid); }
      .zero { stroke: var(--hairline); stroke-width: 1; fill: none; }
      .frame { stroke: var(--hairline); stroke-width: 1; fill: none; }
      .curve { fill: none; stroke-width: 2; stroke-linejoin: round; }
      .curve.quiet { stroke-width: 1; stroke-opacity: 0.5; }
      .bars { stroke-width: 1; fill-opacity: 0.3; }
      .tint { fill: var(--safe); fill-opacity: 0.13; }
      .hatch { fill: var(--field); fill-opacity: 0.8; stroke: none; }
      .mark { stroke-width: 1.5; fill: none; }
      .cursor { stroke: var(--ink); stroke-width: 1.5; stroke-dasharray: 2 3; fill: none; }
      .box { fill: var(--panel); stroke: var(--hairline); stroke-width: 1; }
      .box-text { fill: var(--ink); font-size: 0.87rem; font-weight: 500; }
      .dot { stroke: var(--panel); stroke-width: 1.5; }
      .scroll { overflow: auto; block-size: 100%; }
      .scroll table { width: auto; min-width: 60%; }
      .scroll thead th { position: sticky; top: 0; background: var(--panel); }
      .scroll td, .scroll th { text-align: right; white-space: nowrap; padding: 0.12rem 0.9rem 0.12rem 0; }
      .scroll th:first-child { text-align: left; }
      @media (forced-colors: active) {
        svg { forced-color-adjust: none; }
        text, .box-text { fill: CanvasText; }
        .halo, .dot { stroke: Canvas; }
        .box { fill: Canvas; stroke: CanvasText; }
        .ruling, .zero, .frame { stroke: GrayText; }
        .curve, .mark, .cursor { stroke: CanvasText !important; }
        .bars { stroke: CanvasText !important; fill: none !important; }
      }
      @media print { .scroll { overflow: visible; } }
    `,
  ];

  #resize: ResizeObserver | undefined;
  #paths = new WeakMap<Float64Array, { key: string; d: string }>();
  #clip = `clip-${Math.random().toString(36).slice(2, 8)}`;
  #speech = 0;

  constructor() {
    super();
    this.model = undefined;
    this.figures = false;
    this.frame = null;
    this.cursor = null;
    this.spoken = '';
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.#resize = new ResizeObserver(entries => {
      const { width, height } = entries[entries.length - 1].contentRect;
      const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) || 16;
      const now = this.frame;
      if (width < 1 || height < 1) return;
      if (!now || now.width !== width || now.height !== height || now.rem !== rem) this.frame = { width, height, rem };
    });
    this.#resize.observe(this);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#resize?.disconnect();
    clearTimeout(this.#speech);
  }

  override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has('model') || this.cursor === null || !this.model) return;
    // the cursor stays where it is, as long as the new axis has that place
    const { from, to } = this.model.x;
    const before = changed.get('model');
    if (this.cursor < from || this.cursor > to || before?.x.label !== this.model.x.label) this.cursor = null;
  }

  /** The drawing as a file of its own. */
  async toSvg(): Promise<string> {
    if (!this.model) throw new Error('nothing is plotted');
    const shown = this.figures;
    if (shown) {
      this.figures = false;
      await this.updateComplete;
    }
    try {
      return await plotSvg(this.renderRoot.querySelector('svg') as SVGSVGElement, this.model);
    } finally {
      this.figures = shown;
    }
  }

  async toPng(): Promise<Blob> {
    return svgToPng(await this.toSvg());
  }

  toCsv(): string {
    return this.model ? plotCsv(this.model) : '';
  }

  #scales(model: PlotModel, { width, height, rem }: Frame): { sx: Scale; sy: Scale } {
    return {
      sx: scaleOf(model.x, Math.round(2.7 * rem), Math.max(Math.round(4 * rem), width - Math.round(1.2 * rem))),
      sy: scaleOf(model.y, Math.max(Math.round(3 * rem), height - Math.round(1.45 * rem)), Math.round(1.35 * rem)),
    };
  }

  #lead(): Float64Array | null {
    const series = this.model?.series.find(one => !one.quiet);
    return series ? (series.drawn ?? series).x : null;
  }

  /** Puts the cursor on the point of the first curve nearest to `x`, inside the axis. */
  #put(x: number, speak: boolean): void {
    const lead = this.#lead();
    if (!lead?.length || !this.model) return;
    const { from, to, kind } = this.model.x;
    const at = nearest(lead, Math.min(to, Math.max(from, x)), kind);
    let index = at;
    if (lead[index] > to && index > 0) index--;
    if (lead[index] < from && index < lead.length - 1) index++;
    this.cursor = lead[index];
    if (speak) this.#speak();
  }

  #speak(): void {
    clearTimeout(this.#speech);
    this.#speech = window.setTimeout(() => {
      const { model, cursor } = this;
      if (!model || cursor === null) return;
      const values = this.#readings(model, cursor).map(({ series, text, difference }) =>
        difference ? `${series.label} ${text}, ${words.plot.differs(difference)}` : `${series.label} ${text}`,
      );
      this.spoken = `${model.xText(cursor)}: ${values.join('; ')}`;
    }, 200);
  }

  #readings(model: PlotModel, at: number) {
    const main = model.series.filter(one => !one.quiet);
    const reference = main.find(one => one.key === model.reference);
    const base = reference ? valueAt(reference, at, model.x.kind) : Number.NaN;
    return main.map(series => {
      const y = valueAt(series, at, model.x.kind);
      const difference = reference && series !== reference && model.differenceText ? model.differenceText(y, base) : '';
      return { series, y, text: model.yText(y), difference };
    });
  }

  #pointer = (event: PointerEvent): void => {
    if (!this.model || !this.frame) return;
    const { sx, sy } = this.#scales(this.model, this.frame);
    const box = this.renderRoot.querySelector('.sheet')!.getBoundingClientRect();
    const px = event.clientX - box.left;
    if (px < sx.start - 12 || px > sx.end + 12 || event.clientY - box.top > sy.start + 24) return;
    // a mark close by wins over the nearest point: nulls can be read without aiming
    const mark = this.model.marks.find(one => Math.abs(sx.place(one.x) - px) < 4);
    this.#put(mark ? mark.x : sx.value(px), false);
  };

  #leave = (event: PointerEvent): void => {
    if (event.pointerType === 'mouse' && !this.renderRoot.querySelector('.sheet:focus-visible')) this.cursor = null;
  };

  #key = (event: KeyboardEvent): void => {
    const { model } = this;
    const lead = this.#lead();
    if (!model || !lead?.length || event.ctrlKey || event.metaKey || event.altKey) return;
    const { from, to, kind } = model.x;
    const bars = model.series.some(one => one.shape === 'bars');
    const now = this.cursor ?? (kind === 'log' ? Math.sqrt(from * to) : (from + to) / 2);
    const step = (sign: number, octaves: number, share: number) =>
      kind === 'log' ? now * 2 ** (sign * octaves) : now + sign * (to - from) * share;
    const point = (sign: number) => lead[Math.min(lead.length - 1, Math.max(0, nearest(lead, now, kind) + sign))];
    const sign = event.key === 'ArrowRight' || event.key === 'ArrowUp' || event.key === 'PageUp' ? 1 : -1;
    if (event.key.startsWith('Arrow'))
      this.#put(event.shiftKey || bars ? point(sign) : step(sign, 1 / 12, 1 / 60), true);
    else if (event.key === 'PageUp' || event.key === 'PageDown') this.#put(step(sign, 1, 1 / 8), true);
    else if (event.key === 'Home') this.#put(from, true);
    else if (event.key === 'End') this.#put(to, true);
    else if (event.key === 'Escape' && this.cursor !== null) this.cursor = null;
    else return;
    event.preventDefault();
  };

  #path(series: PlotSeries, sx: Scale, sy: Scale, bars: { width: number; shift: number } | null): string {
    const { x, y } = series.drawn ?? series;
    const key = [sx.kind, sx.from, sx.to, sx.end, sy.kind, sy.from, sy.to, sy.start, bars?.width, bars?.shift].join();
    const known = this.#paths.get(y);
    if (known?.key === key) return known.d;
    const d = bars ? barsPath(x, y, sx, sy, bars.width, bars.shift) : linePath(x, y, sx, sy);
    this.#paths.set(y, { key, d });
    return d;
  }

  #ground(model: PlotModel, sx: Scale, sy: Scale, rem: number) {
    const across = sx.end - sx.start;
    const up = sy.start - sy.end;
    const xTicks =
      model.x.kind === 'log' ? logTicks(model.x, across) : linearTicks(model.x, across, 2.4 * rem, model.x.steps);
    const yTicks =
      model.y.kind === 'log' ? logTicks(model.y, up * 1.6) : linearTicks(model.y, up, 2.4 * rem, model.y.steps);
    const vertical = (value: number) => `M${Math.round(sx.place(value)) + 0.5} ${sy.end}V${sy.start}`;
    const horizontal = (value: number) => `M${sx.start} ${Math.round(sy.place(value)) + 0.5}H${sx.end}`;
    const strong = (ticks: typeof xTicks) => ticks.filter(tick => tick.label);
    const fine = (ticks: typeof xTicks) => ticks.filter(tick => !tick.label);
    const labels = strong(xTicks).filter(tick => sx.place(tick.value) <= sx.end - (model.x.unit ? 2.2 * rem : 0));
    return svg`
      <rect x=${sx.start} y=${sy.end} width=${across} height=${up} fill="none" class="frame" />
      <path class="ruling fine" d=${
        fine(xTicks)
          .map(t => vertical(t.value))
          .join('') +
        fine(yTicks)
          .map(t => horizontal(t.value))
          .join('')
      } />
      <path class="ruling" d=${
        strong(xTicks)
          .map(t => vertical(t.value))
          .join('') +
        strong(yTicks)
          .map(t => horizontal(t.value))
          .join('')
      } />
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
  #bands(model: PlotModel, sx: Scale, sy: Scale, rem: number, labels: boolean) {
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

  #curves(model: PlotModel, sx: Scale, sy: Scale) {
    const main = model.series.filter(one => one.shape === 'bars' && !one.quiet);
    // bars of one place share three quarters of the room to the next
    const slot = main.length && sx.kind === 'linear' ? (0.76 * Math.abs(sx.place(1) - sx.place(0))) / main.length : 0;
    return model.series.map(one => {
      const index = main.indexOf(one);
      const bars =
        one.shape === 'bars' ? { width: Math.max(1, slot - 1), shift: (index - (main.length - 1) / 2) * slot } : null;
      return svg`<path
        class=${bars ? 'bars' : one.quiet ? 'curve quiet' : 'curve'}
        d=${this.#path(one, sx, sy, bars)}
        style=${bars ? `stroke:${one.colour};fill:${one.colour}` : `stroke:${one.colour}`}
        stroke-dasharray=${one.dash && !(bars && slot < 6) ? one.dash : nothing}
      />`;
    });
  }

  #labels(model: PlotModel, sx: Scale, sy: Scale, rem: number) {
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

  #marks(model: PlotModel, sx: Scale, sy: Scale, rem: number) {
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

  #cursorLayer(model: PlotModel, sx: Scale, sy: Scale, rem: number) {
    const at = this.cursor;
    if (at === null || at < sx.from || at > sx.to) return nothing;
    const px = sx.place(at);
    const rows = this.#readings(model, at);
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

  #table(model: PlotModel) {
    const main = model.series.filter(one => !one.quiet);
    const reference = main.find(one => one.key === model.reference);
    const compared = model.differenceText && reference ? main.filter(one => one !== reference) : [];
    const text = (value: number) => (Number.isNaN(value) ? '–' : model.yText(value));
    return html`<div class="scroll" role="region" tabindex="0" aria-label=${words.plot.tableOf(model.title)}>
      <table>
        <caption class="reader">${model.title}</caption>
        <thead>
          <tr>
            <th scope="col">${model.x.label}</th>
            ${main.map(one => html`<th scope="col" style=${`color:${one.colour}`}>${one.label}</th>`)}
            ${compared.map(one => html`<th scope="col">${words.plot.difference(one.label, reference!.label)}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${model.rows.map(row => {
            const values = new Map(main.map(one => [one, valueAt(one, row.x, model.x.kind)]));
            const base = reference ? values.get(reference)! : Number.NaN;
            return html`<tr>
              <th scope="row">${row.label}</th>
              ${main.map(one => html`<td>${text(values.get(one)!)}</td>`)}
              ${compared.map(one => html`<td>${model.differenceText!(values.get(one)!, base)}</td>`)}
            </tr>`;
          })}
        </tbody>
      </table>
    </div>`;
  }

  override render() {
    const { model, frame } = this;
    if (!model) return nothing;
    if (this.figures) return this.#table(model);
    if (!frame) return html`<div class="sheet"></div>`;
    const { width, height, rem } = frame;
    const { sx, sy } = this.#scales(model, frame);
    const axes = [width, height, rem, JSON.stringify([model.x, model.y])];
    return html`
      <div
        class="sheet"
        tabindex="0"
        role="application"
        aria-roledescription=${words.plot.role}
        aria-label=${model.title}
        aria-describedby="keys"
        @pointermove=${this.#pointer}
        @pointerdown=${this.#pointer}
        @pointerleave=${this.#leave}
        @keydown=${this.#key}
      >
        <svg width=${width} height=${height} viewBox=${`0 0 ${width} ${height}`} aria-hidden="true">
          <defs>
            <clipPath id=${this.#clip}>
              <rect x=${sx.start} y=${sy.end} width=${sx.end - sx.start} height=${sy.start - sy.end} />
            </clipPath>
          </defs>
          ${guard([...axes, model.bands], () => this.#bands(model, sx, sy, rem, false))}
          ${guard(axes, () => this.#ground(model, sx, sy, rem))}
          <g clip-path=${`url(#${this.#clip})`}>
            ${guard([...axes, ...model.series.flatMap(one => [one.y, one.drawn, one.colour, one.dash, one.quiet])], () => this.#curves(model, sx, sy))}
          </g>
          ${guard([...axes, model.bands], () => this.#bands(model, sx, sy, rem, true))}
          ${guard([...axes, ...model.marks], () => this.#marks(model, sx, sy, rem))}
          ${guard([...axes, ...model.series.flatMap(one => [one.y, one.label])], () => this.#labels(model, sx, sy, rem))}
          ${this.#cursorLayer(model, sx, sy, rem)}
        </svg>
      </div>
      <p id="keys" class="reader">${words.plot.keys}</p>
      <p class="reader" role="status">${this.spoken}</p>
    `;
  }
}
customElements.define('cc-plot', Plot);
declare global {
  interface HTMLElementTagNameMap {
    'cc-plot': Plot;
  }
}
