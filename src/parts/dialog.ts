/** A dialog of the page: a native one, so that Escape, focus and the page behind are the browser's business. */
import { css } from 'lit';
import { SignalElement } from './signal-element.ts';

export const dialogStyles = css`
  dialog {
    border: 1px solid var(--ink); background: var(--panel); color: var(--ink); padding: 0; margin: auto;
    width: min(56rem, calc(100vw - 1.5rem)); max-height: calc(100dvh - 1.5rem); overflow: auto;
  }
  dialog::backdrop { background: color-mix(in srgb, var(--paper) 70%, transparent); }
  .head {
    display: flex; align-items: center; gap: 1rem; padding: 0.5rem 0.6rem 0.5rem 1.1rem; border-bottom: 1px solid var(--hairline);
    position: sticky; top: 0; background: var(--panel); z-index: 1;
  }
  .head h2 { flex: 1; font: 600 1.15rem var(--ui); letter-spacing: 0; text-transform: none; color: var(--ink); }
  .body { padding: 0.9rem 1.1rem 1.1rem; }
  fieldset { border: 0; margin: 0; padding: 0; min-width: 0; }
  legend { color: var(--soft); font-size: 0.88rem; padding: 0 0 0.25rem; }
  button.main { background: var(--ink); color: var(--paper); border-color: var(--ink); }
  button.main:disabled { background: none; color: var(--soft); border-color: var(--hairline); }
`;

export class Dialog extends SignalElement {
  get dialog(): HTMLDialogElement | null {
    return this.renderRoot.querySelector('dialog');
  }

  /** Opens it above the page. */
  show(): void {
    void this.updateComplete.then(() => {
      if (this.dialog?.open === false) this.dialog.showModal();
    });
  }

  close = (): void => this.dialog?.close();
}
