/** `<cc-header>`: the sheet's title, the benches, and what is done with the whole sheet. */
import { css, html } from 'lit';
import { setSheetNote, setTitle } from '../../shared/document/edits/sheet.ts';
import '../keep/open-menu.ts';
import { saveProject } from '../keep/project-files.ts';
import '../parts/menu.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { notify } from '../state/notices.ts';
import { editSheet, store, view } from '../state/page.ts';
import { words as keepWords } from '../words/keep-words.ts';
import { words } from '../words/page-words.ts';
import { addressOf, BENCH_NAMES, type BenchName, bench, goTo } from './benches.ts';
import { redo, undo } from './undo.ts';

/** Copies a link to the sheet and says what it carries; listening results go along or stay, as the person says. */
async function copyLink(withResults = true): Promise<void> {
  const sheet = store.value;
  const results = sheet.runs?.length ?? 0;
  const url = new URL(location.href);
  const { writeLink } = await import('../files/link.ts');
  url.hash = writeLink(withResults ? sheet : { ...sheet, runs: [] });
  try {
    await navigator.clipboard.writeText(url.href);
    const other = withResults ? words.linkWithout : words.linkWith;
    notify(
      words.linkCopied(url.href.length, sheet.builds.length, withResults ? results : 0),
      'note',
      results > 0 ? { label: other, run: () => void copyLink(!withResults) } : undefined,
    );
  } catch {
    history.replaceState(null, '', url.hash);
    notify(words.linkShown, 'warning');
  }
}

/** Opens the dialog of sound files; it is fetched and made when it is first asked for. */
async function showRender(): Promise<void> {
  await import('../keep/render-dialog.ts');
  let dialog = document.querySelector('cc-render');
  if (!dialog) document.body.append((dialog = document.createElement('cc-render')));
  dialog.show();
}

export class Header extends SignalElement {
  static override styles = [
    shared,
    css`
      :host { container-type: inline-size; }
      header {
        display: flex; flex-wrap: wrap; align-items: center; gap: 0.2rem 0.9rem; padding: 0.35rem 1.25rem;
        background: var(--panel); border-bottom: 1px solid var(--hairline);
      }
      h1 { font: 600 1.35rem var(--ui); margin: 0 0.3rem 0 0; white-space: nowrap; }
      .titles { display: flex; flex: 1 1 9rem; gap: 0.3rem; align-items: baseline; min-width: 0; }
      .titles input {
        border: 1px solid transparent; background: none; padding: 0.2rem 0.35rem; min-width: 3rem; text-overflow: ellipsis;
      }
      .titles input:hover, .titles input:focus { border-color: var(--hairline); background: var(--field); }
      .title { font-weight: 600; width: 12ch; flex: 0 1 auto; field-sizing: content; }
      .note { color: var(--soft); flex: 1 1 4rem; width: 4rem; }
      nav, .sheet { display: flex; gap: 0.1rem; align-items: center; flex-wrap: wrap; }
      .sheet button { padding-inline: 0.5rem; }
      nav a {
        color: inherit; text-decoration: none; font-weight: 500; font-size: 1.05rem; padding: 0.35rem 0.9rem; min-height: 2.1rem;
        border-bottom: 3px solid transparent;
      }
      nav a:hover { border-bottom-color: var(--hairline); }
      nav a[aria-current='page'] { border-bottom-color: var(--ink); font-weight: 600; }
      fieldset { border: 0; margin: 0 0 0.7rem; padding: 0; }
      legend { color: var(--soft); font-size: 0.85rem; padding: 0 0 0.2rem; }
      label { display: inline-flex; gap: 0.35rem; align-items: center; margin-right: 0.9rem; min-height: 1.8rem; }
      cc-menu p { font-size: 0.9rem; width: 24rem; max-width: 100%; }
      cc-menu p + p { margin-top: 0.6rem; }
      @container (max-width: 86rem) { .note { display: none; } .titles { flex-basis: 6rem; } }
      @container (max-width: 74rem) {
        header { column-gap: 0.4rem; }
        nav a { padding-inline: 0.55rem; }
        .sheet button, .sheet cc-menu, cc-open { font-family: var(--narrow); }
        .sheet button { padding-inline: 0.35rem; }
      }
      @container (max-width: 40rem) {
        header { padding: 0.2rem 0.75rem; }
        h1 { font-size: 1.1rem; }
        .sheet { gap: 0; font-size: 0.95rem; }
        .sheet button { padding-inline: 0.28rem; }
        .sheet cc-menu::part(button) { padding-inline: 0.28rem; }
        .sheet button, .sheet cc-menu, cc-open { flex: none; }
      }
      @media (forced-colors: active) { nav a[aria-current='page'] { border-bottom-color: Highlight; } }
      @media print { nav, .sheet { display: none; } }
    `,
  ];

  #title(name: 'title' | 'note', label: string, step: string, longest: number) {
    const set = name === 'title' ? setTitle : setSheetNote;
    return html`<input
      class=${name}
      aria-label=${label}
      maxlength=${longest}
      .value=${store.sheet.value[name]}
      @change=${(event: Event) => {
        const text = (event.target as HTMLInputElement).value;
        editSheet(step, s => set(s, text));
      }}
    />`;
  }

  #benches() {
    const here = bench.value;
    const open = (event: MouseEvent, name: BenchName) => {
      // another tab or window is the browser's business
      if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
      event.preventDefault();
      goTo(name);
    };
    return html`<nav aria-label=${words.benchesLabel}>
      ${BENCH_NAMES.map(
        name => html`<a
          href=${addressOf(name)}
          aria-current=${name === here ? 'page' : 'false'}
          title=${words.benchTitles[name]}
          @click=${(event: MouseEvent) => open(event, name)}
          >${words.benches[name]}</a
        >`,
      )}
    </nav>`;
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

  #sheet() {
    const step = (text: string, said: string, name: string | null, act: () => void) =>
      html`<button class="plain" ?disabled=${!name} title=${said} aria-label=${said} @click=${act}>${text}</button>`;
    const [back, on] = [store.undoName.value, store.redoName.value];
    return html`<div class="sheet" role="group" aria-label=${words.sheetLabel}>
      ${step(words.undo, words.undoStep(back), back, undo)} ${step(words.redo, words.redoStep(on), on, redo)}
      <cc-open></cc-open>
      <button class="plain" title=${keepWords.saveTitle} @click=${saveProject}>${keepWords.save}</button>
      <button class="plain" title=${keepWords.renderTitle} @click=${showRender}>${keepWords.render}</button>
      <button class="plain" @click=${() => void copyLink()}>${words.link}</button>
      <cc-menu text=${words.about}>
        ${[...words.aboutText, words.hearing, words.workshop].map(text => html`<p>${text}</p>`)}
        <p><a href="notices.txt" target="_blank" rel="noopener">${words.notices}</a></p>
      </cc-menu>
      <cc-menu text=${words.appearance} label=${words.appearanceLabel}>
        ${this.#choice(words.sheetChoice, 'sheet', words.sheetChoices)}
        ${this.#choice(words.sizeChoice, 'size', words.sizeChoices)}
        ${this.#choice(words.unitsChoice, 'units', words.unitsChoices)}
      </cc-menu>
    </div>`;
  }

  override render() {
    return html`<header>
      <h1>${words.product}</h1>
      <div class="titles">
        ${this.#title('title', words.titleLabel, words.titleStep, 80)}
        ${this.#title('note', words.noteLabel, words.noteStep, 400)}
      </div>
      ${this.#benches()} ${this.#sheet()}
    </header>`;
  }
}
customElements.define('cc-header', Header);
