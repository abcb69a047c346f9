/**
 * `<cc-recordings>`: the button in the dock and the dialog behind it. Files may be dropped anywhere on the page.
 */
import { css, html, nothing } from 'lit';
import type { OwnTake } from '../../shared/take/own/own-take.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import {
  bring,
  bringing,
  choose,
  dismissProblem,
  ownTakes,
  problems,
  remove,
  storage,
} from '../state/own-recordings.ts';
import { store } from '../state/page.ts';
import { words } from '../words/recordings-words.ts';
import { formStyles } from './form-styles.ts';

/** What the picker offers; whatever else is chosen or dropped is tried, too. */
const ACCEPT = 'audio/*,.wav,.flac,.mp3,.ogg,.oga,.opus,.aac,.m4a,.mp4,.rf64,.bwf';
/** Dropped files that belong to other parts of the page. */
const OTHER = /\.(json|csv|txt|cir|s1p|s2p|zma)$/i;

/** Ahead of what opens sheets: a file that may be a recording is taken here, the others are left. */
const CAPTURE = { capture: true };

export class Recordings extends SignalElement {
  static override properties = { opened: { state: true }, edited: { state: true }, dropping: { state: true } };
  /** It has been open: what is in it stays, since a live input plays on when the dialog is closed. */
  declare opened: boolean;
  /** Id of the take whose form is open. */
  declare edited: string | null;
  declare dropping: boolean;

  static override styles = [
    shared,
    formStyles,
    css`
      :host { display: inline-block; }
      dialog {
        width: min(56rem, calc(100vw - 1rem)); max-width: none; max-height: calc(100vh - 2rem); padding: 0; color: var(--ink);
        background: var(--panel); border: 1px solid var(--ink); border-radius: 0; overflow: auto; overscroll-behavior: contain;
      }
      dialog::backdrop { background: var(--paper); opacity: 0.75; }
      .head {
        display: flex; gap: 1rem; align-items: center; justify-content: space-between; position: sticky; top: 0; z-index: 1;
        padding: 0.4rem 1rem; background: var(--panel); border-bottom: 1px solid var(--hairline);
      }
      .body { padding: 0.6rem 1rem 1rem; }
      .body > .row { margin: 0.6rem 0 0.3rem; }
      .body > p + details, .body > .problems { margin-top: 0.6rem; }
      .take { border-top: 1px solid var(--hairline); padding: 0.5rem 0; }
      .line { display: flex; flex-wrap: wrap; gap: 0.3rem 0.9rem; align-items: center; }
      .line h3 { flex: 1 1 12rem; min-width: 0; overflow-wrap: anywhere; }
      .line h3 span { display: block; font: 400 0.85rem var(--ui); color: var(--soft); }
      .problems p { display: flex; flex-wrap: wrap; gap: 0.4rem 0.8rem; align-items: center; max-width: none; }
      .problems span { flex: 1 1 14rem; }
      .job { display: flex; flex-wrap: wrap; gap: 0.4rem 0.8rem; align-items: center; max-width: none; }
      .drop {
        position: fixed; inset: 0.6rem; z-index: 30; display: grid; place-items: center; pointer-events: none;
        border: 2px dashed var(--ink); background: color-mix(in srgb, var(--paper) 80%, transparent); font: 600 1.4rem var(--ui);
      }
      details { border-top: 1px solid var(--hairline); padding: 0.5rem 0; }
      summary { cursor: pointer; font: 600 1.05rem var(--narrow); min-height: 1.8rem; }
      @media (pointer: coarse) { summary { min-height: 44px; display: flex; align-items: center; } }
      @media (max-width: 600px) { .body { padding: 0.5rem 0.7rem 1rem; } }
    `,
  ];

  constructor() {
    super();
    this.opened = false;
    this.edited = null;
    this.dropping = false;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    addEventListener('dragover', this.#over, CAPTURE);
    addEventListener('dragleave', this.#leave, CAPTURE);
    addEventListener('drop', this.#drop, CAPTURE);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    removeEventListener('dragover', this.#over);
    removeEventListener('dragleave', this.#leave);
    removeEventListener('drop', this.#drop);
  }

  #over = (event: DragEvent): void => {
    const items = [...(event.dataTransfer?.items ?? [])].filter(item => item.kind === 'file');
    if (items.length === 0 || items.every(item => /json|csv|text/.test(item.type))) return;
    event.preventDefault();
    if (event.dataTransfer) event.dataTransfer.dropEffect = 'copy';
    this.dropping = true;
  };

  #leave = (event: DragEvent): void => {
    if (event.relatedTarget === null) this.dropping = false;
  };

  #drop = (event: DragEvent): void => {
    this.dropping = false;
    const recordings = [...(event.dataTransfer?.files ?? [])].filter(file => !OTHER.test(file.name));
    if (recordings.length === 0) return;
    event.preventDefault();
    void this.show();
    void bring(recordings);
  };

  #dialog = (): HTMLDialogElement | null => this.renderRoot.querySelector('dialog');

  /** Opens the dialog; what stands in it is fetched when it is first asked for. */
  async show(): Promise<void> {
    await import('./recordings-inside.ts');
    this.opened = true;
    const dialog = this.#dialog();
    if (dialog && !dialog.open) dialog.showModal();
  }

  #picked = (event: Event): void => {
    const input = event.target as HTMLInputElement;
    void bring([...(input.files ?? [])]);
    input.value = '';
  };

  #take(take: OwnTake) {
    const inUse = store.sheet.value.take === take.id;
    const open = this.edited === take.id || (this.edited === null && inUse);
    return html`<article class="take" data-take=${take.id}>
      <div class="line">
        <h3>${take.name}<span>${words.about(take.frames / take.sampleRate, take.roles.length, take.sampleRate, take.size)}</span></h3>
        <button aria-pressed=${inUse} @click=${() => choose(take.id)}>${inUse ? words.inUse : words.use}</button>
        <button
          aria-expanded=${open}
          aria-label=${words.editOf(take.name)}
          @click=${() => {
            this.edited = open ? '' : take.id;
          }}
        >${words.edit}</button>
        <button class="plain" aria-label=${words.removeOf(take.name)} @click=${() => remove(take.id)}>${words.remove}</button>
      </div>
      ${open ? html`<cc-own-take .take=${take}></cc-own-take>` : nothing}
    </article>`;
  }

  #content() {
    const space = storage.value;
    return html`<div class="body">
      <p class="small soft">${words.stays} ${space ? words.storage(space.used, space.quota) : ''}</p>
      <div class="row">
        <button class="bring" style="margin-top:0" @click=${() => this.renderRoot.querySelector<HTMLInputElement>('input[type=file]')?.click()}>
          ${words.bring} …
        </button>
        <input type="file" multiple hidden accept=${ACCEPT} aria-label=${words.bring} @change=${this.#picked} />
      </div>
      <p class="small soft">${words.bringHint}</p>
      <div role="status">
        ${bringing.value.map(
          job => html`<p class="job">
            <span>${words.opening(job.name)}</span>
            <progress max="1" .value=${job.part} aria-label=${words.opening(job.name)}></progress>
            <button aria-label=${words.cancelOf(job.name)} @click=${job.cancel}>${words.cancel}</button>
          </p>`,
        )}
      </div>
      <div class="problems" role="alert">
        ${problems.value.map(
          problem => html`<p class="problem">
            <span>${problem.text}</span>
            ${
              problem.action
                ? html`<button
                    @click=${() => {
                      dismissProblem(problem.id);
                      problem.action?.run();
                    }}
                  >${problem.action.label}</button>`
                : nothing
            }
            <button class="plain" @click=${() => dismissProblem(problem.id)}>${words.dismiss}</button>
          </p>`,
        )}
      </div>
      <details>
        <summary>${words.record}</summary>
        <cc-recorder></cc-recorder>
      </details>
      <details>
        <summary>${words.live}</summary>
        <cc-live-input></cc-live-input>
      </details>
      ${ownTakes.value.length === 0 ? html`<p class="soft">${words.none}</p>` : ownTakes.value.map(take => this.#take(take))}
    </div>`;
  }

  override render() {
    return html`<button class="tight" title=${words.openTitle} @click=${() => void this.show()}>${words.open}</button>
      <dialog aria-label=${words.heading}>
        <div class="head">
          <h2>${words.heading}</h2>
          <button class="plain" @click=${() => this.#dialog()?.close()}>${words.close}</button>
        </div>
        ${this.opened ? this.#content() : nothing}
      </dialog>
      ${this.dropping ? html`<div class="drop">${words.drop}</div>` : nothing}`;
  }
}
customElements.define('cc-recordings', Recordings);
declare global {
  interface HTMLElementTagNameMap {
    'cc-recordings': Recordings;
  }
}
