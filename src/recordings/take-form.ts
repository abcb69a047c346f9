/** `<cc-own-take>`: everything that can be said about one recording, and what came of it. */
import { html, nothing } from 'lit';
import { RANGE } from '../../shared/document/build.ts';
import { PICKUP_TYPES } from '../../shared/sensor/typical.ts';
import { estimateOwnTake } from '../workers/recordings-client.ts';
import '../parts/plot.ts';
import '../parts/quantity.ts';
import type { Estimate, TuningError } from '../../shared/take/estimate/estimate.ts';
import { type OwnTake, SHORTEST, smallPickup } from '../../shared/take/own/own-take.ts';
import type { QuantityDetail } from '../parts/quantity.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { change, keptFile } from '../state/own-recordings.ts';
import { heard } from '../state/page.ts';
import { currentTake } from '../state/take.ts';
import { words } from '../words/recordings-words.ts';
import { isAbort } from '../workers/worker-client.ts';
import { estimateView } from './estimate-view.ts';
import { formStyles } from './form-styles.ts';
import { beforeAfter } from './plots.ts';
import { rolesView } from './take-roles.ts';
import { type Change, throughView } from './take-through.ts';

type EstimateState =
  | { state: 'busy'; part: number; stop: AbortController }
  | { state: 'failed'; why: string }
  | { state: 'done'; estimate: Estimate };

export class OwnTakeForm extends SignalElement {
  static override properties = { take: { attribute: false }, found: { state: true }, shown: { state: true } };
  declare take: OwnTake;
  declare found: EstimateState | null;
  /** String number whose spectrum is shown; 0: the first. */
  declare shown: number;

  static override styles = [shared, formStyles];

  constructor() {
    super();
    this.found = null;
    this.shown = 0;
  }

  #change: Change = part => change(this.take.id, part);

  #trim(end: 'from' | 'to', value: number): void {
    const { trim, frames, sampleRate } = this.take;
    const whole = frames / sampleRate;
    const from = end === 'from' ? Math.min(value, trim.to - SHORTEST) : trim.from;
    const to = end === 'to' ? Math.max(value, trim.from + SHORTEST) : trim.to;
    this.#change({ trim: { from: Math.max(0, from), to: Math.min(whole, to) } });
  }

  #stringName(number: number): string {
    return words.string(number, heard.value.instrument.strings[number - 1]?.name ?? '?');
  }

  #shortName = (number: number): string => heard.value.instrument.strings[number - 1]?.name ?? '?';

  #undone() {
    const current = currentTake.value;
    const all = current?.id === this.take.id ? (current.uncoloured ?? []) : [];
    const nameOf = (number: number) =>
      current?.uncombed?.includes(number - 1) ? words.mixture(number) : this.#stringName(number);
    const shown = all.find(one => one.string === this.shown) ?? all[0];
    return html`<fieldset>
      <legend>${words.undone}</legend>
      ${
        shown
          ? html`${
              all.length > 1
                ? html`<label class="field">
                    <span class="reader">${words.undone}</span>
                    <select
                      @change=${(event: Event) => {
                        this.shown = Number((event.target as HTMLSelectElement).value);
                      }}
                    >
                      ${all.map(
                        one =>
                          html`<option value=${one.string} ?selected=${one === shown}>${nameOf(one.string)}</option>`,
                      )}
                    </select>
                  </label>`
                : nothing
            }
            <p class="key">
              <span><svg viewBox="0 0 32 8" aria-hidden="true"><path d="M0 4H32" stroke="var(--soft)" stroke-width="2" stroke-dasharray="5 3" /></svg>${words.before}</span>
              <span><svg viewBox="0 0 32 8" aria-hidden="true"><path d="M0 4H32" stroke="var(--ink)" stroke-width="2" /></svg>${words.after}</span>
            </p>
            <cc-plot .model=${beforeAfter(nameOf(shown.string), shown)}></cc-plot>
            <ul class="small weak">
              ${all.map(one => html`<li>${words.weakList(nameOf(one.string), one.weak)} ${one.lift > 0 ? words.lifted(one.lift) : ''}</li>`)}
            </ul>
            ${all.some(one => one.weak.length > 0) ? html`<p class="small soft">${words.weakNote}</p>` : nothing}
            <p class="small soft">${words.levelNote}</p>`
          : html`<p class="small soft">${words.notYet}</p>`
      }
    </fieldset>`;
  }

  /** The channels that hold one string each. */
  #singles() {
    const { strings } = heard.value.instrument;
    return this.take.roles.flatMap((role, channel) => {
      const spec = role.kind === 'string' ? strings[role.string - 1] : undefined;
      return role.kind === 'string' && spec ? [{ channel, string: role.string, spec }] : [];
    });
  }

  async #estimate(): Promise<void> {
    const { take } = this;
    const stop = new AbortController();
    this.found = { state: 'busy', part: 0, stop };
    try {
      const estimate = await estimateOwnTake(take, keptFile(take), this.#singles(), {
        signal: stop.signal,
        onProgress: part => {
          if (!stop.signal.aborted) this.found = { state: 'busy', part, stop };
        },
      });
      this.found = { state: 'done', estimate };
    } catch (error) {
      this.found = isAbort(error) ? null : { state: 'failed', why: this.#whyNot(error) };
    }
  }

  #whyNot(error: unknown): string {
    if (!(error instanceof Error)) return String(error);
    const { string, lowest, open } = error as Partial<TuningError>;
    return string && lowest && open ? words.belowOpen(this.#stringName(string), lowest, open) : error.message;
  }

  #useEstimate(distance: number): void {
    const { through } = this.take;
    const { instrument } = heard.peek();
    const position = Math.min(RANGE.position[1], Math.max(RANGE.position[0], distance));
    const pickup =
      through.kind === 'pickup'
        ? { ...through.pickup, position }
        : smallPickup(PICKUP_TYPES[0].id, position, instrument);
    this.#change({ through: { kind: 'pickup', pickup } });
  }

  #estimates() {
    const singles = this.#singles();
    if (singles.length === 0) return nothing;
    const { found } = this;
    const busy = found?.state === 'busy' ? found : null;
    return html`<fieldset>
      <legend>${words.estimate}</legend>
      <p class="small soft">${words.estimateHint}</p>
      <div class="row">
        <button ?disabled=${busy !== null} @click=${() => void this.#estimate()}>${words.estimateRun(singles.length)}</button>
        ${busy ? html`<button class="plain" @click=${() => busy.stop.abort()}>${words.cancel}</button>` : nothing}
      </div>
      <div role="status">
        ${busy ? html`<p class="small">${words.estimateProgress(busy.part)}</p>` : nothing}
        ${found?.state === 'failed' ? html`<p class="small problem">${words.estimateFailed(found.why)}</p>` : nothing}
        ${found?.state === 'done' ? estimateView(found.estimate, this.#shortName, distance => this.#useEstimate(distance)) : nothing}
      </div>
    </fieldset>`;
  }

  override render() {
    const { take } = this;
    const whole = take.frames / take.sampleRate;
    const quantity = (label: string, value: number, end: 'from' | 'to') => html`<cc-quantity
      label=${label}
      kind="time"
      .value=${value}
      .range=${[0, whole] as const}
      .step=${0.1}
      @quantity=${(event: CustomEvent<QuantityDetail>) => this.#trim(end, event.detail.value)}
    ></cc-quantity>`;
    return html`<div class="row">
        <label class="field">
          <span>${words.name}</span>
          <input
            class="text"
            maxlength="60"
            .value=${take.name}
            @change=${(event: Event) => {
              const name = (event.target as HTMLInputElement).value.trim();
              if (name) this.#change({ name });
            }}
          />
        </label>
        ${quantity(words.from, take.trim.from, 'from')} ${quantity(words.to, take.trim.to, 'to')}
      </div>
      ${take.notes.map(note => html`<p class="small warn">${note}</p>`)}
      ${rolesView(take, this.#change)} ${throughView(take, this.#change)} ${this.#undone()} ${this.#estimates()}`;
  }
}
customElements.define('cc-own-take', OwnTakeForm);
declare global {
  interface HTMLElementTagNameMap {
    'cc-own-take': OwnTakeForm;
  }
}
