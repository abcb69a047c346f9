/** `<cc-open>`: what can take the place of the sheet: a file, the demo, one of the last sheets that were here. */
import { css, html } from 'lit';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import '../parts/menu.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { earlier } from '../state/earlier.ts';
import type { Entry } from '../state/journal.ts';
import { words } from '../words/keep-words.ts';
import { chooseFile } from './project-files.ts';
import { replaceSheet } from './replacing.ts';

export class OpenMenu extends SignalElement {
  static override styles = [
    shared,
    css`
      cc-menu { font-family: inherit; }
      .ways { display: flex; gap: 0.5rem; }
      p { font-size: 0.9rem; color: var(--soft); max-width: 20rem; }
      h3 { font-size: 0.9rem; margin: 0.8rem 0 0.3rem; }
      ul { list-style: none; margin: 0; padding: 0; display: grid; gap: 0.3rem; }
      li button { width: 100%; text-align: left; height: auto; padding-block: 0.3rem; }
      time { color: var(--soft); font-size: 0.85rem; margin-left: 0.6rem; }
    `,
  ];

  /** Acts and closes the panel, whose work is done. */
  #then = (act: () => void) => (): void => {
    this.renderRoot.querySelector('cc-menu')?.close();
    act();
  };

  #earlier({ at, sheet }: Entry) {
    const line = words.earlierLine(sheet.title, words.earlierBuilds(sheet.builds.map(slot => slot.letter)));
    return html`<li>
      <button @click=${this.#then(() => replaceSheet(words.openEarlierStep(sheet.title), sheet))}>
        ${line}<time datetime=${new Date(at).toISOString()}>${words.earlierAt(at)}</time>
      </button>
    </li>`;
  }

  override render() {
    const list = earlier.value;
    return html`<cc-menu text=${words.open} label=${words.openTitle}>
      <div class="ways">
        <button title=${words.openFileHint} @click=${this.#then(chooseFile)}>${words.openFile}</button>
        <button @click=${this.#then(() => replaceSheet(words.openDemoStep, demoSheet()))}>${words.openDemo}</button>
      </div>
      <h3>${words.earlier}</h3>
      ${list.length > 0 ? html`<ul>${list.map(entry => this.#earlier(entry))}</ul>` : html`<p>${words.noEarlier}</p>`}
    </cc-menu>`;
  }
}
customElements.define('cc-open', OpenMenu);
