/** `<cc-sheet>`: the build sheet for the workshop, looked at and filled in on the screen, printed by the browser. */
import { css, html } from 'lit';
import { unsafeHTML } from 'lit/directives/unsafe-html.js';
import type { Letter } from '../../shared/document/sheet.ts';
import { fileStem } from '../files/file-names.ts';
import { Dialog, dialogStyles } from '../parts/dialog.ts';
import { saveFile } from '../parts/plot-export.ts';
import { shared } from '../parts/styles.ts';
import { slots, view } from '../state/page.ts';
import { words } from '../words/keep-words.ts';
import { PAPERS, type Paper, type SheetOptions, sheetPages, sheetSvg } from './sheet-svg.ts';
import { LONGEST, TITLE_FIELDS, titleBlock, writeTitleBlock } from './title-block.ts';

/** The paper is set in the document: a page rule has no meaning inside a shadow root. */
const PRINT_STYLE = 'cc-sheet-print';

export class SheetDialog extends Dialog {
  static override properties = { letter: { state: true } };
  declare letter: Letter;

  static override styles = [
    shared,
    dialogStyles,
    css`
      dialog { width: min(76rem, calc(100vw - 1.5rem)); }
      .choices { display: flex; flex-wrap: wrap; gap: 0.5rem 1.2rem; align-items: end; }
      .choices label { display: grid; gap: 0.15rem; font-size: 0.88rem; color: var(--soft); }
      .choices .actions { margin-left: auto; display: flex; flex-wrap: wrap; gap: 0.5rem; }
      .block { margin: 0.7rem 0; }
      .block summary { cursor: pointer; min-height: 2rem; padding: 0.3rem 0; }
      .fields { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(13rem, 100%), 1fr)); gap: 0.5rem 1rem; padding: 0.3rem 0; }
      .fields label { display: grid; gap: 0.1rem; font-size: 0.85rem; color: var(--soft); }
      .fields input { color: var(--ink); background: var(--field); border: 1px solid var(--hairline); padding: 0.3rem 0.45rem; min-width: 0; }
      .pages { display: grid; gap: 0.8rem; margin-top: 0.8rem; }
      .pages svg { display: block; width: 100%; height: auto; border: 1px solid var(--hairline); }
      @media (pointer: coarse) { .fields input, .block summary { min-height: 44px; } }
      @media print {
        dialog, dialog[open] {
          position: static; display: block; width: auto; max-width: none; max-height: none; margin: 0; padding: 0; border: 0;
          overflow: visible; background: #fff;
        }
        dialog::backdrop { display: none; }
        .head, .choices, .block, .note { display: none; }
        .body { padding: 0; }
        .pages { display: block; margin: 0; }
        .page { break-after: page; break-inside: avoid; }
        .page:last-child { break-after: auto; }
        .pages svg { width: var(--paper-width); height: var(--paper-height); border: 0; }
      }
    `,
  ];

  constructor() {
    super();
    this.letter = view.peek().heard;
  }

  override show(): void {
    this.letter = view.peek().heard;
    const { fields } = titleBlock.peek();
    if (!fields.date) writeTitleBlock({ fields: { ...fields, date: new Date().toISOString().slice(0, 10) } });
    document.documentElement.dataset.print = 'sheet';
    this.requestUpdate();
    super.show();
  }

  #closed = (): void => {
    delete document.documentElement.dataset.print;
    // takes the paper's size and the pages away again
    this.requestUpdate();
  };

  #options(): SheetOptions {
    const { paper, fields } = titleBlock.value;
    return { paper, units: view.value.units, fields };
  }

  #slot() {
    return slots.value.find(slot => slot.letter === this.letter) ?? slots.value[0];
  }

  /** The page rule of the chosen paper, and everything but this sheet left off the paper. */
  #preparePaper(paper: Paper): void {
    let style = document.getElementById(PRINT_STYLE);
    if (!style) {
      style = document.createElement('style');
      style.id = PRINT_STYLE;
      document.head.append(style);
    }
    const { width, height } = PAPERS[paper];
    const text = `@media print { html[data-print='sheet'] { cc-app, cc-render { display: none; } body { min-height: 0; } } }`;
    style.textContent =
      document.documentElement.dataset.print === 'sheet'
        ? `@page { size: ${width}mm ${height}mm; margin: 0; } ${text}`
        : '';
  }

  override updated(): void {
    this.#preparePaper(titleBlock.peek().paper);
  }

  #print = (): void => {
    this.#preparePaper(titleBlock.peek().paper);
    print();
  };

  #save = (): void => {
    const { letter, build } = this.#slot();
    saveFile(
      `${letter}_${fileStem(build.name) || 'build'}_sheet.svg`,
      sheetSvg(build, this.#options()),
      'image/svg+xml',
    );
  };

  override render() {
    const { letter, build } = this.#slot();
    const { paper, fields } = titleBlock.value;
    const { width, height } = PAPERS[paper];
    return html`<dialog aria-labelledby="title" @close=${this.#closed}>
      <div class="head">
        <h2 id="title">${words.sheetTitle}</h2>
        <button class="plain" aria-label=${words.close} @click=${this.close}>×</button>
      </div>
      <div class="body">
        <div class="choices">
          <label>${words.sheetBuild}
            <select @change=${(event: Event) => (this.letter = (event.target as HTMLSelectElement).value as Letter)}>
              ${slots.value.map(
                slot =>
                  html`<option value=${slot.letter} ?selected=${slot.letter === letter}>${slot.letter} ${slot.build.name}</option>`,
              )}
            </select>
          </label>
          <label>${words.paper}
            <select @change=${(event: Event) => writeTitleBlock({ paper: (event.target as HTMLSelectElement).value as Paper })}>
              ${(Object.keys(PAPERS) as Paper[]).map(
                name => html`<option value=${name} ?selected=${name === paper}>${words.papers[name]}</option>`,
              )}
            </select>
          </label>
          <div class="actions">
            <button @click=${this.#save}>${words.saveSvg}</button>
            <button class="main" @click=${this.#print}>${words.print}</button>
          </div>
        </div>
        <p class="small soft note">${words.actualSize}</p>
        <details class="block">
          <summary>${words.titleBlock}</summary>
          <div class="fields">
            ${TITLE_FIELDS.map(
              name => html`<label>${words.fields[name]}
                <input
                  maxlength=${LONGEST}
                  .value=${fields[name] ?? ''}
                  placeholder=${name === 'title' ? build.name : ''}
                  @change=${(event: Event) =>
                    writeTitleBlock({ fields: { ...fields, [name]: (event.target as HTMLInputElement).value } })}
                />
              </label>`,
            )}
          </div>
          <p class="small soft">${words.fieldsNote}</p>
        </details>
        <div class="pages" style="--paper-width:${width}mm;--paper-height:${height}mm">
          ${
            document.documentElement.dataset.print === 'sheet'
              ? sheetPages(build, this.#options()).map(
                  (page, i, all) =>
                    html`<div class="page" role="img" aria-label=${words.pageLabel(i + 1, all.length)}>${unsafeHTML(page)}</div>`,
                )
              : ''
          }
        </div>
      </div>
    </dialog>`;
  }
}
customElements.define('cc-sheet', SheetDialog);

declare global {
  interface HTMLElementTagNameMap {
    'cc-sheet': SheetDialog;
  }
}
