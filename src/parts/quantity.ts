/**
 * A field for one quantity, typed as people write it (`22n`, `4k7`, `4 9/16 in`) and shown with its unit.
 *
 * `value` is SI. A good entry fires `quantity` with `{ value, gesture }`; a bad one stays in the field with a message
 * that says what was expected, and nothing else changes. Arrow keys step (Shift: a tenth), Escape gives up the entry.
 *
 * @fires quantity CustomEvent<QuantityDetail>
 */
import { css, html, LitElement, type PropertyValues } from 'lit';
import { formatQuantity, parseQuantity, type QuantityKind, type UnitSystem } from '../../shared/units.ts';
import { words } from '../words/quantity-words.ts';
import { fieldParts, saidBelow, saidId } from './field-parts.ts';
import { shared } from './styles.ts';

export interface QuantityDetail {
  value: number;
  /** Edits that carry the same gesture belong to one step. */
  gesture: string;
  /** As it was typed; null: it was not. */
  text: string | null;
}

/** Equal but for the rounding of units. */
const sameNumber = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-12 * Math.abs(b);

/** Longer texts are set narrower, so that the unit is not cut off; characters. */
const LONG = 9;

export class QuantityField extends LitElement {
  static override properties = {
    label: {},
    kind: {},
    units: {},
    value: { type: Number },
    range: { attribute: false },
    step: { type: Number },
    hint: {},
    compact: { type: Boolean },
    disabled: { type: Boolean },
    message: { state: true },
  };
  declare label: string;
  declare kind: QuantityKind;
  declare units: UnitSystem;
  declare value: number;
  /** Accepted range in SI. */
  declare range: readonly [number, number] | undefined;
  /** Arrow-key step in SI; 0: a hundredth of the value. */
  declare step: number;
  declare hint: string;
  /** The label is spoken, not shown. */
  declare compact: boolean;
  declare disabled: boolean;
  declare message: string;

  static override styles = [
    shared,
    fieldParts,
    css`
      input { min-width: 4.5rem; font-variant-numeric: tabular-nums; }
      input.long { font-family: var(--narrow); font-size: 0.86em; padding-inline: 0.3rem; }
      :host([compact]) label { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
    `,
  ];

  constructor() {
    super();
    this.label = '';
    this.kind = 'ratio';
    this.units = 'mm';
    this.value = 0;
    this.step = 0;
    this.hint = '';
    this.compact = false;
    this.disabled = false;
    this.message = '';
  }

  override willUpdate(changed: PropertyValues<this>): void {
    // a new value from outside (undo, a drag) replaces a refused entry
    if (changed.has('value') && this.hasUpdated) this.message = '';
  }

  override updated(changed: PropertyValues<this>): void {
    const input = this.#input;
    const editing =
      this.shadowRoot?.activeElement === input && input.value !== this.#shown(changed.get('value') as number);
    if (this.message === '' && !(editing && !changed.has('value'))) input.value = this.#shown(this.value);
  }

  get #input(): HTMLInputElement {
    return this.renderRoot.querySelector('input')!;
  }

  #shown(value: number | undefined): string {
    return value === undefined ? '' : formatQuantity(value, this.kind, this.units);
  }

  #enter(): void {
    const text = this.#input.value;
    if (text === this.#shown(this.value)) {
      this.message = '';
      return;
    }
    const parsed = parseQuantity(text, this.kind, this.units);
    if (!parsed.ok) this.message = parsed.message;
    else if (sameNumber(parsed.value, this.value)) {
      // the value that is there, written otherwise, is no change
      this.message = '';
      this.#input.value = this.#shown(this.value);
    } else this.#accept(parsed.value, text);
  }

  #accept(value: number, text: string): void {
    const [low, high] = this.range ?? [-Infinity, Infinity];
    if (value < low || value > high) {
      this.message = words.outside(this.#shown(low), this.#shown(high));
      return;
    }
    this.message = '';
    this.#send(value, `${this.label}@${performance.now()}`, text);
  }

  #send(value: number, gesture: string, text: string | null): void {
    this.dispatchEvent(
      new CustomEvent<QuantityDetail>('quantity', { detail: { value, gesture, text }, bubbles: true, composed: true }),
    );
    this.#input.value = this.#shown(this.value);
  }

  #key(event: KeyboardEvent): void {
    if (event.key === 'Enter') this.#enter();
    else if (event.key === 'Escape') {
      this.message = '';
      this.#input.value = this.#shown(this.value);
    } else if (event.key === 'ArrowUp' || event.key === 'ArrowDown') {
      event.preventDefault();
      const step = (this.step || Math.abs(this.value) / 100 || 0.01) * (event.shiftKey ? 0.1 : 1);
      const [low, high] = this.range ?? [-Infinity, Infinity];
      const next = this.value + (event.key === 'ArrowUp' ? step : -step);
      this.message = '';
      this.#send(Math.min(high, Math.max(low, next)), `step ${this.label}`, null);
    }
  }

  override render() {
    return html`
      <label for="input">${this.label}</label>
      <input
        id="input"
        class=${this.#shown(this.value).length > LONG ? 'long' : ''}
        part="input"
        type="text"
        inputmode="text"
        autocomplete="off"
        spellcheck="false"
        ?disabled=${this.disabled}
        aria-invalid=${this.message ? 'true' : 'false'}
        aria-describedby=${saidId(this)}
        @change=${this.#enter}
        @keydown=${this.#key}
        @focus=${(event: FocusEvent) => (event.target as HTMLInputElement).select()}
      />
      ${saidBelow(this)}
    `;
  }
}
customElements.define('cc-quantity', QuantityField);
declare global {
  interface HTMLElementTagNameMap {
    'cc-quantity': QuantityField;
  }
}
