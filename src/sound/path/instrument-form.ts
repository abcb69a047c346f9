/**
 * The instrument: ready ones to start from, its strings one by one, and what follows from them. The string that is
 * selected on the page is the one whose fields are open.
 */
import { css, html, nothing } from 'lit';
import { type Instrument, MOST, RANGE } from '../../../shared/document/build.ts';
import { addString, editInstrument, shareInstrument } from '../../../shared/document/edits/builds.ts';
import { evened, followReplaced } from '../../../shared/document/edits/instrument.ts';
import { chooseStrings } from '../../../shared/document/edits/sheet.ts';
import { STRINGS_OF } from '../../../shared/document/sheet.ts';
import { describeString, SOURCE_TEXT, type StringFigures } from '../../../shared/string/describe.ts';
import { gaugeUnit } from '../../../shared/string/gauge-unit.ts';
import { STRING_SETS } from '../../../shared/string/sets.ts';
import { stringsHeard, unlikeStrings } from '../../../shared/take/heard-strings.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { editSheet, store, stringIndex, view, written, writtenHeard } from '../../state/page.ts';
import { words } from '../../words/instrument-words.ts';
import { manifest } from '../../workers/shipped-takes.ts';
import { checkField, choiceField, fieldStyles, quantityField } from './fields.ts';
import { changeInstrument, inharmonicity, nameField, speed, stringFields } from './string-fields.ts';

const SPREAD = [0, 0.2] as const;
const MM = 1e-3;

const sameScale = ({ strings }: Instrument): boolean =>
  strings.every(s => s.scale === strings[0].scale && s.saddle === strings[0].saddle);

/** The ready instrument that this one still is; undefined once its strings or frets were edited. */
const readyOf = (instrument: Instrument) =>
  STRING_SETS.find(
    ({ instrument: ready }) =>
      ready.frets === instrument.frets &&
      JSON.stringify([ready.strings, ready.spread]) === JSON.stringify([instrument.strings, instrument.spread]),
  );

export class InstrumentForm extends SignalElement {
  static override properties = { fanned: { state: true } };
  /** Fields for each string's own scale length are open although all are the same. */
  declare fanned: boolean;

  static override styles = [
    shared,
    fieldStyles,
    css`
      :host { margin-top: 0.6rem; }
      .choice input { width: 100%; }
      .top { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(20rem, 100%), 1fr)); gap: 0.55rem 0.8rem; }
      #ready { font-family: var(--narrow); font-size: 0.92rem; padding-inline: 0.3rem; }
      .fields { margin-top: 0.55rem; }
      .table { overflow-x: auto; margin-top: 0.7rem; }
      caption { text-align: left; font-size: 0.85rem; color: var(--soft); font-family: var(--narrow); padding-bottom: 0.15rem; }
      table { white-space: nowrap; }
      td, th { padding-right: 0.7rem; }
      th button { min-height: 1.7rem; padding: 0 0.4rem; min-width: 2.8rem; text-align: left; font-family: var(--ui); color: var(--ink); }
      tr.chosen th button { border-color: var(--ink); font-weight: 600; }
      tr.chosen td { font-weight: 600; }
      .one { border-top: 1px solid var(--hairline); margin-top: 0.5rem; padding-top: 0.5rem; }
      .one h3 { font: 600 0.95rem var(--narrow); margin: 0; display: flex; align-items: center; gap: 0.6rem; }
      .one h3 button { margin-left: auto; font-weight: 400; }
      .figures { margin-top: 0.5rem; font-size: 0.88rem; color: var(--soft); }
      .checks { display: flex; flex-wrap: wrap; gap: 0.1rem 1rem; margin-top: 0.45rem; }
      .row, .heard-on { margin-top: 0.4rem; }
      .heard-on p { margin: 0.2rem 0 0; max-width: 46rem; }
    `,
  ];

  constructor() {
    super();
    this.fanned = false;
  }

  #choose = (event: Event): void => {
    const ready = STRING_SETS.find(set => set.id === (event.target as HTMLSelectElement).value);
    if (!ready) return;
    editSheet(words.steps.choose, sheet =>
      editInstrument(sheet, sheet.view.heard, () => ready.instrument, followReplaced),
    );
  };

  #whole(instrument: Instrument, fanned: boolean) {
    const { units } = view.value;
    const between = Math.max(1, instrument.strings.length - 1);
    const apart = (value: number) => words.neighbours(formatQuantity(value / between, 'length', units));
    const spread = (side: 'saddle' | 'nut', label: string) =>
      quantityField(
        label,
        'length',
        instrument.spread[side],
        SPREAD,
        (value, gesture) =>
          changeInstrument(
            words.steps.spread,
            i => ({ ...i, spread: { ...i.spread, [side]: value } }),
            `spread ${side} ${gesture}`,
          ),
        { step: 0.5 * MM, hint: apart(instrument.spread[side]) },
      );
    return html`<div class="fields">
      ${
        fanned
          ? nothing
          : quantityField(
              words.scale,
              'length',
              instrument.strings[0].scale,
              RANGE.scale,
              (value, gesture) =>
                changeInstrument(
                  words.steps.scale,
                  i => ({ ...i, strings: i.strings.map(s => ({ ...s, scale: value })) }),
                  `scale ${gesture}`,
                ),
              { step: MM },
            )
      }
      ${spread('saddle', words.saddleSpread)} ${spread('nut', words.nutSpread)}
      ${quantityField(
        words.frets,
        'count',
        instrument.frets,
        RANGE.frets,
        (value, gesture) => {
          const frets = Math.round(value);
          changeInstrument(words.steps.frets, i => (i.frets === frets ? i : { ...i, frets }), `frets ${gesture}`);
        },
        { step: 1 },
      )}
    </div>`;
  }

  #table(instrument: Instrument, figures: readonly StringFigures[]) {
    const { units } = view.value;
    return html`<div class="table"><table>
      <caption>${words.strings}</caption>
      <thead>
        <tr>
          <th scope="col">${words.string}</th>
          <th scope="col">${words.pitch}</th>
          <th scope="col">${words.gauge}</th>
          <th scope="col">${words.tension}</th>
          <th scope="col">${words.speed}</th>
          <th scope="col">${words.B}</th>
        </tr>
      </thead>
      <tbody>
        ${instrument.strings.map(
          (string, index) => html`<tr class=${index === stringIndex.value ? 'chosen' : ''}>
            <th scope="row">
              <button class="plain" aria-pressed=${index === stringIndex.value} aria-label=${words.choose(index + 1, string.name)}
                @click=${() => store.look({ string: index + 1 })}>${string.name}</button>
            </th>
            <td>${formatQuantity(string.pitch, 'pitch')}</td>
            <td>${formatQuantity(string.gauge, 'gauge', gaugeUnit(string))}</td>
            <td title=${SOURCE_TEXT[figures[index].sources.mass]}>${formatQuantity(figures[index].tension, 'force', units)}</td>
            <td>${speed(figures[index].speed)}</td>
            <td title=${SOURCE_TEXT[figures[index].sources.inharmonicity]}>${inharmonicity(figures[index].B)}</td>
          </tr>`,
        )}
      </tbody>
    </table></div>`;
  }

  /** Whose strings a recorded take is heard on, what that changes, and the choice. */
  #heardOn() {
    const { take, strings } = store.sheet.value;
    const recording = stringsHeard(manifest, take, 'take');
    if (!recording) return nothing;
    const unlike = unlikeStrings(writtenHeard.value, recording);
    const { strings: own } = writtenHeard.value.instrument;
    const measured = recording.channels.map(({ string, inharmonicity: { value, uncertainty } }) =>
      words.measured(string, inharmonicity(value), inharmonicity(uncertainty)),
    );
    return html`<div class="heard-on">
      ${choiceField(
        'strings',
        words.heardOn,
        strings,
        STRINGS_OF.map(of => [of, words.heardOnChoices[of]] as const),
        of => editSheet(words.steps.heardOn, sheet => chooseStrings(sheet, of)),
      )}
      <p class="small soft">${
        unlike.length === 0
          ? words.alike
          : strings === 'take'
            ? words.onTheirs(measured.join(', '))
            : words.onOwn(unlike.map(i => own[i].name).join(', '))
      }</p>
    </div>`;
  }

  override render() {
    const { instrument } = writtenHeard.value;
    const { units } = view.value;
    const index = stringIndex.value;
    const fanned = this.fanned || !sameScale(instrument);
    const figures = instrument.strings.map(describeString);
    const ready = readyOf(instrument);
    const families = [...new Set(STRING_SETS.map(set => set.family))];
    const total = figures.reduce((sum, { tension }) => sum + tension, 0);
    return html`
      <div class="top">
        <div class="choice">
          <label for="ready">${words.ready}</label>
          <select id="ready" @change=${this.#choose}>
            ${ready ? nothing : html`<option value="" selected .selected=${true}>${words.asEdited}</option>`}
            ${families.map(
              family => html`<optgroup label=${words.families[family]}>
                ${STRING_SETS.filter(set => set.family === family).map(
                  set =>
                    html`<option value=${set.id} ?selected=${set === ready} .selected=${set === ready}>${set.name}</option>`,
                )}
              </optgroup>`,
            )}
          </select>
        </div>
        ${nameField('instrument-name', words.name, instrument.name, 60, name =>
          changeInstrument(words.steps.name, i => ({ ...i, name, nameDerived: false })),
        )}
      </div>
      <div class="checks">
        ${
          written.value.length > 1
            ? checkField(words.share, store.sheet.value.sameInstrument, share =>
                editSheet(words.steps.share, sheet => shareInstrument(sheet, sheet.view.heard, share)),
              )
            : nothing
        }
        ${checkField(words.fanned, fanned, on => {
          this.fanned = on;
          if (!on && !sameScale(instrument))
            changeInstrument(words.steps.scale, i => ({
              ...i,
              strings: i.strings.map(s => ({ ...s, scale: i.strings[0].scale, saddle: i.strings[0].saddle })),
            }));
        })}
      </div>
      ${this.#whole(instrument, fanned)} ${this.#table(instrument, figures)}
      <div class="row">
        <button ?disabled=${instrument.strings.length >= MOST.strings} @click=${() => editSheet(words.steps.addTreble, sheet => addString(sheet, sheet.view.heard, 'treble'))}>${words.addTreble}</button>
        <button ?disabled=${instrument.strings.length >= MOST.strings} @click=${() => editSheet(words.steps.addBass, sheet => addString(sheet, sheet.view.heard, 'bass'))}>${words.addBass}</button>
        ${fanned ? html`<button @click=${() => changeInstrument(words.steps.even, evened)}>${words.even}</button>` : nothing}
        <span class="soft small">${words.total(formatQuantity(total, 'force', units))}</span>
      </div>
      ${this.#heardOn()} ${stringFields(instrument, index, figures[index], fanned)}
    `;
  }
}
customElements.define('cc-instrument-form', InstrumentForm);
