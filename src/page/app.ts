/** The page: header, notices and the four bands. */
import { css, html, nothing } from 'lit';
import { openSheet, setSheetNote, setTitle } from '../../shared/document/edits/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { writeLink } from '../files/link.ts';
import { keepSheet } from '../keep/keeping.ts';
import { acceptDrops, chooseFile, saveProject } from '../keep/project-files.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { selectPosition } from '../sound/path/edits.ts';
import { dismiss, notices, notify } from '../state/notices.ts';
import { editSheet, store, view } from '../state/page.ts';
import { blindOverride } from '../state/sound.ts';
import { words as keepWords } from '../words/keep-words.ts';
import { words } from '../words/page-words.ts';
import '../sound/plan/plan.ts';
import '../sound/path/path.ts';
import '../sound/path/station.ts';
import '../sound/readings/readings.ts';
import '../listening/dock.ts';
import '../keep/render-dialog.ts';
import '../paper/sheet-dialog.ts';

export class App extends SignalElement {
  static override styles = [
    shared,
    css`
      :host { display: grid; grid-template-rows: auto auto 1fr auto; min-height: 100vh; }
      header {
        display: flex; flex-wrap: wrap; align-items: center; gap: 0.2rem 0.9rem; padding: 0.35rem 1.25rem;
        background: var(--panel); border-bottom: 1px solid var(--hairline);
      }
      h1 { font: 600 1.35rem var(--ui); margin: 0 0.6rem 0 0; white-space: nowrap; }
      .titles { display: flex; flex: 1 1 16rem; gap: 0.3rem; align-items: baseline; min-width: 0; }
      .titles input {
        border: 1px solid transparent; background: none; padding: 0.2rem 0.35rem; min-width: 3rem; text-overflow: ellipsis;
      }
      .titles input:hover, .titles input:focus { border-color: var(--hairline); background: var(--field); }
      .title { font-weight: 600; width: 12ch; flex: 0 1 auto; field-sizing: content; }
      .note { color: var(--soft); flex: 1 1 8rem; }
      nav { display: flex; gap: 0.15rem; align-items: center; flex-wrap: wrap; }
      details.menu { position: relative; }
      details.menu summary {
        list-style: none; cursor: pointer; padding: 0 0.65rem; min-height: 2.1rem; border: 1px solid transparent; display: flex;
        align-items: center;
      }
      details.menu summary::-webkit-details-marker { display: none; }
      details.menu summary:hover, details.menu[open] summary { border-color: var(--ink); }
      .sheetlet {
        position: absolute; right: 0; top: calc(100% + 4px); z-index: 20; padding: 0.9rem 1rem; width: max-content;
        max-width: min(26rem, calc(100vw - 2rem)); border-color: var(--ink);
      }
      .sheetlet fieldset { border: 0; margin: 0 0 0.7rem; padding: 0; }
      .sheetlet legend { color: var(--soft); font-size: 0.85rem; padding: 0 0 0.2rem; }
      .sheetlet label { display: inline-flex; gap: 0.35rem; align-items: center; margin-right: 0.9rem; min-height: 1.8rem; }
      .sheetlet p + p { margin-top: 0.6rem; }
      .sheetlet p { font-size: 0.9rem; width: 24rem; max-width: 100%; }
      .notices { display: grid; gap: 1px; }
      .notice {
        display: flex; gap: 0.8rem; align-items: center; padding: 0.35rem 1.25rem; background: var(--panel);
        border-bottom: 1px solid var(--hairline); border-left: 4px solid var(--soft);
      }
      .notice.warning { border-left-color: var(--warn); }
      .notice p { flex: 1; }
      main { padding: 0.3rem 1.25rem 1rem; display: grid; gap: 0.55rem; grid-template-columns: minmax(0, 1fr); align-content: start; }
      .desk { display: grid; grid-template-columns: minmax(0, 1.72fr) minmax(0, 1fr); gap: 1rem; align-items: start; }
      .desk > section { position: sticky; top: 0.5rem; }
      cc-dock { position: sticky; bottom: 0; z-index: 10; }
      @media (max-width: 1100px) {
        .desk { grid-template-columns: minmax(0, 1fr); }
        .desk > section { position: static; }
        .note { display: none; }
        .titles { flex-basis: 6rem; }
      }
      @media (max-width: 600px) {
        header { padding: 0.35rem 0.75rem; }
        main { padding: 0.5rem 0.75rem 1rem; }
      }
      @media print { header nav, .notices, cc-dock { display: none; } }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    keepSheet();
    acceptDrops();
    addEventListener('keydown', this.#keys);
    addEventListener('hashchange', () => location.reload());
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    removeEventListener('keydown', this.#keys);
  }

  #keys = (event: KeyboardEvent): void => {
    if (event.altKey) return;
    if (!(event.ctrlKey || event.metaKey)) {
      this.#selector(event);
      return;
    }
    const target = event.composedPath()[0];
    // a text field being typed in keeps its own undo
    if (target instanceof HTMLInputElement && target.type === 'text' && target.value !== target.defaultValue) return;
    const key = event.key.toLowerCase();
    if (key === 'z') {
      event.preventDefault();
      if (event.shiftKey) this.#redo();
      else this.#undo();
    } else if (key === 'y') {
      event.preventDefault();
      this.#redo();
    }
  };

  /** A digit chooses that selector position of the heard build: everywhere but where text is typed, never in a dialog. */
  #selector(event: KeyboardEvent): void {
    if (!/^[1-9]$/.test(event.key) || event.repeat || event.defaultPrevented || blindOverride.peek()) return;
    const path = event.composedPath();
    const [target] = path;
    if (target instanceof HTMLInputElement && !['checkbox', 'radio', 'range'].includes(target.type)) return;
    if (target instanceof HTMLSelectElement || target instanceof HTMLTextAreaElement) return;
    if (path.some(node => node instanceof HTMLDialogElement)) return;
    event.preventDefault();
    selectPosition(Number(event.key) - 1);
  }

  #undo = (): void => {
    const name = store.undoName.peek();
    store.undo();
    if (name) notify(words.undone(name));
  };

  #redo = (): void => {
    const name = store.redoName.peek();
    store.redo();
    if (name) notify(words.redone(name));
  };

  /** Opens a dialog of the page; it is made when it is first asked for. */
  #show(name: 'cc-render' | 'cc-sheet'): void {
    let dialog = document.querySelector(name);
    if (!dialog) document.body.append((dialog = document.createElement(name)));
    dialog.show();
  }

  async #copyLink(): Promise<void> {
    const url = new URL(location.href);
    url.hash = writeLink(store.value);
    try {
      await navigator.clipboard.writeText(url.href);
      notify(words.linkCopied(url.href.length));
    } catch {
      history.replaceState(null, '', url.hash);
      notify(words.linkShown, 'warning');
    }
  }

  #choice<K extends 'sheet' | 'size' | 'units'>(legend: string, name: K, choices: Record<string, string>) {
    const now = view.value[name];
    return html`<fieldset>
      <legend>${legend}</legend>
      ${Object.entries(choices).map(
        ([value, label]) =>
          html`<label>
            <input
              type="radio"
              name=${name}
              .checked=${value === now}
              @change=${() => store.look({ [name]: value })}
            />${label}</label
          >`,
      )}
    </fieldset>`;
  }

  override render() {
    const sheet = store.sheet.value;
    return html`
      <header>
        <h1>${words.product}</h1>
        <div class="titles">
          <input
            class="title"
            aria-label=${words.titleLabel}
            maxlength="80"
            .value=${sheet.title}
            @change=${(event: Event) => {
              const title = (event.target as HTMLInputElement).value;
              editSheet('change title', s => setTitle(s, title));
            }}
          />
          <input
            class="note"
            aria-label="note on the sheet"
            maxlength="400"
            .value=${sheet.note}
            @change=${(event: Event) => {
              const note = (event.target as HTMLInputElement).value;
              editSheet('change note', s => setSheetNote(s, note));
            }}
          />
        </div>
        <nav aria-label="Sheet">
          <button class="plain" ?disabled=${!store.undoName.value} title=${words.undoStep(store.undoName.value)}
            aria-label=${words.undoStep(store.undoName.value)} @click=${this.#undo}>${words.undo}</button>
          <button class="plain" ?disabled=${!store.redoName.value} title=${words.redoStep(store.redoName.value)}
            aria-label=${words.redoStep(store.redoName.value)} @click=${this.#redo}>${words.redo}</button>
          <button class="plain" title=${keepWords.openTitle} @click=${chooseFile}>${keepWords.open}</button>
          <button class="plain" title=${keepWords.saveTitle} @click=${saveProject}>${keepWords.save}</button>
          <button class="plain" title=${keepWords.renderTitle} @click=${() => this.#show('cc-render')}>${keepWords.render}</button>
          <button class="plain" title=${keepWords.sheetTitle} @click=${() => this.#show('cc-sheet')}>${keepWords.sheet}</button>
          <button class="plain" @click=${this.#copyLink}>${words.link}</button>
          <button class="plain" @click=${() => editSheet(words.startOverStep, s => openSheet(s, demoSheet()))}>${words.startOver}</button>
          <details class="menu" name="menu">
            <summary>${words.about}</summary>
            <div class="panel sheetlet">
              ${words.aboutText.map(text => html`<p>${text}</p>`)}
              <p>${words.hearing}</p>
              <p>${words.workshop}</p>
              <p><a href="notices.txt" target="_blank" rel="noopener">${words.notices}</a></p>
            </div>
          </details>
          <details class="menu" name="menu">
            <summary aria-label=${words.appearanceLabel}>${words.appearance}</summary>
            <div class="panel sheetlet">
              ${this.#choice(words.sheetChoice, 'sheet', words.sheetChoices)}
              ${this.#choice(words.sizeChoice, 'size', words.sizeChoices)}
              ${this.#choice(words.unitsChoice, 'units', words.unitsChoices)}
            </div>
          </details>
        </nav>
      </header>
      <div class="notices" role="status">
        ${notices.value.map(
          notice =>
            html`<div class="notice ${notice.tone}">
              <p>${notice.text}</p>
              ${
                notice.action
                  ? html`<button
                    @click=${() => {
                      notice.action?.run();
                      dismiss(notice.id);
                    }}
                  >${notice.action.label}</button>`
                  : nothing
              }
              ${
                notice.also
                  ? html`<button
                    @click=${() => {
                      notice.also?.run();
                      dismiss(notice.id);
                    }}
                  >${notice.also.label}</button>`
                  : nothing
              }
              <button class="plain" aria-label=${words.dismiss} @click=${() => dismiss(notice.id)}>×</button>
            </div>`,
        )}
      </div>
      <main>
        <section aria-label=${words.bands.plan}><cc-plan></cc-plan></section>
        <section aria-label=${words.bands.path}><cc-path></cc-path></section>
        <div class="desk">
          <section aria-label=${words.bands.readings}><cc-readings></cc-readings></section>
          <cc-station></cc-station>
        </div>
      </main>
      <cc-dock></cc-dock>
    `;
  }
}
customElements.define('cc-app', App);
