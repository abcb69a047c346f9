/**
 * The plan: the instrument from above, to scale, with the pickups of every build. Pickups, their slant and the pluck
 * point move by pointer and by keys; what is typed stands in the row below (`pickup-fields.ts`).
 */
import { css, html, nothing, type PropertyValues, svg } from 'lit';
import { guard } from 'lit/directives/guard.js';
import { repeat } from 'lit/directives/repeat.js';
import type { Build } from '../../../shared/document/build.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { positionLimits, slantLimits } from '../../../shared/sensor/limits.ts';
import { polePitch, stringAt, stringLine } from '../../../shared/sensor/placement.ts';
import { formatQuantity, type UnitSystem } from '../../../shared/units.ts';
import { colourOf, DASH } from '../../parts/builds.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { heard, heardPickup, slots, store, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { followPointer } from './drag.ts';
import { dimensions, drawDimensions, drawTags, type Placed, placed, tags } from './draw-dimensions.ts';
import { drawFrets, drawStrings, fretPoint, stringWeight } from './draw-instrument.ts';
import { drawPickup, slantHandle } from './draw-pickup.ts';
import { type Frame, frameFor, LANE, px, toInstrument, toScreen } from './frame.ts';
import { hear, movePickup, movePluck, slantPickup } from './moves.ts';
import { arrowStep, dimension, dimensionNumber } from './plan-figures.ts';
import { plucked, pluckRange, pluckStart } from './pluck.ts';
import { nodes, nodesOverCoils, speakingLength, wavePath } from './standing-wave.ts';
import './pickup-place-fields.ts';
import './wave-choice.ts';
import './plan-data.ts';

const DEGREE = Math.PI / 180;
const SLANT_STEP = 0.5 * DEGREE;

/** What has keyboard focus, so that it keeps it when the drawing order changes. */
const keyOf = (letter: Letter, pickup: string) => `${letter}/${pickup}`;

/** `touch-action` alone does not keep Chromium from panning when the finger is on a shape inside an SVG drawing. */
const keepTouch = (event: TouchEvent): void => event.preventDefault();

export class Plan extends SignalElement {
  static override properties = { room: { state: true }, dragging: { state: true } };
  /** CSS px that the plan is wide. */
  declare room: number;
  /** Gesture of the running drag; null: none. */
  declare dragging: string | null;

  static override styles = [
    shared,
    css`
      header { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0.1rem 1.2rem; }
      cc-wave-choice { margin-left: auto; }
      .scale-note { flex: 1 1 auto; font-size: 0.85rem; color: var(--soft); font-family: var(--narrow); }
      .sheet { display: flex; }
      .gutter { flex: none; display: block; }
      .scroller { flex: 1 1 0; min-width: 0; overflow-x: auto; overflow-y: hidden; scrollbar-width: thin; }
      .scroller:focus-visible { outline-offset: -2px; }
      .drawing { display: block; }
      svg text { font: 500 0.83rem var(--narrow); fill: var(--soft); font-variant-numeric: tabular-nums; }
      svg .saddle-line { stroke: var(--ink); stroke-width: 2; }
      svg .saddle-word { font-size: 0.8rem; }
      .string { stroke: var(--soft); }
      .string.chosen { stroke: var(--ink); }
      .own-saddle { fill: var(--ink); }
      .string-hit { stroke: transparent; stroke-width: 13; cursor: pointer; }
      .name { cursor: pointer; outline: none; }
      .name text { fill: var(--soft); }
      .name .box { fill: transparent; stroke: none; }
      .name[aria-checked='true'] text { fill: var(--ink); font-weight: 600; }
      .name[aria-checked='true'] .box { stroke: var(--ink); stroke-width: 1.5; }
      .name:focus-visible .box { stroke: var(--ink); stroke-width: 3; }
      .fretboard { fill: var(--panel); fill-opacity: 0.75; stroke: var(--hairline); }
      .fret { fill: none; stroke: var(--hairline); stroke-width: 1.2; }
      .fret.chosen { stroke: var(--safe); stroke-width: 2; }
      .fret-hit { fill: none; stroke: transparent; stroke-width: 9; cursor: pointer; }
      .nut { fill: none; stroke: var(--ink); stroke-width: 3; }
      svg .fret-number { font-size: 0.76rem; }
      svg .fret-number.chosen { fill: var(--safe); font-weight: 600; }
      .wave { fill: none; stroke: var(--safe); stroke-width: 1.8; stroke-dasharray: 1.5 3.5; stroke-linecap: round; pointer-events: none; }
      .node { fill: var(--paper); stroke: var(--safe); stroke-width: 1.4; pointer-events: none; }
      .node.over { fill: var(--safe); stroke: var(--paper); }
      .stop { fill: var(--safe); pointer-events: none; }
      .pickup { outline: none; color: var(--build); }
      .pickup .sensed { fill: var(--build); fill-opacity: 0.09; stroke: none; }
      .pickup .coil { fill: var(--build); fill-opacity: 0.03; stroke: var(--build); stroke-width: 1.2; stroke-dasharray: var(--dash); }
      .pickup .coil.below { fill: none; stroke-dasharray: 3 3; }
      .pickup .pole { fill: none; stroke: var(--build); stroke-width: 1; }
      .pickup .rail { stroke: var(--build); stroke-width: 2; }
      .pickup .hit { fill: transparent; stroke: none; }
      .pickup .ring { fill: none; stroke: none; pointer-events: none; }
      .pickup.other { cursor: pointer; opacity: 0.75; }
      .pickup.other:hover { opacity: 1; }
      .pickup.heard { cursor: ew-resize; touch-action: none; }
      .pickup.heard .sensed { fill-opacity: 0.16; }
      .pickup.heard .coil { fill-opacity: 0.08; stroke-width: 1.9; }
      .pickup.heard .pole { stroke-width: 1.6; }
      .pickup.selected .ring { stroke: var(--ink); stroke-width: 1.2; }
      .pickup:focus-visible .ring { stroke: var(--ink); stroke-width: 3; }
      .slant { outline: none; cursor: grab; touch-action: none; }
      .slant .dot { fill: var(--panel); stroke: var(--ink); stroke-width: 1.6; }
      .slant .hit { fill: transparent; }
      .slant:focus-visible .dot { stroke-width: 4; }
      svg .tag { fill: var(--build); font-weight: 500; paint-order: stroke; stroke: var(--paper); stroke-width: 3px; }
      svg .tag.heard { font-weight: 600; font-size: 0.9rem; }
      .dimension, .witness { fill: none; stroke: var(--build); stroke-width: 1.2; }
      .witness { stroke-width: 0.7; opacity: 0.6; }
      .arrow { fill: var(--build); }
      svg .dimension-number { fill: var(--build); font-weight: 600; }
      .pluck { outline: none; cursor: ew-resize; touch-action: none; }
      .pluck .line { stroke: var(--safe); stroke-width: 1.2; stroke-dasharray: 5 3; }
      .pluck .mark { fill: var(--safe); stroke: var(--safe); stroke-width: 1.5; }
      .pluck.scores .mark { fill: var(--paper); }
      .pluck.scores .line { stroke-width: 0.9; stroke-dasharray: 2 5; }
      .pluck .band { fill: var(--safe); fill-opacity: 0.06; pointer-events: none; }
      .pluck .hit { fill: transparent; }
      .pluck:focus-visible .mark { stroke: var(--ink); stroke-width: 3; }
      svg .pluck text { fill: var(--safe); paint-order: stroke; stroke: var(--paper); stroke-width: 3px; }
      .below { display: flex; flex-wrap: wrap; align-items: start; gap: 0.2rem 1.4rem; margin-top: 0.15rem; }
      @media (max-width: 600px) {
        /* the drawing first, what is typed below it */
        :host { display: flex; flex-direction: column; }
        header { display: contents; }
        cc-wave-choice { margin-left: 0; }
        .sheet { order: 1; }
        header cc-pickup-fields { order: 2; flex: none; }
        .below { order: 3; }
      }
      cc-pickup-fields { flex: 1 1 30rem; min-width: 0; }
      cc-plan-data { flex: 0 1 auto; min-width: 0; }
      cc-plan-data[open] { flex: 1 0 100%; }
      @media (forced-colors: active) {
        .pickup .coil, .pickup .pole, .dimension, .wave { stroke: CanvasText; }
        .pickup.selected .ring, .name[aria-checked='true'] .box { stroke: Highlight; }
      }
    `,
  ];

  /** Lanes stay open while a drag runs, so that the page below does not jump. */
  #lanes = { labels: 1, dimensions: 1 };
  #frame: Frame | null = null;
  #observer = new ResizeObserver(([entry]) => {
    this.room = entry.contentRect.width;
  });

  constructor() {
    super();
    this.room = 0;
    this.dragging = null;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.#observer.observe(this);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#observer.disconnect();
  }

  #focused: string | null = null;
  override willUpdate(): void {
    this.#focused = this.shadowRoot?.activeElement?.getAttribute('data-key') ?? null;
  }

  override updated(changed: PropertyValues<this>): void {
    super.updated(changed);
    // bringing a build to the front moves its pickup in the document, which takes the focus away
    if (this.#focused && this.shadowRoot?.activeElement?.getAttribute('data-key') !== this.#focused)
      this.renderRoot.querySelector<SVGElement>(`[data-key="${CSS.escape(this.#focused)}"]`)?.focus();
  }

  /** A point of the screen on the instrument, m. */
  #at(event: PointerEvent) {
    const { left, top } = this.renderRoot.querySelector('.drawing')!.getBoundingClientRect();
    return toInstrument(this.#frame!, event.clientX - left, event.clientY - top);
  }

  #drag(event: PointerEvent, move: (event: PointerEvent, gesture: string) => void): void {
    const gesture = `drag ${performance.now()}`;
    (event.currentTarget as SVGElement).focus({ preventScroll: true });
    followPointer(event, {
      move: e => {
        this.dragging = gesture;
        move(e, gesture);
      },
      end: () => {
        if (this.dragging) store.endGesture();
        this.dragging = null;
      },
    });
  }

  #press(event: PointerEvent, { pickup }: Placed): void {
    if (view.peek().pickup !== pickup.id) store.look({ pickup: pickup.id });
    const grip = this.#at(event).x - pickup.position;
    this.#drag(event, (e, gesture) => movePickup(pickup.id, this.#at(e).x - grip, gesture));
  }

  #pressSlant(event: PointerEvent, { pickup }: Placed): void {
    event.stopPropagation();
    const angle = (e: PointerEvent) => {
      const { x, y } = this.#at(e);
      return Math.atan2(x - pickup.position, -y);
    };
    const grip = angle(event) - pickup.slant;
    this.#drag(event, (e, gesture) => slantPickup(pickup.id, angle(e) - grip, gesture));
  }

  #pressPluck(event: PointerEvent): void {
    const grip = this.#at(event).x - (store.value.pluck ?? this.#at(event).x);
    this.#drag(event, (e, gesture) => movePluck(this.#at(e).x - grip, gesture));
  }

  /** Turns with Alt and arrows or the page keys, moves with arrows, goes to the limits with Home and End. */
  #pickupKey(event: KeyboardEvent, { letter, pickup }: Placed): void {
    if (letter !== view.peek().heard) {
      if (event.key !== 'Enter' && event.key !== ' ') return;
      event.preventDefault();
      hear(letter, pickup.id);
      return;
    }
    if (this.#slantKey(event, pickup.id, pickup.slant, event.altKey)) return;
    const build = heard.peek();
    const step = arrowStep(view.peek().units, event.shiftKey);
    const moves: Record<string, () => number> = {
      ArrowRight: () => pickup.position + step,
      ArrowUp: () => pickup.position + step,
      ArrowLeft: () => pickup.position - step,
      ArrowDown: () => pickup.position - step,
      Home: () => positionLimits(build, pickup)[0],
      End: () => positionLimits(build, pickup)[1],
    };
    const to = moves[event.key];
    if (!to || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    movePickup(pickup.id, to(), `keys ${keyOf(letter, pickup.id)}`);
  }

  #slantKey(event: KeyboardEvent, id: string, slant: number, arrows: boolean): boolean {
    const up = event.key === 'PageUp' || (arrows && (event.key === 'ArrowRight' || event.key === 'ArrowUp'));
    const down = event.key === 'PageDown' || (arrows && (event.key === 'ArrowLeft' || event.key === 'ArrowDown'));
    if (!up && !down) return false;
    event.preventDefault();
    slantPickup(id, slant + (up ? SLANT_STEP : -SLANT_STEP), `slant keys ${id}`);
    return true;
  }

  #slantHandleKey(event: KeyboardEvent, { pickup }: Placed): void {
    event.stopPropagation();
    if (this.#slantKey(event, pickup.id, pickup.slant, true)) return;
    if (event.key !== 'Home' && event.key !== 'End') return;
    event.preventDefault();
    slantPickup(pickup.id, slantLimits(heard.peek(), pickup)[event.key === 'Home' ? 0 : 1]);
  }

  #pluckKey(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const at = store.value.pluck;
    if ((event.key === 'Delete' || event.key === 'Backspace') && at !== null) movePluck(null);
    const step = arrowStep(view.peek().units, event.shiftKey);
    const { instrument } = heard.peek();
    // the first key puts the marker where it is shown
    const from = at ?? pluckStart(instrument);
    const by = at === null ? 0 : step;
    const [low, high] = pluckRange(instrument);
    const moves: Record<string, number> = {
      ArrowRight: from + by,
      ArrowUp: from + by,
      ArrowLeft: from - by,
      ArrowDown: from - by,
      Home: low,
      End: high,
    };
    const to = moves[event.key];
    if (to === undefined) return;
    event.preventDefault();
    movePluck(to, 'pluck keys');
  }

  #selectString = (index: number): void => store.look({ string: index + 1 });
  #stopAt = (fret: number): void => store.look({ fret: view.peek().fret === fret ? 0 : fret });

  #stringKey(event: KeyboardEvent, index: number): void {
    const count = heard.peek().instrument.strings.length;
    const moves: Record<string, number> = {
      ArrowDown: Math.min(count - 1, index + 1),
      ArrowRight: Math.min(count - 1, index + 1),
      ArrowUp: Math.max(0, index - 1),
      ArrowLeft: Math.max(0, index - 1),
      Home: 0,
      End: count - 1,
      ' ': index,
    };
    const to = moves[event.key];
    if (to === undefined) return;
    event.preventDefault();
    this.#selectString(to);
    this.updateComplete.then(() => this.renderRoot.querySelectorAll<SVGElement>('.name')[to]?.focus());
  }

  /** Names and tails of the strings left of the saddle line; it stays while the drawing scrolls. */
  #gutter(frame: Frame, width: number) {
    const { instrument } = heard.value;
    const selected = stringIndex.value;
    const tail = 12 * frame.unit;
    const behind = Math.max(0, ...instrument.strings.map(s => -s.saddle)) * frame.scale;
    const nameX = width - Math.max(tail, behind + 6 * frame.unit) - 8 * frame.unit;
    const own = instrument.strings.some(s => s.saddle !== 0);
    const half = Math.min(LANE, (instrument.spread.saddle * frame.scale) / Math.max(1, instrument.strings.length - 1));
    return html`<svg class="gutter" width=${width} height=${frame.height} role="radiogroup" aria-label=${words.strings}>
      ${instrument.strings.map((string, index) => {
        const { saddle } = stringLine(instrument, index);
        const y = toScreen(frame, { x: 0, y: stringAt(instrument, index, 0) }).y;
        const from = Math.min(width - tail, width + saddle.x * frame.scale - 6 * frame.unit);
        return svg`
          <line class="string ${index === selected ? 'chosen' : ''}" x1=${px(from)} y1=${px(y)} x2=${width} y2=${px(y)}
            stroke-width=${px(stringWeight(frame, string.gauge))}></line>
          ${own && saddle.x <= 0 ? svg`<circle class="own-saddle" cx=${px(width + saddle.x * frame.scale)} cy=${px(y)} r=${px(2.5 * frame.unit)}></circle>` : nothing}
          <g class="name" role="radio" tabindex=${index === selected ? 0 : -1} aria-checked=${index === selected}
            aria-label=${words.stringName(index + 1, string.name)}
            @click=${() => this.#selectString(index)} @keydown=${(e: KeyboardEvent) => this.#stringKey(e, index)}>
            <rect class="box" x="1" y=${px(y - half / 2)} width=${px(nameX + 3 * frame.unit)} height=${px(half)}></rect>
            <text x=${px(nameX)} y=${px(y + 4.5 * frame.unit)} text-anchor="end">${string.name}</text>
          </g>`;
      })}
      <line class="saddle-line" x1=${width - 1} x2=${width - 1} y1=${px(frame.top - 4 * frame.unit)} y2=${px(frame.height - 2)}></line>
      <text class="saddle-word" x=${px(width - 4 * frame.unit)} y=${px(frame.top - 8 * frame.unit)} text-anchor="end">${words.saddle}</text>
    </svg>`;
  }

  #wave(frame: Frame, build: Build, index: number) {
    const { instrument } = build;
    const { partial } = view.value;
    const fret = Math.min(view.value.fret, instrument.frets);
    const { saddle } = stringLine(instrument, index);
    const length = speakingLength(instrument, index, fret);
    const over = new Set(nodesOverCoils(build, index, fret, partial).map(n => n.node));
    const stop = toScreen(frame, fretPoint(instrument, index, fret));
    return svg`
      <path class="wave" d=${wavePath(frame, instrument, index, fret, partial)}></path>
      ${nodes(length, partial).map((at, i) => {
        const x = saddle.x + at;
        if (x * frame.scale > frame.width) return nothing;
        const y = frame.centre - stringAt(instrument, index, x) * frame.scale;
        return svg`<circle class="node ${over.has(i + 1) ? 'over' : ''}" cx=${px(x * frame.scale)} cy=${px(y)}
          r=${px((over.has(i + 1) ? 4.5 : 2.6) * frame.unit)}></circle>`;
      })}
      ${fret > 0 && stop.x < frame.width ? svg`<circle class="stop" cx=${px(stop.x)} cy=${px(stop.y)} r=${px(4 * frame.unit)}></circle>` : nothing}`;
  }

  #pluck(frame: Frame) {
    const { units } = view.value;
    const { instrument } = heard.value;
    const place = plucked(store.sheet.value, instrument);
    const at = place.by === 'own' ? place.at : place.by === 'score' ? place.from : pluckStart(instrument);
    const x = at * frame.scale;
    const [low, high] = pluckRange(instrument);
    const size = 6 * frame.unit;
    const hit = matchMedia('(pointer: coarse)').matches ? 22 : 12 * frame.unit;
    const own = place.by === 'own';
    const text =
      place.by === 'own'
        ? words.pluckMark(dimensionNumber(place.at, units), place.heard)
        : place.by === 'score'
          ? words.pluckOfScore(dimensionNumber(place.from, units), dimensionNumber(place.to, units))
          : words.pluckRecorded;
    return svg`<g class="pluck ${own ? '' : 'scores'}" role="slider" tabindex="0" data-key="pluck" aria-label=${words.pluck}
      aria-valuemin=${(low * 1e3).toFixed(1)} aria-valuemax=${(high * 1e3).toFixed(1)} aria-valuenow=${(at * 1e3).toFixed(1)}
      aria-valuetext=${own ? words.pluckText(dimension(at, units)) : `${text}; ${words.pluckKeys}`}
      @touchstart=${keepTouch} @pointerdown=${this.#pressPluck} @keydown=${this.#pluckKey}>
      <title>${words.pluckHint}</title>
      ${
        place.by === 'score' && place.to - place.from > 1e-3
          ? svg`<rect class="band" x=${px(x)} y=${px(frame.top)} width=${px((place.to - place.from) * frame.scale)}
              height=${px(frame.bottom - frame.top)}></rect>`
          : nothing
      }
      ${
        place.by === 'recorded'
          ? nothing
          : svg`<line class="line" x1=${px(x)} x2=${px(x)} y1=${px(frame.top)} y2=${px(frame.bottom)}></line>`
      }
      <rect class="hit" x=${px(x - hit)} y=${px(frame.bottom + 10 * frame.unit - hit)} width=${px(2 * hit)} height=${px(2 * hit)}></rect>
      <path class="mark" d="M${px(x)} ${px(frame.bottom + 1)}l${px(size)} ${px(size * 1.7)}h${px(-2 * size)}z"></path>
      <text x=${px(x + (own ? 10 : -10) * frame.unit)} y=${px(frame.bottom + 13 * frame.unit)}
        text-anchor=${own ? 'start' : 'end'}>${text}</text>
    </g>`;
  }

  #pickup(frame: Frame, build: Build, place: Placed, chosen: boolean) {
    const { letter, pickup } = place;
    const { units } = view.value;
    const own = letter === view.value.heard;
    const at = dimension(pickup.position, units);
    const style = `--build: ${colourOf(letter)}; --dash: ${DASH[letter] || 'none'}`;
    const drawing = guard([pickup, build.instrument, frame.scale, frame.centre, frame.unit], () =>
      drawPickup(frame, build.instrument, pickup),
    );
    if (!own)
      return svg`<g class="pickup other" style=${style} role="button" tabindex="0" data-key=${keyOf(letter, pickup.id)}
        aria-label=${words.otherPickup(letter, pickup.name, at)} @click=${() => hear(letter, pickup.id)}
        @keydown=${(e: KeyboardEvent) => this.#pickupKey(e, place)}>${drawing}</g>`;
    const [low, high] = positionLimits(build, pickup);
    const slant = pickup.slant === 0 ? null : formatQuantity(pickup.slant, 'angle');
    return svg`<g class="pickup heard ${chosen ? 'selected' : ''}" style=${style} role="slider" tabindex="0"
      data-key=${keyOf(letter, pickup.id)} aria-label=${words.pickup(letter, pickup.name)}
      aria-valuemin=${(low * 1e3).toFixed(1)} aria-valuemax=${(high * 1e3).toFixed(1)} aria-valuenow=${(pickup.position * 1e3).toFixed(1)}
      aria-valuetext=${words.fromSaddle(at, slant)} aria-keyshortcuts="PageUp PageDown"
      @touchstart=${keepTouch} @pointerdown=${(e: PointerEvent) => this.#press(e, place)} @focus=${() => this.#select(pickup.id)}
      @keydown=${(e: KeyboardEvent) => this.#pickupKey(e, place)}>${drawing}</g>`;
  }

  #select(id: string): void {
    if (view.peek().pickup !== id) store.look({ pickup: id });
  }

  #slant(frame: Frame, build: Build, place: Placed) {
    const { letter, pickup } = place;
    const { x, y } = slantHandle(frame, build.instrument, pickup);
    const [low, high] = slantLimits(build, pickup);
    const degrees = (value: number) => (value / DEGREE).toFixed(2);
    const side = pickup.slant === 0 ? 'none' : pickup.slant > 0 ? 'bass' : 'treble';
    const coarse = matchMedia('(pointer: coarse)').matches;
    return svg`<g class="slant" role="slider" tabindex="0" data-key="slant" aria-orientation="vertical"
      aria-label=${words.slantOf(letter, pickup.name)} aria-valuemin=${degrees(low)} aria-valuemax=${degrees(high)}
      aria-valuenow=${degrees(pickup.slant)}
      aria-valuetext=${words.slantText(formatQuantity(Math.abs(pickup.slant), 'angle'), side)}
      @touchstart=${keepTouch} @pointerdown=${(e: PointerEvent) => this.#pressSlant(e, place)} @keydown=${(e: KeyboardEvent) => this.#slantHandleKey(e, place)}>
      <circle class="hit" cx=${px(x)} cy=${px(y)} r=${coarse ? 22 : 10 * frame.unit}></circle>
      <circle class="dot" cx=${px(x)} cy=${px(y)} r=${px(4 * frame.unit)}></circle>
    </g>`;
  }

  #layout(all: readonly Placed[], lines: number): { frame: Frame; gutter: number; tagged: ReturnType<typeof tags> } {
    const build = heard.value;
    void view.value.size;
    const unit = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / 15;
    const narrow = this.room < 600;
    const names = Math.max(...build.instrument.strings.map(s => s.name.length));
    const behind = Math.max(0, ...build.instrument.strings.map(s => -s.saddle));
    const least = Math.max(narrow ? 44 : 52, names * 7.5 + 24) * unit;
    const room = { width: Math.max(120, this.room - least), unit, labelLanes: 1, dimensionLanes: 1 };
    const builds = slots.value.map(slot => slot.build);
    const { scale } = frameFor(build, builds, room);
    // saddles behind the saddle line (a bass side of greater scale) are drawn beside the names
    const gutter = Math.round(least + Math.max(0, behind * scale - 6 * unit));
    const width = Math.max(120, this.room - gutter);
    const tagged = tags(all, view.value.heard, scale, unit);
    const wanted = { labels: Math.max(slots.value.length > 1 ? 2 : 1, tagged.lanes), dimensions: lines };
    this.#lanes = this.dragging
      ? {
          labels: Math.max(this.#lanes.labels, wanted.labels),
          dimensions: Math.max(this.#lanes.dimensions, wanted.dimensions),
        }
      : wanted;
    const frame = frameFor(build, builds, {
      width,
      unit,
      labelLanes: this.#lanes.labels,
      dimensionLanes: this.#lanes.dimensions,
    });
    return { frame, gutter, tagged };
  }

  /** Distances of the selected pickup's poles, both ways of stating them, and of the strings at the saddle. */
  #poles(units: UnitSystem): string {
    const { strings, spread } = heard.value.instrument;
    const { poles } = heardPickup.value;
    const between = Math.max(1, strings.length - 1);
    const at = (value: number) => dimensionNumber(value, units);
    return words.spreads(
      `${at(spread.saddle)} / ${at(spread.saddle / between)}`,
      poles.kind === 'rail' ? null : `${at(poles.spread)} / ${at(polePitch(poles, strings.length))}`,
    );
  }

  override render() {
    const build = heard.value;
    const { units, heard: letter } = view.value;
    const all = placed(slots.value, letter);
    const lines = dimensions(all, letter);
    const { frame, gutter, tagged } = this.#layout(all, lines.drawn.length + (lines.left > 0 ? 1 : 0));
    this.#frame = frame;
    const chosen = heardPickup.value;
    const index = stringIndex.value;
    const { instrument } = build;
    const fret = Math.min(view.value.fret, instrument.frets);
    const ofLetter = new Map(slots.value.map(slot => [slot.letter, slot.build]));
    const still = [instrument, frame.scale, frame.width, frame.centre, frame.bottom, frame.unit];
    return html`
      <header>
        <h2>${words.title}</h2>
        <cc-pickup-fields></cc-pickup-fields>
        <cc-wave-choice></cc-wave-choice>
      </header>
      <div class="sheet">
        ${this.#gutter(frame, gutter)}
        <div class="scroller" tabindex=${frame.width > this.room - gutter + 1 ? 0 : nothing}
          role=${frame.width > this.room - gutter + 1 ? 'region' : nothing} aria-label=${words.drawing(instrument.name)}>
          <svg class="drawing" width=${px(frame.width)} height=${px(frame.height)} role="group" aria-label=${words.drawing(instrument.name)}>
            ${guard([...still, fret], () => drawFrets(frame, instrument, fret, this.#stopAt))}
            ${guard([...still, index], () => drawStrings(frame, instrument, index, this.#selectString))}
            ${this.#pluck(frame)}
            ${repeat(
              all,
              ({ letter: l, pickup }) => keyOf(l, pickup.id),
              place =>
                this.#pickup(
                  frame,
                  ofLetter.get(place.letter)!,
                  place,
                  place.letter === letter && place.pickup === chosen,
                ),
            )}
            ${guard([...still, index, fret, view.value.partial, build.pickups], () => this.#wave(frame, build, index))}
            ${this.#slant(frame, build, { letter, pickup: chosen })}
            <g aria-hidden="true">
              ${drawTags(frame, tagged.list, letter)} ${drawDimensions(frame, lines, units)}
            </g>
          </svg>
        </div>
      </div>
      <div class="below">
        <p class="scale-note">${words.scaleNote(units)}; ${this.#poles(units)}</p>
        <cc-plan-data></cc-plan-data>
      </div>
    `;
  }
}
customElements.define('cc-plan', Plan);
