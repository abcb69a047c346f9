/** The list of builds: names, order, copies, removal with a way back, and what the heard one has otherwise. */
import { css, html } from 'lit';
import {
  addBuild,
  buildOf,
  copyBuild,
  editBuild,
  freeLetter,
  moveBuild,
  removeBuild,
  renameBuild,
} from '../../shared/document/edits/builds.ts';
import { setValue } from '../../shared/document/edits/value.ts';
import { LETTERS, type Letter } from '../../shared/document/sheet.ts';
import { colourOf } from '../parts/builds.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { notify } from '../state/notices.ts';
import { editSheet, slots, store, view } from '../state/page.ts';
import { letterHeard } from '../state/sound.ts';
import { words } from '../words/dock-words.ts';
import './differences-table.ts';

export function copyHeard(from: Letter): void {
  const free = freeLetter(store.sheet.peek());
  if (free) editSheet(words.addStep(free), sheet => copyBuild(sheet, from));
}

/** Removes a build and offers it back, wherever the person looks next. */
function remove(letter: Letter): void {
  const before = store.sheet.peek();
  const slot = before.builds.find(one => one.letter === letter);
  editSheet(words.removeStep(letter), sheet => removeBuild(sheet, letter));
  if (!slot || store.sheet.peek() === before) return;
  notify(words.removed(letter, slot.build.name), 'note', {
    label: words.bringBack,
    // as it was, under its letter, whatever was done since
    run: () => editSheet(words.bringBackStep(letter), sheet => addBuild(sheet, slot.build, letter)),
  });
}

export class BuildsPanel extends SignalElement {
  static override styles = [
    shared,
    css`
      ol { list-style: none; margin: 0 0 0.6rem; padding: 0; display: grid; gap: 0.3rem; }
      li { display: grid; grid-template-columns: auto minmax(8rem, 1fr) auto auto auto auto; gap: 0.3rem; align-items: center; }
      .letter { width: 2.1rem; padding: 0; font: 600 1.05rem var(--ui); color: var(--build); border: 2px solid var(--build); }
      .letter[aria-pressed='true'] { background: var(--build); color: var(--on-build); box-shadow: none; border-color: var(--build); }
      input { border: 1px solid var(--hairline); background: var(--field); padding: 0.2rem 0.4rem; min-height: 2.1rem; width: 100%; min-width: 0; }
      .step { width: 2.1rem; padding: 0; }
      .step svg { width: 0.9rem; height: 0.9rem; display: block; margin: auto; stroke: currentColor; fill: none; stroke-width: 2; }
      .note { display: grid; gap: 0.15rem; margin-bottom: 0.6rem; }
      .note textarea {
        border: 1px solid var(--hairline); background: var(--field); color: var(--ink); padding: 0.25rem 0.4rem; font: inherit;
        resize: vertical; border-radius: 0;
      }
      .actions { display: flex; flex-wrap: wrap; gap: 0.4rem; align-items: center; margin-bottom: 0.7rem; }
      @media (max-width: 600px) {
        li { grid-template-columns: auto minmax(0, 1fr) auto auto; }
        li .copy { grid-column: 2; justify-self: start; }
        li .remove { grid-column: 3 / 5; }
      }
    `,
  ];

  async #move(letter: Letter, by: -1 | 1): Promise<void> {
    editSheet(words.moveStep(letter), sheet => moveBuild(sheet, letter, by));
    await this.updateComplete;
    const at = slots.peek().findIndex(slot => slot.letter === letter) + by;
    const buttons = this.renderRoot.querySelectorAll<HTMLButtonElement>(by < 0 ? '.up' : '.down');
    const button = buttons[at];
    // the focus goes with the build, so that it can be moved on
    if (button && !button.disabled) button.focus();
    else this.renderRoot.querySelectorAll<HTMLInputElement>('li input')[at]?.focus();
  }

  override render() {
    const { heard } = view.value;
    const all = slots.value;
    const full = all.length >= LETTERS.length;
    return html`
      <ol aria-label=${words.builds}>
        ${all.map(
          ({ letter, build }, i) => html`<li>
            <button
              class="letter"
              style="--build:${colourOf(letter)}"
              aria-pressed=${letter === letterHeard.value}
              aria-label=${words.buildButton(letter, build.name)}
              @click=${() => store.look({ heard: letter })}
            >${letter}</button>
            <input
              aria-label=${words.rename(letter)}
              maxlength="60"
              .value=${build.name}
              @change=${(event: Event) => {
                const input = event.target as HTMLInputElement;
                editSheet(words.renameStep(letter), sheet => renameBuild(sheet, letter, input.value));
                if (input.value.trim() === '') input.value = build.name;
              }}
            />
            <button class="step up" ?disabled=${i === 0} aria-label=${words.moveUp(letter)} title=${words.moveUp(letter)}
              @click=${() => void this.#move(letter, -1)}>
              <svg viewBox="0 0 16 16" aria-hidden="true"><path d="M3 10L8 5L13 10" /></svg>
            </button>
            <button class="step down" ?disabled=${i === all.length - 1} aria-label=${words.moveDown(letter)} title=${words.moveDown(letter)}
              @click=${() => void this.#move(letter, 1)}>
              <svg viewBox="0 0 16 16" aria-hidden="true"><path d="M3 6L8 11L13 6" /></svg>
            </button>
            <button class="copy" ?disabled=${full} aria-label=${words.copyTitle(letter)} @click=${() => copyHeard(letter)}>${words.copy}</button>
            <button class="remove" ?disabled=${all.length < 2} aria-label=${words.removeTitle(letter)} @click=${() => remove(letter)}>
              ${words.remove}
            </button>
          </li>`,
        )}
      </ol>
      <label class="note">
        <span class="small soft">${words.buildNote(heard)}</span>
        <textarea rows="2" maxlength="400" .value=${buildOf(store.sheet.value, heard).note}
          @change=${(event: Event) => {
            const note = (event.target as HTMLTextAreaElement).value.trim();
            editSheet(words.noteStep(heard), sheet => editBuild(sheet, heard, build => setValue(build, '/note', note)));
          }}></textarea>
      </label>
      <div class="actions">
        <span class="small soft">${full ? words.full : words.lettersHint}</span>
      </div>
      <cc-differences></cc-differences>
    `;
  }
}
customElements.define('cc-builds-panel', BuildsPanel);
