/** `<cc-station>`: the opened station of the heard build, its fields, the schematic, and what the last change did. */
import { css, html, nothing, type TemplateResult } from 'lit';
import { CircuitError } from '../../../shared/circuit/elements.ts';
import { buildOf } from '../../../shared/document/edits/builds.ts';
import type { Letter, Station } from '../../../shared/document/sheet.ts';
import { stringModel } from '../../../shared/string/stiff.ts';
import { asHeard } from '../../../shared/take/heard-strings.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { colourOf } from '../../parts/builds.ts';
import './schematic.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { atRest } from '../../state/at-rest.ts';
import { heard, reference, store, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { manifest } from '../../workers/shipped-takes.ts';
import { apertureFields } from './aperture-fields.ts';
import { chainFields } from './chain-fields.ts';
import { type ChangeNote, describeChange, describeEffects, onlyOrigins } from './change-note.ts';
import { pickupElectrics } from './coil-fields.ts';
import { controlsFields } from './control-fields.ts';
import { choiceField, fieldStyles } from './fields.ts';
import { harnessMore } from './harness-fields.ts';
import { positionFields } from './pickup-fields.ts';
import './selector-rows.ts';
import { positionsEditor, selectorButtons, silenceNotice } from './selector-fields.ts';
import './instrument-form.ts';
import type { Looked } from './station-figures.ts';

export class StationPanel extends SignalElement {
  static override properties = { table: { state: true } };
  /** The table of positions is open: it is worked out only then. */
  declare table: boolean;

  static override styles = [
    shared,
    fieldStyles,
    css`
      :host { background: var(--panel); border: 1px solid var(--hairline); padding: 0.7rem 0.9rem 0.8rem; min-width: 0; }
      header { display: flex; align-items: baseline; gap: 1rem; margin-bottom: 0.55rem; }
      header h2 { font: 600 1.05rem var(--narrow); letter-spacing: 0; text-transform: none; color: var(--ink); flex: 1; }
      .letter { font: 600 0.95rem var(--narrow); }
      .fields, .row, section { margin-top: 0.45rem; }
      .pot { display: grid; grid-template-columns: minmax(0, 1fr) 7.4rem; gap: 0.3rem 0.8rem; align-items: start; }
      .pot .pair { display: grid; gap: 0.3rem; }
      .positions button { padding: 0.2rem 0.55rem; }
      .tap { padding-left: 1.4rem; }
      .tap .choice { display: flex; align-items: baseline; gap: 0.35rem; }
      button.kind { text-align: left; }
      svg.aperture { width: 100%; height: auto; display: block; margin-top: 0.6rem; }
      svg.aperture text { fill: var(--soft); font: 12.5px var(--narrow); }
      .scroll { overflow-x: auto; }
      .note:has(p) { margin-top: 0.7rem; border-top: 1px solid var(--hairline); padding-top: 0.55rem; }
      .note p:first-child { font-weight: 500; }
      cc-schematic { margin-top: 0.8rem; }
    `,
  ];

  constructor() {
    super();
    this.table = false;
  }

  #string(): TemplateResult {
    const build = heard.value;
    const { fret, units } = view.value;
    const index = stringIndex.value;
    const model = stringModel(build.instrument.strings[index]);
    return html`<div class="fields">
        ${choiceField(
          'string',
          words.stringNumber,
          index + 1,
          build.instrument.strings.map((s, i) => [i + 1, `${i + 1}: ${s.name}`] as const),
          string => store.look({ string }),
        )}
        ${choiceField(
          'fret',
          words.fret,
          Math.min(fret, build.instrument.frets),
          Array.from({ length: build.instrument.frets + 1 }, (_, i) => [i, i === 0 ? words.open : String(i)] as const),
          chosen => store.look({ fret: chosen }),
        )}
      </div>
      <p class="small soft">${words.wave(
        formatQuantity(model.f0, 'pitch', units),
        formatQuantity(model.B, 'number', units),
        formatQuantity(model.tension, 'force', units),
      )}</p>
      <cc-instrument-form></cc-instrument-form>`;
  }

  /** What is turned and wound most stands first, then what follows from it, then what is set up once. */
  #coils(said: TemplateResult): TemplateResult {
    return html`${selectorButtons()}${silenceNotice()} ${controlsFields()}
      <section class="item">${pickupElectrics()}</section>
      ${said}
      <cc-schematic></cc-schematic>
      ${
        heard.value.harness.positions.length > 1
          ? html`<details
              ?open=${this.table}
              @toggle=${(event: Event) => {
                this.table = (event.target as HTMLDetailsElement).open;
              }}
            >
              <summary>${words.positionsTitle}</summary>
              ${this.table ? html`<cc-positions></cc-positions>` : nothing}
            </details>`
          : nothing
      }
      ${positionsEditor()} ${harnessMore()}`;
  }

  #fields(station: Station, said: TemplateResult): TemplateResult {
    switch (station) {
      case 'string':
        return this.#string();
      case 'position':
        return positionFields();
      case 'aperture':
        return apertureFields();
      case 'coils':
        return this.#coils(said);
      case 'cable':
        return chainFields();
    }
  }

  /** The last step's effect on the heard build; without one, what sets it apart from the reference. */
  #note(): ChangeNote | null {
    const { heard: own, reference: other, fret, pickup, point, units, levelMatch: matched } = view.value;
    const look = (build: Looked['build']): Looked => ({
      build,
      string: Math.min(view.value.string, build.instrument.strings.length) - 1,
      fret,
      point,
      pickup,
      units,
      matched,
    });
    try {
      let after = heard.value;
      for (const step of store.past.value.toReversed()) {
        if (!step.before.builds.some(slot => slot.letter === own)) break;
        const before = asHeard(buildOf(step.before, own), manifest, step.before.take, step.before.strings);
        if (before === after) break;
        // a value entered as it was is no change: what was said before it stays
        if (!onlyOrigins(before, after)) return describeChange(look(before), look(after), step.name);
        after = before;
      }
      if (own === other) return null;
      return describeEffects(look(reference.value), look(heard.value), words.against(other));
    } catch (error) {
      if (error instanceof CircuitError) return null;
      throw error;
    }
  }

  #letter(letter: Letter): TemplateResult {
    return html`<span class="letter" style="color:${colourOf(letter)}">${words.build(letter)}</span>`;
  }

  #restingNote = atRest(() => this.#note());

  override render() {
    const { station, heard: letter } = view.value;
    const note = this.#restingNote();
    const said = html`<div class="note" role="status">
      ${note ? html`<p>${note.did}</p>` : nothing}
      ${note?.heard ? html`<p class="soft">${note.heard}</p>` : nothing}
    </div>`;
    return html`<header><h2>${words.stations[station]}</h2>${this.#letter(letter)}</header>
      <div role="group" aria-label=${words.fieldsOf(words.stations[station], letter)}>
        ${this.#fields(station, said)} ${station === 'cable' ? html`<cc-schematic></cc-schematic>` : nothing}
      </div>
      ${station === 'coils' ? nothing : said}`;
  }
}
customElements.define('cc-station', StationPanel);
