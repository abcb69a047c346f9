/**
 * A ruler instead of a slider: a scale with one triangle for each build's value. The heard build's is filled and moves,
 * by drag, by a press on the scale and by keys (arrows; Shift: a tenth; Page: ten steps; Home, End).
 *
 * @fires quantity CustomEvent<QuantityDetail> for each move
 * @fires settled when a drag ends
 */
import { css, html, LitElement, nothing } from 'lit';
import type { Letter } from '../../shared/document/sheet.ts';
import { colourOf } from './builds.ts';
import type { QuantityDetail } from './quantity.ts';
import { shared } from './styles.ts';

export interface RulerMark {
  letter: Letter;
  value: number;
}

const NICE = [1, 2, 5];

/** Labelled steps of a ruler over `span` display units: 1, 2 or 5 times a power of ten, at most `most` of them. */
export function rulerStep(span: number, most: number): number {
  let power = 10 ** Math.floor(Math.log10(span / most));
  for (;;) {
    for (const n of NICE) if (span / (n * power) <= most + 1e-9) return n * power;
    power *= 10;
  }
}

export class Ruler extends LitElement {
  static override properties = {
    label: {},
    value: { type: Number },
    range: { attribute: false },
    step: { type: Number },
    factor: { type: Number },
    unit: {},
    text: { attribute: false },
    letter: {},
    marks: { attribute: false },
    most: { type: Number },
    dragging: { state: true },
  };
  declare label: string;
  /** SI. */
  declare value: number;
  /** Ends of the scale in SI. */
  declare range: readonly [number, number];
  /** One arrow key, SI. */
  declare step: number;
  /** SI value of one unit of the scale. */
  declare factor: number;
  declare unit: string;
  /** The value in words, for `aria-valuetext`. */
  declare text: (value: number) => string;
  /** The heard build. */
  declare letter: Letter;
  /** Values of the other builds. */
  declare marks: readonly RulerMark[];
  /** Most labels on the scale. */
  declare most: number;
  declare dragging: boolean;

  static override styles = [
    shared,
    css`
      .ruler {
        position: relative; height: 3.1rem; margin: 0 0.9rem; cursor: ew-resize; touch-action: pan-y; user-select: none;
        -webkit-user-select: none;
      }
      .line { position: absolute; left: 0; right: 0; top: 1.15rem; border-top: 1.5px solid var(--ink); }
      .tick { position: absolute; top: 1.15rem; width: 1px; height: 0.28rem; background: var(--soft); }
      .tick.long { height: 0.5rem; background: var(--ink); }
      .tick span {
        position: absolute; top: 0.55rem; left: 0; transform: translateX(-50%); white-space: nowrap; color: var(--soft);
        font: 0.85rem var(--narrow);
      }
      svg { position: absolute; top: 0; width: 1.15rem; height: 1.15rem; margin-left: -0.575rem; overflow: visible; }
      .mark { opacity: 0.95; }
      .letter { font: 600 9px var(--ui); text-anchor: middle; }
      @media (pointer: coarse) { .ruler { height: 44px; } }
      @media (forced-colors: active) { .line, .tick { background: CanvasText; border-color: CanvasText; } svg { forced-color-adjust: none; } }
    `,
  ];

  #gesture = '';

  constructor() {
    super();
    this.label = '';
    this.value = 0;
    this.range = [0, 1];
    this.step = 0.1;
    this.factor = 1;
    this.unit = '';
    this.text = value => String(value);
    this.letter = 'A';
    this.marks = [];
    this.most = 5;
    this.dragging = false;
  }

  #share(value: number): number {
    const [low, high] = this.range;
    return Math.min(1, Math.max(0, (value - low) / (high - low))) * 100;
  }

  #send(value: number, gesture: string): void {
    const [low, high] = this.range;
    const steps = Math.round(value / (this.step / 10));
    const snapped = Math.min(high, Math.max(low, Number((steps * (this.step / 10)).toPrecision(10))));
    if (snapped === this.value) return;
    this.dispatchEvent(
      new CustomEvent<QuantityDetail>('quantity', {
        detail: { value: snapped, gesture, text: null },
        bubbles: true,
        composed: true,
      }),
    );
  }

  #to(event: PointerEvent, fine: boolean): void {
    const box = this.renderRoot.querySelector('.ruler')!.getBoundingClientRect();
    const [low, high] = this.range;
    const raw = low + ((event.clientX - box.left) / box.width) * (high - low);
    const grid = fine ? this.step / 10 : this.step;
    this.#send(Math.round(raw / grid) * grid, this.#gesture);
  }

  #down(event: PointerEvent): void {
    if (event.button !== 0) return;
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    this.#gesture = `${this.label}@${performance.now()}`;
    this.dragging = true;
    this.#to(event, event.shiftKey);
  }

  #move(event: PointerEvent): void {
    if (this.dragging) this.#to(event, event.shiftKey);
  }

  #up(): void {
    if (!this.dragging) return;
    this.dragging = false;
    this.dispatchEvent(new CustomEvent('settled', { bubbles: true, composed: true }));
  }

  #key(event: KeyboardEvent): void {
    const [low, high] = this.range;
    const size = this.step * (event.shiftKey ? 0.1 : 1);
    const moves: Record<string, number> = {
      ArrowRight: this.value + size,
      ArrowUp: this.value + size,
      ArrowLeft: this.value - size,
      ArrowDown: this.value - size,
      PageUp: this.value + 10 * this.step,
      PageDown: this.value - 10 * this.step,
      Home: low,
      End: high,
    };
    const next = moves[event.key];
    if (next === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    this.#send(next, `keys ${this.label}`);
  }

  #triangle(letter: Letter, value: number, own: boolean) {
    const colour = colourOf(letter);
    return html`<svg class=${own ? 'own' : 'mark'} style="left:${this.#share(value)}%" viewBox="0 0 16 16" aria-hidden="true">
      <path d="M2 3H14L8 15Z" fill=${own ? colour : 'var(--panel)'} stroke=${colour} stroke-width="1.6" />
    </svg>`;
  }

  override render() {
    const [low, high] = this.range;
    const span = (high - low) / this.factor;
    const step = rulerStep(span, this.most);
    const minor = step / 5;
    const count = Math.floor(span / minor + 1e-9);
    const first = low / this.factor;
    return html`<div
      class="ruler"
      role="slider"
      tabindex="0"
      aria-label=${this.label}
      aria-valuemin=${low / this.factor}
      aria-valuemax=${high / this.factor}
      aria-valuenow=${Number((this.value / this.factor).toPrecision(6))}
      aria-valuetext=${this.text(this.value)}
      @pointerdown=${this.#down}
      @pointermove=${this.#move}
      @pointerup=${this.#up}
      @pointercancel=${this.#up}
      @keydown=${this.#key}
    >
      <div class="line"></div>
      ${Array.from({ length: count + 1 }, (_, i) => {
        const at = first + i * minor;
        const long = i % 5 === 0;
        return html`<div class="tick ${long ? 'long' : ''}" style="left:${(i * minor * 100) / span}%">
          ${long ? html`<span>${Number(at.toPrecision(6))}${this.unit ? ` ${this.unit}` : ''}</span>` : nothing}
        </div>`;
      })}
      ${this.marks.map(mark => this.#triangle(mark.letter, mark.value, false))}
      ${this.#triangle(this.letter, this.value, true)}
    </div>`;
  }
}
customElements.define('cc-ruler', Ruler);
declare global {
  interface HTMLElementTagNameMap {
    'cc-ruler': Ruler;
  }
}
