/**
 * A field for a short text that must be of some form. A bad entry stays in the field with a message; Escape gives it up.
 *
 * @fires entry CustomEvent<string> with an entry that passed the check
 */
import { html, LitElement } from 'lit';
import { fieldParts, saidBelow, saidId } from './field-parts.ts';
import { shared } from './styles.ts';

export class Entry extends LitElement {
  static override properties = {
    label: {},
    hint: {},
    value: {},
    check: { attribute: false },
    message: { state: true },
  };
  declare label: string;
  declare hint: string;
  declare value: string;
  /** What is wrong with a text, in a sentence; empty: nothing. */
  declare check: (text: string) => string;
  declare message: string;

  static override styles = [shared, fieldParts];

  constructor() {
    super();
    this.label = '';
    this.hint = '';
    this.value = '';
    this.check = () => '';
    this.message = '';
  }

  #enter(input: HTMLInputElement): void {
    const text = input.value.trim();
    this.message = text === this.value ? '' : this.check(text);
    if (this.message === '' && text !== this.value)
      this.dispatchEvent(new CustomEvent<string>('entry', { detail: text, bubbles: true, composed: true }));
  }

  override render() {
    return html`<label for="input">${this.label}</label>
      <input
        id="input"
        type="text"
        autocomplete="off"
        spellcheck="false"
        .value=${this.value}
        aria-invalid=${this.message ? 'true' : 'false'}
        aria-describedby=${saidId(this)}
        @change=${(event: Event) => this.#enter(event.target as HTMLInputElement)}
        @keydown=${(event: KeyboardEvent) => {
          if (event.key !== 'Escape') return;
          this.message = '';
          (event.target as HTMLInputElement).value = this.value;
        }}
      />
      ${saidBelow(this)}`;
  }
}
customElements.define('cc-entry', Entry);
