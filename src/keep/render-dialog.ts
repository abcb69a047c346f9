/** `<cc-render>`: which builds, takes and test points become sound files, and how. */
import { css, html } from 'lit';
import { TEST_POINTS, type TestPoint } from '../../shared/document/build.ts';
import type { Letter } from '../../shared/document/sheet.ts';
import { fileStem } from '../files/file-names.ts';
import type { Bits } from '../files/render-files.ts';
import { colourOf } from '../parts/builds.ts';
import { Dialog, dialogStyles } from '../parts/dialog.ts';
import { saveFile } from '../parts/plot-export.ts';
import { shared } from '../parts/styles.ts';
import { store, view, written } from '../state/page.ts';
import { currentTake } from '../state/take.ts';
import { words } from '../words/keep-words.ts';
import { ableBuilds, countFiles, everyTake, type RenderOrder, renderOrder } from './rendering.ts';

const RATES = [44100, 48000, 88200, 96000] as const;
const BITS: readonly Bits[] = [16, 24, '32f'];
/** Seconds of a take whose length is not known yet: for the estimate of size only. */
const USUAL_LENGTH = 10;
/** More than this is refused, bytes. */
const MOST = 1.2e9;

interface Choice {
  builds: Letter[];
  takes: string[];
  points: TestPoint[];
  matched: boolean;
  bits: Bits;
  sampleRate: number;
}

export class RenderDialog extends Dialog {
  static override properties = { choice: { state: true }, busy: { state: true }, said: { state: true } };
  declare choice: Choice;
  declare busy: { part: number; name: string } | null;
  declare said: { tone: 'note' | 'problem'; text: string } | null;
  #abort: AbortController | null = null;

  static override styles = [
    shared,
    dialogStyles,
    css`
      .body { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(15rem, 100%), 1fr)); gap: 0.9rem 1.6rem; }
      .body > .wide { grid-column: 1 / -1; }
      label { display: flex; gap: 0.5rem; align-items: center; min-height: 1.75rem; }
      label.off { color: var(--soft); }
      .letter { font-weight: 600; color: var(--build); min-width: 1ch; }
      .why { display: block; font-size: 0.8rem; color: var(--soft); }
      input[type='radio'] { accent-color: var(--ink); margin: 0; width: 1rem; height: 1rem; flex: none; }
      input[type='checkbox'] { flex: none; }
      .end { display: flex; flex-wrap: wrap; gap: 0.6rem 1rem; align-items: center; border-top: 1px solid var(--hairline); padding-top: 0.8rem; }
      .end p { flex: 1 1 16rem; }
      progress { flex: 1 1 8rem; height: 0.9rem; accent-color: var(--ink); }
      .end .doing { white-space: nowrap; overflow: hidden; text-overflow: ellipsis; }
      .problem { color: var(--wrong); }
      @media (pointer: coarse) { label { min-height: 44px; } }
    `,
  ];

  constructor() {
    super();
    this.busy = null;
    this.said = null;
    this.choice = { builds: [], takes: [], points: [], matched: true, bits: 24, sampleRate: 48000 };
  }

  /** Opens with what is heard now: all builds, the take, the test point. */
  override show(): void {
    if (!this.busy) {
      this.said = null;
      this.choice = {
        ...this.choice,
        builds: written.peek().map(slot => slot.letter),
        takes: [store.value.take],
        points: [view.peek().point],
        matched: view.peek().levelMatch,
      };
    }
    super.show();
  }

  #order(): RenderOrder {
    const { choice } = this;
    const sheet = store.value;
    return {
      builds: written.value.filter(slot => choice.builds.includes(slot.letter)),
      takes: everyTake()
        .map(take => take.id)
        .filter(id => choice.takes.includes(id)),
      points: TEST_POINTS.filter(point => choice.points.includes(point)),
      matched: choice.matched,
      reference: view.value.reference,
      bits: choice.bits,
      sampleRate: choice.sampleRate,
      pluck: sheet.pluck,
      strings: sheet.strings,
      zipName: fileStem(sheet.title) || 'sheet',
    };
  }

  #start = async (): Promise<void> => {
    const abort = new AbortController();
    this.#abort = abort;
    this.said = null;
    this.busy = { part: 0, name: '' };
    try {
      const { name, blob, files, lowered } = await renderOrder(this.#order(), abort.signal, (part, doing) => {
        this.busy = { part, name: doing };
      });
      saveFile({ name, content: blob });
      const more = lowered > 0.05 ? ` ${words.lowered(lowered)}` : '';
      this.said = { tone: 'note', text: `${words.done(name, files)}${more} ${words.headphones}` };
    } catch (error) {
      this.said = abort.signal.aborted
        ? { tone: 'note', text: words.cancelled }
        : { tone: 'problem', text: words.failed(error instanceof Error ? error.message : String(error)) };
    } finally {
      this.busy = null;
    }
  };

  #set(change: Partial<Choice>): void {
    this.choice = { ...this.choice, ...change };
    this.said = null;
  }

  #toggle<K extends 'builds' | 'takes' | 'points'>(key: K, value: Choice[K][number], on: boolean): void {
    const list = this.choice[key] as Choice[K][number][];
    this.#set({ [key]: on ? [...list, value] : list.filter(one => one !== value) });
  }

  #check<K extends 'builds' | 'takes' | 'points'>(key: K, value: Choice[K][number], label: unknown, able = true) {
    return html`<label class=${able ? '' : 'off'}>
      <input
        type="checkbox"
        ?disabled=${!able || this.busy !== null}
        .checked=${able && (this.choice[key] as unknown[]).includes(value)}
        @change=${(event: Event) => this.#toggle(key, value, (event.target as HTMLInputElement).checked)}
      />
      <span>${label}</span>
    </label>`;
  }

  #radio<K extends 'matched' | 'bits' | 'sampleRate'>(key: K, value: Choice[K], label: string) {
    return html`<label>
      <input
        type="radio"
        name=${key}
        ?disabled=${this.busy !== null}
        .checked=${this.choice[key] === value}
        @change=${() => this.#set({ [key]: value } as Pick<Choice, K>)}
      />
      <span>${label}</span>
    </label>`;
  }

  #bytes(order: RenderOrder, files: number): number {
    const take = currentTake.value;
    const known = take ? Math.max(...take.channels.map(c => c.length)) / take.sampleRate : USUAL_LENGTH;
    const outputs = Math.max(1, ...order.builds.map(({ build }) => build.outputs.length));
    return (
      files * Math.max(known, USUAL_LENGTH) * order.sampleRate * outputs * (order.bits === '32f' ? 4 : order.bits / 8)
    );
  }

  #end(order: RenderOrder) {
    if (this.busy)
      return html`<progress max="1" .value=${this.busy.part} aria-label=${words.renderTitle}></progress>
        <p class="small number doing">${words.working(this.busy.name, this.busy.part)}</p>
        <button @click=${() => this.#abort?.abort()}>${words.cancel}</button>`;
    const files = countFiles(order);
    const bytes = this.#bytes(order, files);
    const text =
      files === 0 ? words.chooseOne : bytes > MOST ? words.tooMuch : `${words.count(files)}, ${words.size(bytes)}`;
    return html`<p class="small ${this.said?.tone === 'problem' ? 'problem' : ''}" role="status">${this.said?.text ?? text}</p>
      <button @click=${this.close}>${words.close}</button>
      <button class="main" ?disabled=${files === 0 || bytes > MOST} @click=${this.#start}>${words.start}</button>`;
  }

  override render() {
    const order = this.#order();
    const able = (id: string) => ableBuilds(written.value, id).length > 0;
    return html`<dialog aria-labelledby="title">
      <div class="head">
        <h2 id="title">${words.renderTitle}</h2>
        <button class="plain" aria-label=${words.close} @click=${this.close}>×</button>
      </div>
      <div class="body">
        <p class="wide soft">${words.renderLead}</p>
        <fieldset>
          <legend>${words.builds}</legend>
          ${written.value.map(({ letter, build }) =>
            this.#check(
              'builds',
              letter,
              html`<span class="letter" style="--build:${colourOf(letter)}">${letter}</span> ${build.name}`,
            ),
          )}
        </fieldset>
        <fieldset>
          <legend>${words.takes}</legend>
          ${everyTake().map(take => this.#check('takes', take.id, take.name, able(take.id)))}
        </fieldset>
        <fieldset>
          <legend>${words.points}</legend>
          ${TEST_POINTS.map(point => this.#check('points', point, words.pointNames[point]))}
        </fieldset>
        <fieldset>
          <legend>${words.level}</legend>
          ${this.#radio('matched', true, words.matched)}
          ${this.#radio('matched', false, words.trueLevel(view.value.reference))}
        </fieldset>
        <fieldset>
          <legend>${words.format}</legend>
          ${BITS.map(bits => this.#radio('bits', bits, words.bits[bits]))}
        </fieldset>
        <fieldset>
          <legend>${words.rate}</legend>
          ${RATES.map(rate => this.#radio('sampleRate', rate, `${rate / 1000} kHz`))}
        </fieldset>
        <div class="wide end">${this.#end(order)}</div>
      </div>
    </dialog>`;
  }
}
customElements.define('cc-render', RenderDialog);

declare global {
  interface HTMLElementTagNameMap {
    'cc-render': RenderDialog;
  }
}
