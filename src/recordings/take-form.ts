/** `<cc-own-take>`: everything that can be said about one recording, and what came of it. */
import { html, nothing } from 'lit';
import { type Build, RANGE, type TestPoint } from '../../shared/document/build.ts';
import { PICKUP_TYPES } from '../../shared/sensor/typical.ts';
import { estimateOwnTake } from '../workers/recordings-client.ts';
import '../parts/plot.ts';
import '../parts/quantity.ts';
import type { Estimate } from '../../shared/take/estimate/estimate-channel.ts';
import {
  type ChannelRole,
  CORNER_RANGE,
  LIFT_RANGE,
  type OwnTake,
  SHORTEST,
  type SmallPickup,
  smallPickup,
  stringOf,
  type Through,
  type ThroughKind,
} from '../../shared/take/own/own-take.ts';
import type { QuantityDetail } from '../parts/quantity.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { change, keptFile } from '../state/own-recordings.ts';
import { heard, view, written, writtenHeard } from '../state/page.ts';
import { currentTake } from '../state/take.ts';
import { words } from '../words/recordings-words.ts';
import { formStyles } from './form-styles.ts';
import { beforeAfter, envelope } from './plots.ts';

/** Corner of a piezo sensor on a usual guitar input, offered first, Hz. */
const FIRST_CORNER = 40;

type EstimateState =
  | { state: 'busy' }
  | { state: 'failed'; why: string }
  | { state: 'done'; estimate: Estimate; key: string };

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

  #change(part: Partial<Omit<OwnTake, 'id'>>): void {
    change(this.take.id, part);
  }

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

  #roles() {
    const { take } = this;
    const { strings } = heard.value.instrument;
    const value = (role: ChannelRole) =>
      role.kind === 'string' ? `s${role.string}` : role.kind === 'mixed' ? `m${role.reference}` : role.kind;
    const taken = (number: number, channel: number) =>
      take.roles.some((role, i) => i !== channel && stringOf(role) === number);
    const set = (channel: number, text: string) => {
      const number = Number(text.slice(1));
      const role: ChannelRole =
        text === 'off' || text === 'uncombed'
          ? { kind: text }
          : text[0] === 's'
            ? { kind: 'string', string: number }
            : { kind: 'mixed', reference: number };
      this.#change({ roles: take.roles.map((old, i) => (i === channel ? role : old)) });
    };
    return html`<fieldset>
      <legend>${words.map}</legend>
      <div class="row">
        ${take.roles.map((role, channel) => {
          const options = (letter: 's' | 'm') =>
            strings.map((string, i) => {
              const text = letter === 's' ? words.string(i + 1, string.name) : words.mixed(i + 1, string.name);
              return html`<option
                value="${letter}${i + 1}"
                ?selected=${value(role) === `${letter}${i + 1}`}
                ?disabled=${taken(i + 1, channel)}
              >${text}</option>`;
            });
          return html`<label class="field">
            <span>${words.channel(channel + 1)}, ${words.lowest(take.pitches[channel] ?? null)}</span>
            <select
              data-channel=${channel}
              .value=${value(role)}
              @change=${(event: Event) => set(channel, (event.target as HTMLSelectElement).value)}
            >
              ${options('s')}${options('m')}
              <option value="uncombed" ?selected=${role.kind === 'uncombed'}>${words.uncombed}</option>
              <option value="off" ?selected=${role.kind === 'off'}>${words.off}</option>
            </select>
          </label>`;
        })}
      </div>
      ${take.roles.some(role => role.kind === 'mixed') ? html`<p class="small warn">${words.mixedNote}</p>` : nothing}
      ${take.roles.some(role => role.kind === 'uncombed') ? html`<p class="small warn">${words.uncombedNote}</p>` : nothing}
    </fieldset>`;
  }

  #chooseThrough(kind: ThroughKind): void {
    const { instrument, pickups } = heard.peek();
    const { heard: letter } = view.peek();
    let through: Through;
    if (kind === 'pickup') {
      const type = PICKUP_TYPES[0].id;
      through = { kind, pickup: smallPickup(type, pickups[0].position, instrument) };
    } else if (kind === 'build') {
      through = {
        kind,
        build: written.peek().find(slot => slot.letter === letter)?.build ?? writtenHeard.peek(),
        point: 5,
      };
    } else through = { kind };
    this.#change({ through });
  }

  #small(small: SmallPickup) {
    const set = (part: Partial<SmallPickup>) =>
      this.#change({ through: { kind: 'pickup', pickup: { ...small, ...part } } });
    const field = (
      key: 'position' | 'resistance' | 'inductance' | 'capacitance' | 'cable' | 'input',
      kind: 'length' | 'resistance' | 'inductance' | 'capacitance',
      range: readonly [number, number],
    ) => html`<cc-quantity
      label=${words[key]}
      kind=${kind}
      units=${view.value.units}
      .value=${small[key]}
      .range=${range}
      @quantity=${(event: CustomEvent<QuantityDetail>) => set({ [key]: event.detail.value })}
    ></cc-quantity>`;
    return html`<div class="row">
      <label class="field">
        <span>${words.pickupKind}</span>
        <select
          @change=${(event: Event) => {
            const type = (event.target as HTMLSelectElement).value;
            const { cable, input } = small;
            set({ ...smallPickup(type, small.position, heard.peek().instrument), cable, input });
          }}
        >
          ${PICKUP_TYPES.map(type => html`<option value=${type.id} ?selected=${type.id === small.type}>${type.name}</option>`)}
        </select>
      </label>
      ${field('position', 'length', RANGE.position)} ${field('resistance', 'resistance', RANGE.resistance)}
      ${field('inductance', 'inductance', RANGE.inductance)} ${field('capacitance', 'capacitance', RANGE.capacitance)}
      ${field('cable', 'capacitance', RANGE.cableTotal)} ${field('input', 'resistance', RANGE.inputResistance)}
    </div>`;
  }

  #build({ build, point }: { build: Build; point: TestPoint }) {
    const current = written.value.find(
      slot => slot.build === build || JSON.stringify(slot.build) === JSON.stringify(build),
    );
    return html`<div class="row">
      <label class="field">
        <span>${words.whichBuild}</span>
        <select
          @change=${(event: Event) => {
            const chosen = written.peek().find(slot => slot.letter === (event.target as HTMLSelectElement).value);
            if (chosen) this.#change({ through: { kind: 'build', build: chosen.build, point } });
          }}
        >
          ${current ? nothing : html`<option value="" selected>${words.keptBuild(build.name)}</option>`}
          ${written.value.map(
            slot =>
              html`<option value=${slot.letter} ?selected=${slot === current}>${slot.letter}, ${slot.build.name}</option>`,
          )}
        </select>
      </label>
      <label class="field">
        <span>${words.point}</span>
        <select
          @change=${(event: Event) => {
            const to = Number((event.target as HTMLSelectElement).value) as TestPoint;
            this.#change({ through: { kind: 'build', build, point: to } });
          }}
        >
          ${[3, 4, 5].map(p => html`<option value=${p} ?selected=${p === point}>${words.points[p]}</option>`)}
        </select>
      </label>
    </div>`;
  }

  #through() {
    const { take } = this;
    const { through, corner } = take;
    const undoes = through.kind === 'pickup' || through.kind === 'build' || corner !== null;
    return html`<fieldset>
      <legend>${words.through}</legend>
      <label class="field">
        <span class="reader">${words.through}</span>
        <select
          class="through"
          @change=${(event: Event) => this.#chooseThrough((event.target as HTMLSelectElement).value as ThroughKind)}
        >
          ${(Object.keys(words.throughKinds) as ThroughKind[]).map(
            kind => html`<option value=${kind} ?selected=${kind === through.kind}>${words.throughKinds[kind]}</option>`,
          )}
        </select>
      </label>
      <p class="small soft">${words.throughNotes[through.kind]}</p>
      ${through.kind === 'pickup' ? this.#small(through.pickup) : nothing}
      ${through.kind === 'build' ? this.#build(through) : nothing}
      <div class="row">
        <label class="check">
          <input
            type="checkbox"
            .checked=${corner !== null}
            @change=${() => this.#change({ corner: corner === null ? FIRST_CORNER : null })}
          />${words.cornerKnown}
        </label>
        ${
          corner === null
            ? nothing
            : html`<cc-quantity
                label=${words.corner}
                kind="frequency"
                .value=${corner}
                .range=${CORNER_RANGE}
                @quantity=${(event: CustomEvent<QuantityDetail>) => this.#change({ corner: event.detail.value })}
              ></cc-quantity>`
        }
        ${
          undoes
            ? html`<cc-quantity
                label=${words.lift}
                kind="level"
                hint=${words.liftHint}
                .value=${take.maximumLift}
                .range=${LIFT_RANGE}
                .step=${1}
                @quantity=${(event: CustomEvent<QuantityDetail>) => this.#change({ maximumLift: event.detail.value })}
              ></cc-quantity>`
            : nothing
        }
      </div>
    </fieldset>`;
  }

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

  #estimateKey = (channel: number): string => JSON.stringify([this.take.id, this.take.trim, this.take.roles[channel]]);

  async #estimate(channel: number, string: number): Promise<void> {
    const { take } = this;
    const spec = heard.peek().instrument.strings[string - 1];
    if (!spec) return;
    this.found = { state: 'busy' };
    try {
      const estimate = await estimateOwnTake(take, keptFile(take), channel, string, spec);
      this.found = { state: 'done', estimate, key: this.#estimateKey(channel) };
    } catch (error) {
      this.found = { state: 'failed', why: error instanceof Error ? error.message : String(error) };
    }
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
    const singles = this.take.roles.flatMap((role, channel) =>
      role.kind === 'string' ? [{ channel, string: role.string }] : [],
    );
    if (singles.length === 0) return nothing;
    const { found } = this;
    return html`<fieldset>
      <legend>${words.estimate}</legend>
      <p class="small soft">${words.estimateHint}</p>
      <div class="row">
        ${singles.map(
          ({ channel, string }) =>
            html`<button ?disabled=${found?.state === 'busy'} @click=${() => void this.#estimate(channel, string)}>
              ${words.estimateRun(channel + 1)}
            </button>`,
        )}
      </div>
      <div role="status">
        ${found?.state === 'busy' ? html`<p class="small">${words.estimating}</p>` : nothing}
        ${found?.state === 'failed' ? html`<p class="small problem">${words.estimateFailed(found.why)}</p>` : nothing}
        ${found?.state === 'done' ? this.#estimated(found.estimate) : nothing}
      </div>
    </fieldset>`;
  }

  #estimated({ notes, places, skipped }: Estimate) {
    const { pickup } = places;
    return html`<p><b>${words.pickupAt(pickup.distance, pickup.spread, pickup.confidence)}</b> ${words.alternatives(places.alternatives)}
        ${words.skipped(skipped)}</p>
      ${places.ambiguities.map(text => html`<p class="small warn">${text}</p>`)}
      <div class="scroll" tabindex="0" role="group" aria-label=${words.estimate}>
        <table>
          <thead><tr>${words.noteHead.map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
          <tbody>
            ${notes.map((note, i) => {
              const fit = places.notes[i];
              const cells = words.note(
                note.at,
                note.fret,
                note.partials.f0,
                note.partials.B,
                fit.pluck.distance,
                fit.pluck.spread,
                fit.pluck.confidence,
                fit.error,
              );
              return html`<tr>${cells.map(cell => html`<td>${cell}</td>`)}</tr>`;
            })}
          </tbody>
        </table>
      </div>
      <p class="key">
        <span><svg viewBox="0 0 32 8" aria-hidden="true"><path d="M0 4H32" stroke="var(--soft)" stroke-width="6" /></svg>${words.measuredLevel}</span>
        <span><svg viewBox="0 0 32 8" aria-hidden="true"><path d="M0 4H32" stroke="var(--ink)" stroke-width="2" /></svg>${words.fittedLevel}</span>
      </p>
      <cc-plot .model=${envelope(notes[0], places.notes[0].measured, places.notes[0].fitted)}></cc-plot>
      <p class="row uses">
        <button class="use-estimate" @click=${() => this.#useEstimate(pickup.distance)}>${words.useThis}</button>
        ${places.alternatives.map(
          ({ distance }) =>
            html`<button class="plain" @click=${() => this.#useEstimate(distance)}>${words.useOther(distance)}</button>`,
        )}
      </p>`;
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
      ${this.#roles()} ${this.#through()} ${this.#undone()} ${this.#estimates()}`;
  }
}
customElements.define('cc-own-take', OwnTakeForm);
declare global {
  interface HTMLElementTagNameMap {
    'cc-own-take': OwnTakeForm;
  }
}
