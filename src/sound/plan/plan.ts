/**
 * The plan: the instrument from above, to scale, with the pickups of every build. Pickups, their slant and the pluck
 * point move by pointer and by keys; what is typed stands in the row below (`pickup-fields.ts`).
 */
import { html, nothing, type PropertyValues } from 'lit';
import { guard } from 'lit/directives/guard.js';
import { repeat } from 'lit/directives/repeat.js';
import { polePitch } from '../../../shared/sensor/placement.ts';
import type { UnitSystem } from '../../../shared/units.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { heard, heardPickup, slots, store, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { followPointer } from './drag.ts';
import { dimensions, drawDimensions, drawTags, keyOf, type Placed, placed } from './draw-dimensions.ts';
import { drawGutter } from './draw-gutter.ts';
import { drawPlaced, drawPluck, drawSlant } from './draw-handles.ts';
import { drawFrets, drawStrings } from './draw-instrument.ts';
import { drawWave } from './draw-wave.ts';
import { type Frame, px, toInstrument } from './frame.ts';
import { movePickup, movePluck, selectPickup, slantPickup } from './moves.ts';
import { isOdd, odd, oddText } from './odd-places-note.ts';
import { dimensionNumber, dragStep, snapped } from './plan-figures.ts';
import { SLANT_STEP, stringKey } from './plan-keys.ts';
import { type Lanes, layout } from './plan-layout.ts';
import { planStyles } from './plan-styles.ts';
import './pickup-place-fields.ts';
import './wave-choice.ts';
import './plan-data.ts';

export class Plan extends SignalElement {
  static override properties = {
    compact: { type: Boolean, reflect: true },
    room: { state: true },
    dragging: { state: true },
  };
  /** Little height is left for it. */
  declare compact: boolean;
  /** CSS px that the plan is wide. */
  declare room: number;
  /** Gesture of the running drag; null: none. */
  declare dragging: string | null;

  static override styles = [shared, planStyles];

  /** Lanes stay open while a drag runs, so that the page below does not jump. */
  #lanes: Lanes | null = null;
  #frame: Frame | null = null;
  #observer = new ResizeObserver(([entry]) => {
    this.room = entry.contentRect.width;
  });

  constructor() {
    super();
    this.compact = false;
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

  /** Where the pointer has taken what it holds `grip` m beside its middle. */
  #snapped(event: PointerEvent, grip: number): number {
    return snapped(this.#at(event).x - grip, dragStep(view.peek().units, event.shiftKey));
  }

  #press(event: PointerEvent, { pickup }: Placed): void {
    selectPickup(pickup.id);
    const grip = this.#at(event).x - pickup.position;
    this.#drag(event, (e, gesture) => movePickup(pickup.id, this.#snapped(e, grip), gesture));
  }

  #pressSlant(event: PointerEvent, { pickup }: Placed): void {
    event.stopPropagation();
    const angle = (e: PointerEvent) => {
      const { x, y } = this.#at(e);
      return Math.atan2(x - pickup.position, -y);
    };
    const grip = angle(event) - pickup.slant;
    this.#drag(event, (e, gesture) =>
      slantPickup(pickup.id, snapped(angle(e) - grip, e.shiftKey ? SLANT_STEP / 5 : SLANT_STEP), gesture),
    );
  }

  #pressPluck(event: PointerEvent): void {
    const grip = this.#at(event).x - (store.value.pluck ?? this.#at(event).x);
    this.#drag(event, (e, gesture) => movePluck(this.#snapped(e, grip), gesture));
  }

  #selectString = (index: number): void => store.look({ string: index + 1 });
  #stopAt = (fret: number): void => store.look({ fret: view.peek().fret === fret ? 0 : fret });

  #stringKey = (event: KeyboardEvent, index: number): void => {
    const to = stringKey(event, index);
    if (to !== null)
      void this.updateComplete.then(() => this.renderRoot.querySelectorAll<SVGElement>('.name')[to]?.focus());
  };

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
    const { frame, gutter, tagged, lanes } = layout(all, lines.drawn.length + (lines.left > 0 ? 1 : 0), {
      free: this.room,
      compact: this.compact,
      held: this.dragging ? this.#lanes : null,
    });
    this.#frame = frame;
    this.#lanes = lanes;
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
        ${drawGutter(frame, gutter, this.#selectString, this.#stringKey)}
        <div class="scroller" tabindex=${frame.width > this.room - gutter + 1 ? 0 : nothing}
          role=${frame.width > this.room - gutter + 1 ? 'region' : nothing} aria-label=${words.drawing(instrument.name)}>
          <svg class="drawing" width=${px(frame.width)} height=${px(frame.height)} role="group" aria-label=${words.drawing(instrument.name)}>
            ${guard([...still, fret], () => drawFrets(frame, instrument, fret, this.#stopAt))}
            ${guard([...still, index], () => drawStrings(frame, instrument, index, this.#selectString))}
            ${drawPluck(frame, e => this.#pressPluck(e))}
            ${repeat(
              all,
              ({ letter: l, pickup }) => keyOf(l, pickup.id),
              place => {
                const state = `${place.pickup === chosen ? 'selected' : ''} ${isOdd(odd.value, place.pickup.id) ? 'odd' : ''}`;
                const of = ofLetter.get(place.letter)!;
                const others = [of.instrument, letter, units, state, frame.scale, frame.centre, frame.unit];
                return guard([place.pickup, ...(place.letter === letter ? [of] : []), ...others], () =>
                  drawPlaced(frame, of, place, state, e => this.#press(e, place)),
                );
              },
            )}
            ${guard([...still, index, fret, view.value.partial, build.pickups], () => drawWave(frame, build, index))}
            ${drawSlant(frame, build, { letter, pickup: chosen }, e => this.#pressSlant(e, { letter, pickup: chosen }))}
            <g aria-hidden="true">
              ${drawTags(frame, tagged.list, letter)} ${drawDimensions(frame, lines, units)}
            </g>
          </svg>
        </div>
      </div>
      <p class="odd-note" role="status">${oddText.value}</p>
      <div class="below">
        <p class="scale-note" title=${words.dragHint(units)}>${words.scaleNote(units)}; ${this.#poles(units)}</p>
        <cc-plan-data></cc-plan-data>
      </div>
    `;
  }
}
customElements.define('cc-plan', Plan);
