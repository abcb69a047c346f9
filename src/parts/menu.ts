/**
 * `<cc-menu text="…">`: a button that opens a small panel of its own content. The panel closes by Escape, by a click
 * beside it and when the focus leaves it.
 */
import { css, html, LitElement, nothing } from 'lit';
import { shared } from './styles.ts';

/** Room between a panel and its button or the edge of the window, px. */
const GAP = 4;

export class Menu extends LitElement {
  static override properties = { text: {}, label: {}, above: { type: Boolean }, tight: { type: Boolean } };
  /** What the button shows. */
  declare text: string;
  /** What button and panel are called, where `text` does not say it. */
  declare label: string;
  /** The panel stands on the button instead of hanging from it. */
  declare above: boolean;
  declare tight: boolean;

  static override styles = [
    shared,
    css`
      .tight { padding: 0 0.45rem; min-height: 1.7rem; }
      [popover] {
        position: fixed; inset: auto; margin: 0; padding: 0.9rem 1rem; border: 1px solid var(--ink); color: var(--ink);
        width: max-content; max-width: min(var(--menu-width, 26rem), calc(100vw - 1.5rem)); max-height: 70vh; overflow: auto;
      }
      button:has(+ :popover-open) { border-color: var(--ink); }
    `,
  ];

  constructor() {
    super();
    this.text = '';
    this.label = '';
    this.above = false;
    this.tight = false;
    this.addEventListener('focusout', this.#left);
  }

  get #panel(): HTMLElement {
    return this.renderRoot.querySelector('[popover]')!;
  }

  close(): void {
    this.#panel.hidePopover();
  }

  #left = ({ relatedTarget }: FocusEvent): void => {
    // a click beside it is the browser's business, and another window keeps it open
    if (relatedTarget instanceof Node && relatedTarget !== this && !this.contains(relatedTarget))
      this.#panel.hidePopover();
  };

  #place = (): void => {
    const button = this.renderRoot.querySelector('button')!.getBoundingClientRect();
    const { style } = this.#panel;
    style.left = 'auto';
    style.right = `${Math.max(3 * GAP, document.documentElement.clientWidth - button.right)}px`;
    if (this.above) style.bottom = `${innerHeight - button.top + GAP}px`;
    else style.top = `${button.bottom + GAP}px`;
  };

  /** A panel wider than what is left of its button begins at the edge of the window. */
  #keepInside = (): void => {
    const panel = this.#panel;
    if (panel.getBoundingClientRect().left >= 3 * GAP) return;
    panel.style.left = `${3 * GAP}px`;
    panel.style.right = 'auto';
  };

  override render() {
    return html`<button
        class=${this.tight ? 'tight' : 'plain'}
        popovertarget="panel"
        title=${this.label || this.text}
        aria-label=${this.label ? `${this.text}: ${this.label}` : nothing}
      >
        ${this.text}
      </button>
      <div id="panel" class="panel" popover role="dialog" aria-label=${this.label || this.text} @beforetoggle=${this.#place} @toggle=${this.#keepInside}>
        <slot></slot>
      </div>`;
  }
}
customElements.define('cc-menu', Menu);
declare global {
  interface HTMLElementTagNameMap {
    'cc-menu': Menu;
  }
}
