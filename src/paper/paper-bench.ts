/**
 * `<cc-paper>`, the bench Paper: the build sheet of the heard build as it will be printed, filled in beside it. It
 * follows every edit; the browser prints it.
 */
import { css, html } from 'lit';
import { guard } from 'lit/directives/guard.js';
import type { Letter } from '../../shared/document/sheet.ts';
import { fileStem } from '../files/file-names.ts';
import { colourOf } from '../parts/builds.ts';
import { saveFile } from '../parts/plot-export.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { heard, slots, store, view } from '../state/page.ts';
import { words } from '../words/paper-words.ts';
import { drawnElement } from './drawn-text.ts';
import { PAPERS, type Paper, type SheetOptions, sheetPages, sheetSvg } from './sheet-svg.ts';
import { LONGEST, TITLE_FIELDS, titleBlock, writeTitleBlock } from './title-block.ts';

export class PaperBench extends SignalElement {
  static override styles = [
    shared,
    css`
      :host { display: grid; grid-template-columns: minmax(15rem, 22rem) minmax(0, 1fr); gap: 1rem; align-items: start; }
      .form { padding: 0.7rem 0.9rem 0.9rem; display: grid; gap: 0.6rem; position: sticky; top: 0.5rem; }
      .form h2 { font: 600 1.15rem var(--narrow); letter-spacing: 0; text-transform: none; color: var(--ink); }
      .form label { display: grid; gap: 0.1rem; font-size: 0.85rem; color: var(--soft); min-width: 0; }
      .actions { display: flex; flex-wrap: wrap; gap: 0.5rem; }
      select, input { color: var(--ink); min-width: 0; width: 100%; }
      fieldset { border: 0; border-top: 1px solid var(--hairline); margin: 0.2rem 0 0; padding: 0.3rem 0 0; min-width: 0; }
      legend { font-weight: 600; font-size: 0.95rem; padding: 0 0.4rem 0 0; }
      .fields { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(9rem, 100%), 1fr)); gap: 0.35rem 0.7rem; }
      .fields input { background: var(--field); border: 1px solid var(--hairline); padding: 0.25rem 0.45rem; min-height: 1.9rem; }
      .pages { display: grid; gap: 0.8rem; }
      .pages svg { display: block; width: 100%; height: auto; border: 1px solid var(--hairline); }
      button.main { background: var(--ink); color: var(--paper); border-color: var(--ink); }
      .letter { font-weight: 600; }
      @media (pointer: coarse) { .fields input { min-height: 44px; } }
      @media (max-width: 760px) {
        :host { grid-template-columns: minmax(0, 1fr); }
        .form { position: static; }
      }
      @media print {
        :host, .pages { display: block; }
        .form { display: none; }
        .page { break-after: page; break-inside: avoid; }
        .page:last-child { break-after: auto; }
        .pages svg { width: var(--paper-width); height: var(--paper-height); border: 0; }
      }
    `,
  ];

  /** A page rule has no meaning inside a shadow root, so the paper is set in the document while the bench stands. */
  #rule = new CSSStyleSheet();

  override connectedCallback(): void {
    super.connectedCallback();
    const { fields } = titleBlock.peek();
    if (!fields.date) writeTitleBlock({ fields: { ...fields, date: new Date().toISOString().slice(0, 10) } });
    document.adoptedStyleSheets.push(this.#rule);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    document.adoptedStyleSheets = document.adoptedStyleSheets.filter(sheet => sheet !== this.#rule);
  }

  override updated(): void {
    const { width, height } = PAPERS[titleBlock.peek().paper];
    this.#rule.replaceSync(`@media print { @page { size: ${width}mm ${height}mm; margin: 0; } }`);
  }

  #options(): SheetOptions {
    const { paper, fields } = titleBlock.value;
    return { paper, units: view.value.units, fields };
  }

  #save = (): void => {
    const build = heard.peek();
    const name = `${view.peek().heard}_${fileStem(build.name) || 'build'}_sheet.svg`;
    saveFile({ name, content: sheetSvg(build, this.#options()), type: 'image/svg+xml' });
  };

  #form() {
    const { heard: letter } = view.value;
    const { paper, fields } = titleBlock.value;
    return html`<section class="panel form" aria-label=${words.sheet}>
      <h2>${words.sheet} <span class="letter" style="color:${colourOf(letter)}">${letter}</span></h2>
      <label>${words.build}
        <select @change=${(event: Event) => store.look({ heard: (event.target as HTMLSelectElement).value as Letter })}>
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
        <button class="main" @click=${() => print()}>${words.print}</button>
        <button @click=${this.#save}>${words.saveSvg}</button>
      </div>
      <p class="small soft">${words.actualSize}</p>
      <fieldset>
        <legend>${words.titleBlock}</legend>
        <div class="fields">
          ${TITLE_FIELDS.map(
            name => html`<label>${words.fields[name]}
              <input
                maxlength=${LONGEST}
                .value=${fields[name] ?? ''}
                placeholder=${name === 'title' ? heard.value.name : ''}
                @change=${(event: Event) =>
                  writeTitleBlock({ fields: { ...fields, [name]: (event.target as HTMLInputElement).value } })}
              />
            </label>`,
          )}
        </div>
        <p class="small soft">${words.fieldsNote}</p>
      </fieldset>
    </section>`;
  }

  override render() {
    const build = heard.value;
    const options = this.#options();
    const { width, height } = PAPERS[options.paper];
    return html`${this.#form()}
      <section class="pages" aria-label=${words.preview} style="--paper-width:${width}mm;--paper-height:${height}mm">
        ${guard([build, titleBlock.value, options.units], () =>
          sheetPages(build, options).map(
            (page, i, all) =>
              html`<div class="page" role="img" aria-label=${words.pageLabel(i + 1, all.length)}>${drawnElement(page)}</div>`,
          ),
        )}
      </section>`;
  }
}
customElements.define('cc-paper', PaperBench);
