/**
 * `<cc-schematic>`: the network of the heard build, drawn from the network itself. Values are edited where they stand: a
 * press or Enter on one opens a field in its place. `toSvg` gives the drawing as a file.
 */
import { css, html, nothing, svg, type TemplateResult } from 'lit';
import { guard } from 'lit/directives/guard.js';
import { type Drawing, type DrawnLabel, drawSchematic } from '../../../shared/circuit/drawing/drawing.ts';
import { STROKE, schematicSvg, TYPE, wirePath } from '../../../shared/circuit/drawing/drawing-svg.ts';
import { CircuitError } from '../../../shared/circuit/elements.ts';
import { harnessNetlist } from '../../../shared/circuit/netlist.ts';
import { undrawnValues } from '../../../shared/circuit/part-values.ts';
import type { Build } from '../../../shared/document/build.ts';
import { numberAt } from '../../../shared/document/pointer.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { saveFile } from '../../parts/plot-export.ts';
import type { QuantityDetail, QuantityField } from '../../parts/quantity.ts';
import { heard, view } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { editAt } from './edits.ts';
import '../../parts/quantity.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';

/** Pixels of a rem at which one unit of the drawing is one pixel. */
const REM = 15;

export class Schematic extends SignalElement {
  static override properties = { frame: { state: true }, editing: { state: true }, list: { state: true } };
  declare frame: { width: number; scale: number } | null;
  /** Pointer of the value that is being edited; null: none. */
  declare editing: string | null;
  /** Shows the parts as a table instead of the drawing. */
  declare list: boolean;

  static override styles = [
    shared,
    css`
      .head { display: flex; align-items: center; gap: 0.8rem; color: var(--soft); font: 0.9rem var(--narrow); margin-bottom: 0.2rem; }
      .head span { flex: 1; }
      .head button { padding: 0.05rem 0.5rem; min-height: 1.7rem; }
      .sheet { position: relative; overflow-x: auto; }
      svg { display: block; font-family: var(--narrow); fill: none; }
      .wire, .line { stroke: var(--ink); }
      .wire { stroke-linecap: square; }
      .faint { stroke: var(--faint); }
      .frame { stroke: var(--faint); stroke-dasharray: 5 3; }
      .dot, .filled { fill: var(--ink); stroke: none; }
      .terminal { fill: var(--panel); }
      text { fill: var(--soft); stroke: none; font-variant-numeric: tabular-nums; }
      text.value { fill: var(--ink); }
      .edit { cursor: text; outline: none; }
      .edit rect { fill: transparent; stroke: none; }
      .edit line { stroke: var(--faint); stroke-dasharray: 1.5 2.5; }
      .edit:hover rect, .edit:focus-visible rect { fill: var(--field); stroke: var(--ink); stroke-width: 1.5; }
      cc-quantity { position: absolute; z-index: 2; width: 7.5rem; background: var(--panel); padding: 0.3rem; border: 1px solid var(--ink); }
      .wrong { color: var(--wrong); }
      @media (pointer: coarse) { .head button { min-height: 44px; } }
      @media (forced-colors: active) {
        .wire, .line, .frame { stroke: CanvasText; }
        .dot, .filled, text, text.value { fill: CanvasText; }
        .terminal { fill: Canvas; }
      }
      @media print { .head button { display: none; } .edit line { display: none; } }
    `,
  ];

  #resize: ResizeObserver | undefined;
  #drawing: Drawing | null = null;

  constructor() {
    super();
    this.frame = null;
    this.editing = null;
    this.list = false;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.#resize = new ResizeObserver(entries => {
      const { width } = entries[entries.length - 1].contentRect;
      const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) || REM;
      const now = this.frame;
      if (width >= 1 && (!now || Math.abs(now.width - width) >= 1 || now.scale !== rem / REM))
        this.frame = { width, scale: rem / REM };
    });
    this.#resize.observe(this);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#resize?.disconnect();
  }

  /** The drawing as an SVG document, rows `width` px wide. */
  toSvg(width = 1000): string {
    return schematicSvg(drawSchematic(heard.peek(), width));
  }

  #last: { parts: readonly unknown[]; drawing: Drawing } | null = null;
  /** The drawing, the same one for as long as nothing has changed but where pickups stand. */
  #drawn(build: Build, width: number): Drawing {
    const parts = [
      width,
      build.harness,
      build.outputs,
      ...build.pickups.flatMap(({ position: _x, slant: _turn, height: _gap, ...rest }) => Object.values(rest)),
    ];
    const same = this.#last?.parts.length === parts.length && this.#last.parts.every((part, i) => part === parts[i]);
    if (!same) this.#last = { parts, drawing: drawSchematic(build, width) };
    return this.#last!.drawing;
  }

  #open(pointer: string): void {
    this.editing = pointer;
    void this.updateComplete.then(() => {
      const field = this.renderRoot.querySelector<QuantityField>('cc-quantity');
      void field?.updateComplete.then(() => field.renderRoot.querySelector('input')?.focus());
    });
  }

  #close(refocus: boolean): void {
    const pointer = this.editing;
    this.editing = null;
    if (refocus && pointer)
      void this.updateComplete.then(() =>
        this.renderRoot.querySelector<SVGElement>(`[data-pointer="${pointer}"]`)?.focus(),
      );
  }

  #label(label: DrawnLabel): TemplateResult {
    const { size, weight } = TYPE[label.tone];
    const text = svg`<text class=${label.tone} x=${label.x} y=${label.y} text-anchor=${label.anchor} font-size=${size}
      font-weight=${weight}>${label.text}</text>`;
    const { edit, box } = label;
    if (!edit) return text;
    const spoken = words.editValue(
      edit.what,
      label.text,
      formatQuantity(numberAt(heard.value, edit.pointer), edit.kind, view.value.units),
    );
    return svg`<g class="edit" role="button" tabindex="0" aria-label=${spoken} data-pointer=${edit.pointer}
      @click=${() => this.#open(edit.pointer)}
      @keydown=${(event: KeyboardEvent) => {
        if (event.key !== 'Enter' && event.key !== ' ') return;
        event.preventDefault();
        this.#open(edit.pointer);
      }}>
      <rect x=${box.x - 4} y=${box.y - 3} width=${box.width + 6} height=${box.height + 6} />
      <line x1=${box.x} x2=${box.x + box.width - 4} y1=${label.y + 3} y2=${label.y + 3} />
      ${text}
    </g>`;
  }

  #field(drawing: Drawing, scale: number): TemplateResult {
    const at = drawing.labels.find(l => l.edit?.pointer === this.editing);
    if (!at?.edit) return html`${nothing}`;
    const { pointer, kind, range, what } = at.edit;
    const left = Math.max(0, Math.min(at.box.x, drawing.width - 118));
    return html`<cc-quantity
      compact
      style="left:${left * scale}px;top:${(at.box.y - 10) * scale}px"
      .label=${what}
      .kind=${kind}
      .units=${view.value.units}
      .value=${numberAt(heard.value, pointer)}
      .range=${range}
      @quantity=${(event: CustomEvent<QuantityDetail>) =>
        editAt(words.changeStep(what), pointer, event.detail.value, event.detail.gesture)}
      @keydown=${(event: KeyboardEvent) => {
        const field = event.currentTarget as QuantityField;
        if (event.key === 'Escape') this.#close(true);
        else if (event.key === 'Enter') setTimeout(() => field.message === '' && this.#close(true));
      }}
      @focusout=${(event: FocusEvent) => {
        const field = event.currentTarget as QuantityField;
        setTimeout(() => field.message === '' && this.editing === pointer && this.#close(false));
      }}
    ></cc-quantity>`;
  }

  #lines(drawing: Drawing): TemplateResult {
    return svg`${drawing.frames.map(
      f => svg`<rect class="frame" x=${f.x} y=${f.y} width=${f.width} height=${f.height} />`,
    )}
      ${drawing.wires.map(w => svg`<path class="wire ${w.weight}" stroke-width=${STROKE[w.weight]} d=${wirePath(w)} />`)}
      ${drawing.symbols.map(
        s => svg`<path class="line ${s.kind} ${s.weight}" stroke-width=${STROKE[s.weight]} d=${s.line} />
          ${s.fill ? svg`<path class="filled" d=${s.fill} />` : nothing}`,
      )}
      ${drawing.dots.map(d => svg`<circle class="dot" cx=${d.x} cy=${d.y} r="2.8" />`)}
      ${drawing.labels.map(l => this.#label(l))}`;
  }

  /** Every part of the build, those of pickups that are not connected too. */
  #parts(drawing: Drawing): TemplateResult {
    const drawn = drawing.labels.flatMap(({ edit }) => (edit ? [edit] : []));
    return html`<table>
      <thead><tr><th scope="col">${words.parts.part}</th><th scope="col">${words.parts.value}</th></tr></thead>
      <tbody>
        ${[...drawn, ...undrawnValues(heard.value, drawn)].map(
          ({ pointer, kind, what }) => html`<tr>
            <td>${words.placeOf(heard.value, pointer)} ${what}</td>
            <td>${formatQuantity(numberAt(heard.value, pointer), kind, view.value.units)}</td>
          </tr>`,
        )}
      </tbody>
    </table>`;
  }

  override render() {
    const build = heard.value;
    const frame = this.frame;
    if (!frame) return html`<div class="head"><span>${words.schematic}</span></div>`;
    const { scale } = frame;
    try {
      this.#drawing = this.#drawn(build, Math.floor(frame.width / scale));
    } catch (error) {
      if (!(error instanceof CircuitError)) throw error;
      return html`<p class="wrong" role="alert">${words.openNetwork(error.message)}</p>`;
    }
    const drawing = this.#drawing;
    return html`<div class="head">
        <span>${words.schematic}</span>
        <button aria-pressed=${this.list} @click=${() => {
          this.list = !this.list;
        }}>${words.schematicData}</button>
        <button @click=${() => saveFile({ name: words.netlistFile, content: harnessNetlist(build).text })}>${words.netlist}</button>
        <button aria-label=${words.saveDrawing} @click=${() => saveFile({ name: words.drawingFile, content: this.toSvg(), type: 'image/svg+xml' })}>SVG</button>
      </div>
      ${
        this.list
          ? this.#parts(drawing)
          : html`<div class="sheet">
              <svg role="group" aria-label=${words.schematicDrawing} width=${drawing.width * scale} height=${drawing.height * scale}
                viewBox="0 0 ${drawing.width} ${drawing.height}">
                ${guard([drawing, view.value.units], () => this.#lines(drawing))}
              </svg>
              ${this.editing ? this.#field(drawing, scale) : nothing}
            </div>`
      }`;
  }
}
customElements.define('cc-schematic', Schematic);
declare global {
  interface HTMLElementTagNameMap {
    'cc-schematic': Schematic;
  }
}
