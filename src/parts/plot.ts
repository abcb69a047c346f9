/**
 * `<cc-plot>`: curves or bars over a log or linear axis, drawn as SVG.
 *
 * A cursor that snaps to the first curve reads every series exactly: by pointer, or by keyboard when the plot has the
 * focus (arrows; Shift: one point of the curve; Page keys: an octave; Home, End; Escape hides it). `figures` shows the
 * same plot as a table. `toSvg`, `toPng` and `toCsv` give it as a file.
 */
import { html, LitElement, nothing, type PropertyValues } from 'lit';
import { guard } from 'lit/directives/guard.js';
import { words } from '../words/readings-words.ts';
import { plotCsv } from './plot-csv.ts';
import { cursorLayer, readingsAt } from './plot-cursor.ts';
import { plotSvg, svgToPng } from './plot-export.ts';
import { bandLayer, curveLayer, groundLayer, labelLayer, markLayer } from './plot-layers.ts';
import type { PlotModel, PlotSeries } from './plot-model.ts';
import { barsPath, linePath } from './plot-path.ts';
import { nearest, type Scale, scaleOf } from './plot-scale.ts';
import { plotStyles } from './plot-styles.ts';
import { plotTable } from './plot-table.ts';
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

  static override styles = [shared, plotStyles];

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
    if (!this.model) throw new RangeError('nothing is plotted');
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
      const values = readingsAt(model, cursor).map(({ series, text, difference }) =>
        difference ? `${series.label} ${text}, ${words.plot.differs(difference)}` : `${series.label} ${text}`,
      );
      this.spoken = `${model.xText(cursor)}: ${values.join('; ')}`;
    }, 200);
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

  /** A curve's path, worked out once for each curve and frame. */
  #path = (series: PlotSeries, sx: Scale, sy: Scale, bars: { width: number; shift: number } | null): string => {
    const { x } = series.drawn ?? series;
    const y = series.moved?.y ?? (series.drawn ?? series).y;
    const key = [sx.kind, sx.from, sx.to, sx.end, sy.kind, sy.from, sy.to, sy.start, bars?.width, bars?.shift].join();
    const known = this.#paths.get(y);
    if (known?.key === key) return known.d;
    const d = bars ? barsPath(x, y, sx, sy, bars.width, bars.shift) : linePath(x, y, sx, sy);
    this.#paths.set(y, { key, d });
    return d;
  };

  override render() {
    const { model, frame } = this;
    if (!model) return nothing;
    if (this.figures) return plotTable(model);
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
          ${guard([...axes, model.bands], () => bandLayer(model, sx, sy, rem, false))}
          ${guard(axes, () => groundLayer(model, sx, sy, rem))}
          <g clip-path=${`url(#${this.#clip})`}>
            ${guard([...axes, ...model.series.flatMap(one => [one.y, one.drawn, one.colour, one.dash, one.quiet])], () => curveLayer(model, sx, sy, this.#path))}
          </g>
          ${guard([...axes, model.bands], () => bandLayer(model, sx, sy, rem, true))}
          ${guard([...axes, ...model.marks], () => markLayer(model, sx, sy, rem))}
          ${guard([...axes, ...model.series.flatMap(one => [one.y, one.label])], () => labelLayer(model, sx, sy, rem))}
          ${cursorLayer(model, this.cursor, sx, sy, rem)}
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
