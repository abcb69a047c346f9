/** The take as a line of time: its shape, where the sound stands, and the part that is looped, by hand, keys or numbers. */
import { css, html, nothing, svg } from 'lit';
import type { QuantityDetail } from '../parts/quantity.ts';
import { takes } from '../workers/shipped-takes.ts';
import '../parts/quantity.ts';
import { setLoop } from '../../shared/document/edits/sheet.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { ownTakes } from '../state/own-recordings.ts';
import { editSheet, store, view } from '../state/page.ts';
import { duration, host, playing, seek } from '../state/sound.ts';
import { currentTake } from '../state/take.ts';
import { words } from '../words/dock-words.ts';
import { envelope, outline } from './waveform.ts';

const WAVE = { width: 480, height: 64, columns: 240 };
/** Shortest loop that can be set, s. */
const SHORTEST = 0.1;
type End = 'from' | 'to';

export class Wave extends SignalElement {
  static override properties = { now: { state: true } };
  /** Position in the take, s. */
  declare now: number;
  #frame = 0;
  #drag: { from: number; pointer: number } | null = null;
  #shape: { channels: readonly Float32Array[] | null; path: string } = { channels: null, path: '' };

  static override styles = [
    shared,
    css`
      .line { position: relative; }
      svg { display: block; width: 100%; height: 2.5rem; cursor: crosshair; touch-action: pan-y; }
      .shape { fill: var(--soft); }
      .outside { fill: var(--panel); opacity: 0.65; }
      .loop { fill: none; stroke: var(--ink); stroke-dasharray: 3 3; vector-effect: non-scaling-stroke; }
      .head { stroke: var(--build-b); stroke-width: 2; vector-effect: non-scaling-stroke; }
      .handle {
        position: absolute; top: 0; bottom: 0; width: 24px; margin-left: -12px; cursor: ew-resize; touch-action: none;
      }
      .handle::before { content: ''; position: absolute; inset: 0; margin: auto; width: 3px; background: var(--ink); }
      @media (pointer: coarse) { .handle { width: 44px; margin-left: -22px; } }
      .under { display: flex; gap: 0 0.3rem; align-items: center; min-height: 1.7rem; margin-top: 0.15rem; white-space: nowrap; }
      cc-quantity { width: 4.4rem; position: relative; }
      cc-quantity::part(input) { min-height: 1.65rem; min-width: 0; padding: 0 0.35rem; }
      cc-quantity::part(message) {
        position: absolute; bottom: 100%; left: 0; width: 16rem; white-space: normal; background: var(--panel);
        border: 1px solid var(--wrong); padding: 0.3rem 0.5rem; z-index: 2;
      }
      .whole { padding: 0; min-width: 24px; min-height: 1.65rem; }
      .ends { display: flex; gap: 0.25rem; align-items: center; }
      @media (forced-colors: active) { .handle::before { background: CanvasText; } }
    `,
  ];

  constructor() {
    super();
    this.now = 0;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    const tick = () => {
      if (playing.peek()) this.now = host.position();
      this.#frame = requestAnimationFrame(tick);
    };
    tick();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    cancelAnimationFrame(this.#frame);
  }

  /** The looped part: what the sheet says, or the whole take. */
  get #loop(): { from: number; to: number } {
    const all = duration.value;
    const loop = store.sheet.value.loop;
    const to = Math.min(loop?.to ?? all, all);
    return { from: Math.min(loop?.from ?? 0, Math.max(0, to - SHORTEST)), to };
  }

  #set(loop: { from: number; to: number }, gesture: string): void {
    editSheet(words.loopStep, sheet => setLoop(sheet, loop), gesture);
  }

  #setEnd(end: End, seconds: number, gesture: string): void {
    const all = duration.peek();
    const { from, to } = this.#loop;
    if (end === 'from') this.#set({ from: Math.max(0, Math.min(seconds, to - SHORTEST)), to }, gesture);
    else this.#set({ from, to: Math.min(all, Math.max(seconds, from + SHORTEST)) }, gesture);
  }

  #secondsAt(event: PointerEvent): number {
    const box = this.renderRoot.querySelector('.line')!.getBoundingClientRect();
    return Math.min(1, Math.max(0, (event.clientX - box.left) / box.width)) * duration.peek();
  }

  #down = (event: PointerEvent): void => {
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    this.#drag = { from: this.#secondsAt(event), pointer: event.pointerId };
  };

  #move = (event: PointerEvent): void => {
    if (this.#drag?.pointer !== event.pointerId) return;
    const to = this.#secondsAt(event);
    const [a, b] = [Math.min(this.#drag.from, to), Math.max(this.#drag.from, to)];
    if (b - a > SHORTEST) this.#set({ from: a, to: b }, 'drag loop');
  };

  #up = (event: PointerEvent): void => {
    if (!this.#drag) return;
    const at = this.#secondsAt(event);
    if (Math.abs(at - this.#drag.from) <= SHORTEST) {
      this.now = at;
      seek(at);
    } else store.look({ looping: true });
    store.endGesture();
    this.#drag = null;
  };

  #key = (event: KeyboardEvent): void => {
    const step = event.shiftKey ? 0.1 : 0.5;
    const to = { ArrowLeft: this.now - step, ArrowRight: this.now + step, Home: 0, End: duration.peek() - 0.2 }[
      event.key
    ];
    if (to === undefined) return;
    event.preventDefault();
    this.now = Math.max(0, Math.min(duration.peek(), to));
    seek(this.now);
  };

  #handleKey(end: End, event: KeyboardEvent): void {
    const step = event.shiftKey ? 0.01 : 0.1;
    const at = this.#loop[end];
    const to = { ArrowLeft: at - step, ArrowDown: at - step, ArrowRight: at + step, ArrowUp: at + step }[event.key];
    const edge = { Home: end === 'from' ? 0 : this.#loop.from, End: end === 'to' ? duration.peek() : this.#loop.to }[
      event.key
    ];
    const next = to ?? edge;
    if (next === undefined) return;
    event.preventDefault();
    this.#setEnd(end, next, `loop ${end}`);
  }

  #handle(end: End) {
    const all = duration.value || 1;
    const { from, to } = this.#loop;
    const value = end === 'from' ? from : to;
    const move = (event: PointerEvent) => {
      if (this.#drag?.pointer === event.pointerId) this.#setEnd(end, this.#secondsAt(event), `drag loop ${end}`);
    };
    const up = () => {
      this.#drag = null;
      store.endGesture();
    };
    return html`<div
      class="handle"
      role="slider"
      tabindex="0"
      style="left:${(value / all) * 100}%"
      aria-label=${end === 'from' ? words.loopStart : words.loopEnd}
      aria-valuemin=${(end === 'from' ? 0 : from + SHORTEST).toFixed(2)}
      aria-valuemax=${(end === 'from' ? to - SHORTEST : duration.value).toFixed(2)}
      aria-valuenow=${value.toFixed(2)}
      aria-valuetext=${words.seconds(value)}
      @keydown=${(event: KeyboardEvent) => this.#handleKey(end, event)}
      @pointerdown=${this.#down}
      @pointermove=${move}
      @pointerup=${up}
      @pointercancel=${up}
    ></div>`;
  }

  #end(end: End, label: string) {
    return html`<cc-quantity
      compact
      label=${label}
      kind="time"
      .range=${end === 'from' ? [0, this.#loop.to - SHORTEST] : [this.#loop.from + SHORTEST, duration.value]}
      .value=${Number(this.#loop[end].toFixed(3))}
      .step=${0.1}
      @quantity=${({ detail }: CustomEvent<QuantityDetail>) => this.#setEnd(end, detail.value, detail.gesture)}
    ></cc-quantity>`;
  }

  #path(): string {
    const channels = currentTake.value?.channels ?? null;
    if (channels !== this.#shape.channels)
      this.#shape = {
        channels,
        path: channels ? outline(envelope(channels, WAVE.columns), WAVE.width, WAVE.height) : '',
      };
    return this.#shape.path;
  }

  override render() {
    const all = duration.value;
    const x = (s: number) => (s / (all || 1)) * WAVE.width;
    const { looping } = view.value;
    const marked = looping && all > 0;
    const { from, to } = this.#loop;
    const name = [...takes, ...ownTakes.value].find(take => take.id === store.sheet.value.take)?.name ?? '';
    return html`
      <div class="line">
        <svg
          viewBox="0 0 ${WAVE.width} ${WAVE.height}"
          preserveAspectRatio="none"
          role="slider"
          tabindex="0"
          aria-label=${words.waveform(name, all)}
          aria-valuemin="0"
          aria-valuemax=${all.toFixed(1)}
          aria-valuenow=${this.now.toFixed(1)}
          aria-valuetext=${words.time(this.now, all)}
          @pointerdown=${this.#down}
          @pointermove=${this.#move}
          @pointerup=${this.#up}
          @pointercancel=${this.#up}
          @keydown=${this.#key}
        >
          <path class="shape" d=${this.#path()} />
          ${
            marked
              ? svg`<rect class="outside" x="0" y="0" width=${x(from)} height=${WAVE.height} />
            <rect class="outside" x=${x(to)} y="0" width=${Math.max(0, WAVE.width - x(to))} height=${WAVE.height} />
            <rect class="loop" x=${x(from)} y="1" width=${Math.max(1, x(to) - x(from))} height=${WAVE.height - 2} />`
              : nothing
          }
          <line class="head" x1=${x(this.now)} x2=${x(this.now)} y1="0" y2=${WAVE.height} />
        </svg>
        ${marked ? [this.#handle('from'), this.#handle('to')] : nothing}
      </div>
      <div class="small number under">
        <span>${words.time(this.now, all)}</span>
        <label class="check">
          <input type="checkbox" .checked=${looping} @change=${() => store.look({ looping: !looping })} />${words.loop}
        </label>
        ${
          marked
            ? html`<span class="ends">${this.#end('from', words.loopStart)}<span aria-hidden="true">–</span>${this.#end('to', words.loopEnd)}</span>`
            : nothing
        }
        ${
          marked && store.sheet.value.loop
            ? html`<button class="plain whole" title=${words.wholeTake} aria-label=${words.wholeTake} @click=${() => editSheet(words.wholeStep, s => setLoop(s, null))}>×</button>`
            : nothing
        }
      </div>
    `;
  }
}
customElements.define('cc-wave', Wave);
