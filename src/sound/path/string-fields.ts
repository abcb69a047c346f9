/** Fields of one string of the instrument, and the steps that the instrument's fields are. */
import { html, nothing, type TemplateResult } from 'lit';
import { type Instrument, RANGE, type StringSpec } from '../../../shared/document/build.ts';
import { editInstrument, removeString } from '../../../shared/document/edits/builds.ts';
import { regauged, rewound, tuned, withString } from '../../../shared/document/edits/instrument.ts';
import { SOURCE_TEXT, type StringFigures } from '../../../shared/string/describe.ts';
import { coreUnit, gaugeUnit } from '../../../shared/string/gauge-unit.ts';
import { centsOff, noteNameOf } from '../../../shared/string/note-names.ts';
import { formatQuantity, INCH, typedGaugeUnit, type UnitSystem } from '../../../shared/units.ts';
import { editSheet, stringIndex, view, writtenHeard } from '../../state/page.ts';
import { words } from '../../words/instrument-words.ts';
import { checkField, quantityField } from './fields.ts';

const SADDLE = [-0.1, 0.1] as const;
const MM = 1e-3;
/** A thousandth of an inch, or a hundredth of a millimetre. */
const gaugeStep = (unit: UnitSystem): number => (unit === 'in' ? INCH * MM : 0.01 * MM);
/** A gauge that is typed chooses its unit; one that is stepped keeps it. */
const typedIn = (text: string | null, before: UnitSystem): UnitSystem =>
  text === null ? before : typedGaugeUnit(text);

export const speed = (value: number): string => `${value.toFixed(1)} m/s`;
export const inharmonicity = (value: number): string => formatQuantity(Number(value.toPrecision(3)), 'number');

/** Changes the heard build's instrument, and that of all builds when they share it, as one step. */
export const changeInstrument = (
  step: string,
  change: (instrument: Instrument) => Instrument,
  gesture: string | null = null,
): void => editSheet(step, sheet => editInstrument(sheet, sheet.view.heard, change), gesture);

function change(what: string, how: (string: StringSpec) => Partial<StringSpec>, gesture: string | null = null): void {
  const index = stringIndex.peek();
  const { name } = writtenHeard.peek().instrument.strings[index];
  changeInstrument(
    words.steps.string(what, name),
    instrument => withString(instrument, index, how(instrument.strings[index])),
    gesture && `string ${index} ${gesture}`,
  );
}

/** A name that must not be empty. */
export const nameField = (
  id: string,
  label: string,
  value: string,
  max: number,
  changed: (value: string) => void,
): TemplateResult => {
  return html`<div class="choice">
      <label for=${id}>${label}</label>
      <input id=${id} type="text" maxlength=${max} autocomplete="off" spellcheck="false" .value=${value}
        @change=${(event: Event) => {
          const input = event.target as HTMLInputElement;
          const text = input.value.trim();
          if (text === '') input.value = value;
          else changed(text);
        }} />
    </div>`;
};

/** Fields of string `index`; `fanned`: with a scale length of its own. Longer than other functions: a list of fields. */
export function stringFields(
  instrument: Instrument,
  index: number,
  figures: StringFigures,
  fanned: boolean,
): TemplateResult {
  const { units } = view.value;
  const string = instrument.strings[index];
  const { sources } = figures;
  const cents = Math.round(centsOff(string.pitch));
  return html`<section class="one" aria-label=${words.fieldsOf(index + 1, string.name)}>
      <h3>
        ${words.fieldsOf(index + 1, string.name)}
        <button ?disabled=${instrument.strings.length < 2} @click=${() =>
          editSheet(words.steps.remove(string.name), sheet =>
            removeString(sheet, sheet.view.heard, index),
          )}>${words.remove(string.name)}</button>
      </h3>
      <div class="fields">
        ${nameField('string-name', words.stringName, string.name, 16, name => change(words.stringName, () => ({ name })))}
        ${quantityField(
          words.pitch,
          'pitch',
          string.pitch,
          RANGE.pitch,
          (value, gesture) => change(words.pitch, s => tuned(s, value), gesture),
          { hint: words.nearest(noteNameOf(string.pitch), cents), step: string.pitch * (2 ** (1 / 12) - 1) },
        )}
        ${quantityField(
          words.gauge,
          'gauge',
          string.gauge,
          [Math.max(RANGE.gauge[0], (string.core ?? 0) * 1.02), RANGE.gauge[1]],
          (gauge, gesture, text) =>
            change(words.gauge, s => regauged(s, { gauge, gaugeIn: typedIn(text, gaugeUnit(s)) }), gesture),
          { step: gaugeStep(gaugeUnit(string)), units: gaugeUnit(string), hint: words.gaugeHint },
        )}
        ${
          string.core === null
            ? nothing
            : quantityField(
                words.core,
                'gauge',
                string.core,
                [RANGE.gauge[0], string.gauge * 0.98],
                (core, gesture, text) =>
                  change(words.core, s => regauged(s, { core, coreIn: typedIn(text, coreUnit(s)) }), gesture),
                { step: gaugeStep(coreUnit(string)), units: coreUnit(string) },
              )
        }
        ${
          string.unitWeight === null
            ? nothing
            : quantityField(words.weight, 'unitWeight', string.unitWeight, RANGE.unitWeight, (unitWeight, gesture) =>
                change(words.weight, () => ({ unitWeight }), gesture),
              )
        }
        ${
          string.inharmonicity === null
            ? nothing
            : quantityField(
                words.inharmonicity,
                'number',
                string.inharmonicity,
                RANGE.inharmonicity,
                (B, gesture) => change(words.B, () => ({ inharmonicity: B }), gesture),
                { step: 1e-6 },
              )
        }
        ${
          fanned
            ? html`${quantityField(
                words.scale,
                'length',
                string.scale,
                RANGE.scale,
                (scale, gesture) => change(words.scale, () => ({ scale }), gesture),
                { step: MM },
              )}
              ${quantityField(
                words.saddle,
                'smallLength',
                string.saddle,
                SADDLE,
                (saddle, gesture) => change(words.saddle, () => ({ saddle }), gesture),
                { step: 0.5 * MM, hint: words.saddleHint },
              )}`
            : nothing
        }
      </div>
      <div class="checks">
        ${checkField(words.wound, string.core !== null, wound => change(words.wound, s => rewound(s, wound)))}
        ${checkField(words.weightGiven, string.unitWeight !== null, given =>
          change(words.weight, () => ({ unitWeight: given ? figures.mass : null })),
        )}
        ${checkField(words.BGiven, string.inharmonicity !== null, given =>
          change(words.B, () => ({ inharmonicity: given ? figures.B : null })),
        )}
      </div>
      <p class="figures">
        ${words.figures(
          formatQuantity(figures.tension, 'force', units),
          speed(figures.speed),
          `${formatQuantity(figures.mass, 'unitWeight', units)} ${words.from(SOURCE_TEXT[sources.mass])}`,
          `${inharmonicity(figures.B)} ${words.from(SOURCE_TEXT[sources.inharmonicity])}`,
        )}
      </p>
    </section>`;
}
