/** The row under the plan: the selected pickup of the heard build and the pluck point, typed. */
import { css, html } from 'lit';
import { type Pickup, RANGE } from '../../../shared/document/build.ts';
import { colourOf } from '../../parts/builds.ts';
import type { QuantityDetail } from '../../parts/quantity.ts';
import '../../parts/quantity.ts';
import { type Limits, positionLimits, slantLimits } from '../../../shared/sensor/limits.ts';
import type { QuantityKind } from '../../../shared/units.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { heard, heardPickup, store, view } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { editPickup, movePickup, movePluck, slantPickup } from './moves.ts';
import { arrowStep } from './plan-figures.ts';
import { pluckRange, pluckStart } from './pluck.ts';

const DEGREE = Math.PI / 180;
const HEIGHT_STEP = 1e-4;

export class PickupFields extends SignalElement {
  static override styles = [
    shared,
    css`
      .row { display: flex; flex-wrap: wrap; gap: 0.3rem 0.8rem; align-items: start; }
      .field { display: flex; gap: 0.35rem; align-items: baseline; font-family: var(--narrow); font-size: 0.9rem; color: var(--soft); }
      .field > span { white-space: nowrap; }
      cc-quantity { width: 5rem; font-size: 0.95rem; color: var(--ink); }
      .length cc-quantity { width: 5.8rem; }
      .angle cc-quantity { width: 4.6rem; }
      .pluck { min-height: 2.1rem; align-items: center; }
      .letter { color: var(--build); font-weight: 600; font-family: var(--ui); font-size: 1rem; }
      .name input {
        width: 6rem; padding: 0.25rem 0.5rem; min-height: 2.1rem; background: var(--field); color: var(--ink);
        border: 1px solid var(--hairline); border-radius: 0; font-size: 0.95rem;
      }
      .name input:hover { border-color: var(--ink); }
      label.check { color: var(--soft); font-family: var(--narrow); font-size: 0.9rem; min-height: 0; }
      @media (pointer: coarse) { .name input, label.check { min-height: 44px; } }
      @media (max-width: 600px) {
        .row { display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); }
        .field { flex-direction: column; gap: 0.1rem; align-items: stretch; }
        .field.name { flex-direction: row; align-items: center; grid-column: 1 / -1; }
        .name input { flex: 1; min-width: 0; }
        .field cc-quantity { width: 100%; }
      }
    `,
  ];

  #quantity(
    label: string,
    spoken: string,
    kind: QuantityKind,
    value: number,
    range: Limits,
    step: number,
    accept: (detail: QuantityDetail) => void,
  ) {
    return html`<div class="field ${kind}">
      <span aria-hidden="true">${label}</span>
      <cc-quantity compact .label=${spoken} .kind=${kind} .units=${view.value.units} .value=${value} .range=${range} .step=${step}
        @quantity=${(event: CustomEvent<QuantityDetail>) => accept(event.detail)}></cc-quantity>
    </div>`;
  }

  #height(pickup: Pickup, side: 'bass' | 'treble') {
    return this.#quantity(
      words.fields.shown[side],
      words.fields[side],
      'smallLength',
      pickup.height[side],
      RANGE.height,
      HEIGHT_STEP,
      ({ value, gesture }) =>
        editPickup(words.steps.height, pickup.id, p => ({ ...p, height: { ...p.height, [side]: value } }), gesture),
    );
  }

  #rename = (event: Event): void => {
    const input = event.target as HTMLInputElement;
    const name = input.value.trim();
    const { id, name: before } = heardPickup.peek();
    if (name === '' || name === before) input.value = before;
    else editPickup(words.steps.rename, id, pickup => ({ ...pickup, name }));
  };

  override render() {
    const build = heard.value;
    const pickup = heardPickup.value;
    const { heard: letter, units } = view.value;
    const { pluck } = store.sheet.value;
    return html`<div class="row" role="group" aria-label=${words.fields.group(letter, pickup.name)}>
      <div class="field name">
        <span class="letter" style="--build: ${colourOf(letter)}" aria-hidden="true">${letter}</span>
        ${
          build.pickups.length > 1
            ? html`<select aria-label=${words.fields.choose}
                @change=${(event: Event) => store.look({ pickup: (event.target as HTMLSelectElement).value })}>
                ${build.pickups.map((p, i) => html`<option value=${p.id} .selected=${p === pickup}>${i + 1}</option>`)}
              </select>`
            : ''
        }
        <input type="text" aria-label=${words.fields.name} maxlength="40" .value=${pickup.name} @change=${this.#rename} />
      </div>
      ${this.#quantity(
        words.fields.position,
        words.fields.positionLabel,
        'length',
        pickup.position,
        positionLimits(build, pickup),
        arrowStep(units, false),
        ({ value, gesture }) => movePickup(pickup.id, value, gesture),
      )}
      ${this.#quantity(
        words.fields.slant,
        words.fields.slant,
        'angle',
        pickup.slant,
        slantLimits(build, pickup),
        0.5 * DEGREE,
        ({ value, gesture }) => slantPickup(pickup.id, value, gesture),
      )}
      ${this.#height(pickup, 'bass')} ${this.#height(pickup, 'treble')}
      <div class="field pluck">
        <label class="check" title=${words.pluckHint}>
          <input type="checkbox" .checked=${pluck !== null} @change=${() => movePluck(pluck === null ? pluckStart(build.instrument) : null)} />
          ${words.pluckOwn}
        </label>
        ${
          pluck === null
            ? ''
            : html`<cc-quantity compact .label=${words.pluck} kind="length" .units=${units} .value=${pluck} .range=${pluckRange(build.instrument)}
                .step=${arrowStep(units, false)}
                @quantity=${(event: CustomEvent<QuantityDetail>) => movePluck(event.detail.value, event.detail.gesture)}></cc-quantity>`
        }
      </div>
    </div>`;
  }
}
customElements.define('cc-pickup-fields', PickupFields);
