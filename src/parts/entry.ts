/**
 * A field for a short text that must be of some form. A bad entry stays in the field with a message; Escape gives it up.
 *
 * @fires entry CustomEvent<string> with an entry that passed the check
 */
import { css, html, LitElement, nothing } from 'lit';
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

  static override styles = [
    shared,
    css`
      label { display: block; font-size: 0.85rem; color: var(--soft); font-family: var(--narrow); margin-bottom: 0.15rem; }
      input {
        width: 100%; padding: 0.25rem 0.5rem; min-height: 2.1rem; background: var(--field); border: 1px solid var(--hairline);
        border-radius: 0;
      }
      input:hover { border-color: var(--ink); }
      input[aria-invalid='true'] { border: 2px solid var(--wrong); }
      .message { color: var(--wrong); font-size: 0.82rem; margin-top: 0.2rem; }
      .hint { font-size: 0.8rem; color: var(--soft); margin-top: 0.15rem; }
      @media (pointer: coarse) { input { min-height: 44px; } }
    `,
  ];

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
    const described = this.message ? 'message' : this.hint ? 'hint' : undefined;
    return html`<label for="input">${this.label}</label>
      <input
        id="input"
        type="text"
        autocomplete="off"
        spellcheck="false"
        .value=${this.value}
        aria-invalid=${this.message ? 'true' : 'false'}
        aria-describedby=${described ?? nothing}
        @change=${(event: Event) => this.#enter(event.target as HTMLInputElement)}
        @keydown=${(event: KeyboardEvent) => {
          if (event.key !== 'Escape') return;
          this.message = '';
          (event.target as HTMLInputElement).value = this.value;
        }}
      />
      ${this.message ? html`<p id="message" class="message" role="alert">${this.message}</p>` : nothing}
      ${this.hint && !this.message ? html`<p id="hint" class="hint">${this.hint}</p>` : nothing}`;
  }
}
customElements.define('cc-entry', Entry);
