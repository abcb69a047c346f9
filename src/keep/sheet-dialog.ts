/** `<cc-sheet>`: the build sheet for the workshop, on the screen and on paper. */
import { html } from 'lit';
import { shared } from '../parts/styles.ts';
import { words } from '../words/keep.ts';
import { Dialog, dialogStyles } from './dialog.ts';

export class SheetDialog extends Dialog {
  static override styles = [shared, dialogStyles];

  override render() {
    return html`<dialog aria-labelledby="title"><div class="head"><h2 id="title">${words.sheetTitle}</h2></div></dialog>`;
  }
}
customElements.define('cc-sheet', SheetDialog);

declare global {
  interface HTMLElementTagNameMap {
    'cc-sheet': SheetDialog;
  }
}
