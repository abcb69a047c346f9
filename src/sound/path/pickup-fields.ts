/** Fields of the station "Position": which pickups there are and where each of them stands. */

import { html, nothing, type TemplateResult } from 'lit';
import { fromNotation, notation } from '../../../shared/circuit/schemes.ts';
import { type Build, MOST, type Pickup, RANGE } from '../../../shared/document/build.ts';
import { positionLimits, slantLimits } from '../../../shared/sensor/limits.ts';
import { asPoles, polePitch, stringAt, withPitch } from '../../../shared/sensor/placement.ts';
import { PICKUP_TYPES } from '../../../shared/sensor/typical.ts';
import { familyOf } from '../../../shared/string/sets.ts';
import { formatQuantity } from '../../../shared/units.ts';
import '../../parts/entry.ts';
import { addPickup, movePickupInList, removePickup, setPickup } from '../../../shared/document/edits/pickups.ts';
import { applyConfiguration } from '../../../shared/document/edits/wiring.ts';
import { editHeard, heard, heardPickup, store, view } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { choiceField, choicesOf, itemTools, quantityAt, quantityField, textAt } from './fields.ts';
import { pickupRows } from './pickup-figures.ts';

const mm = 1e-3;

/** Pointer of the pickup with `id` in the heard build. */
export const pickupPointer = (build: Build, id: string): string =>
  `/pickups/${build.pickups.findIndex(p => p.id === id)}`;

/** The pickups as a row of buttons: pressing one shows it. */
export function pickupChoice(): TemplateResult {
  const { pickups } = heard.value;
  const chosen = heardPickup.value.id;
  return html`<div class="row" role="group" aria-label=${words.pickups}>
    ${pickups.map(
      p =>
        html`<button aria-pressed=${p.id === chosen} @click=${() => store.look({ pickup: p.id })}>${p.name}</button>`,
    )}
  </div>`;
}

function listTools(build: Build, pickup: Pickup): TemplateResult {
  const index = build.pickups.indexOf(pickup);
  return html`<div class="row">
    <span class="grow">${textAt(`${pickupPointer(build, pickup.id)}/name`, words.pickupName, 40)}</span>
    ${itemTools(
      pickup.name,
      index,
      build.pickups.length,
      by => editHeard(words.reorderStep, b => movePickupInList(b, index, by)),
      build.pickups.length > 1
        ? () => editHeard(words.removePickupStep(pickup.name), b => removePickup(b, pickup.id))
        : null,
    )}
  </div>`;
}

const adders = (build: Build): TemplateResult =>
  build.pickups.length < MOST.pickups
    ? html`<details>
        <summary>${words.addPickup}</summary>
        <div class="row">
          ${PICKUP_TYPES.filter(type => (type.family === 'bass') === (familyOf(build.instrument) === 'bass')).map(
            type =>
              html`<button class="kind" @click=${() => {
                editHeard(words.addPickupStep(type.name), b => addPickup(b, type.id));
                const { pickups } = heard.value;
                store.look({ pickup: pickups[pickups.length - 1].id });
              }}>${type.name} <span class="soft small">${type.values}</span></button>`,
          )}
        </div>
      </details>`
    : html`${nothing}`;

/** What a calliper measures of the poles; neighbours may be stated instead of the outermost. */
function poleFields(build: Build, pickup: Pickup): TemplateResult {
  const count = build.instrument.strings.length;
  const at = `${pickupPointer(build, pickup.id)}/poles`;
  const { kind } = pickup.poles;
  const editPoles = (
    step: string,
    change: (poles: Pickup['poles']) => Pickup['poles'],
    gesture: string | null = null,
  ) => editHeard(step, b => setPickup(b, pickup.id, p => ({ ...p, poles: change(p.poles) })), gesture);
  const [low, high] = RANGE.poleSpread;
  return html`${choiceField(`${at}/kind`, words.poles, kind, choicesOf(words.poleKinds), value =>
    editPoles(words.changeStep(words.poles), poles => asPoles(poles, value, count)),
  )}
  ${quantityAt(`${at}/size`, words.poleSize[kind], 'smallLength', 'poleSize', { step: 0.1 * mm })}
  ${quantityAt(`${at}/spread`, words.poleSpread[kind], 'length', 'poleSpread', { step: 0.1 * mm })}
  ${kind === 'two' ? quantityAt(`${at}/pair`, words.polePair, 'smallLength', 'polePair', { step: 0.1 * mm }) : nothing}
  ${
    count > 1 && kind !== 'rail'
      ? quantityField(
          words.spreadNeighbour,
          'length',
          polePitch(pickup.poles, count),
          [low / (count - 1), high / (count - 1)],
          (value, gesture) =>
            editPoles(
              words.changeStep(words.spreadNeighbour),
              poles => withPitch(poles, count, value),
              `${pickup.id} ${gesture}`,
            ),
          { step: 0.02 * mm },
        )
      : nothing
  }`;
}

/** For every string: where each coil meets it, how far it runs beside its pole, and what that costs. */
function perString(build: Build, pickup: Pickup): TemplateResult {
  const { units } = view.value;
  const rows = pickupRows(build, pickup, units);
  return html`<details>
    <summary>${words.perString}</summary>
    <div class="scroll">
      <table>
        <thead>
          <tr><th scope="col">${words.string}</th><th scope="col">${words.distance}</th><th scope="col">${words.miss}</th><th scope="col">${words.level}</th></tr>
        </thead>
        <tbody>
          ${build.instrument.strings.map(
            ({ name }, i) =>
              html`<tr><th scope="row">${name}</th>${(rows[i] ?? ['–', '–', '–']).map(text => html`<td>${text}</td>`)}</tr>`,
          )}
        </tbody>
      </table>
    </div>
    <p class="small soft">
      ${words.stringsAtPickup(
        formatQuantity(
          stringAt(build.instrument, 0, pickup.position) -
            stringAt(build.instrument, build.instrument.strings.length - 1, pickup.position),
          'length',
          units,
        ),
      )}
    </p>
  </details>`;
}

/** The configuration in letters; typing others sets up such pickups with their usual wiring. */
function configuration(build: Build): TemplateResult {
  return html`<cc-entry
    .label=${words.notation}
    .hint=${words.notationHint}
    .value=${notation(build)}
    .check=${(text: string) => (fromNotation(text, build.instrument) ? '' : words.notationBad)}
    @entry=${(event: CustomEvent<string>) => {
      editHeard(words.notationStep(event.detail.toUpperCase().replace(/[^A-Z]/g, '')), b =>
        applyConfiguration(b, event.detail),
      );
    }}
  ></cc-entry>`;
}

export function positionFields(): TemplateResult {
  const build = heard.value;
  const pickup = heardPickup.value;
  const at = pickupPointer(build, pickup.id);
  return html`
    ${pickupChoice()}
    <section class="fields">
      ${quantityAt(`${at}/position`, words.position, 'length', 'position', {
        step: mm,
        name: words.moveStep(pickup.name),
        range: positionLimits(build, pickup),
      })}
      ${quantityAt(`${at}/slant`, words.slant, 'angle', 'slant', {
        step: Math.PI / 360,
        name: words.turnStep(pickup.name),
        range: slantLimits(build, pickup),
      })}
      ${quantityAt(`${at}/height/bass`, words.heightBass, 'smallLength', 'height', { step: 0.1 * mm })}
      ${quantityAt(`${at}/height/treble`, words.heightTreble, 'smallLength', 'height', { step: 0.1 * mm })}
      ${poleFields(build, pickup)}
    </section>
    ${perString(build, pickup)}
    <section class="item">
      <div class="fields wide">${configuration(build)} ${listTools(build, pickup)}</div>
      ${adders(build)}
    </section>
  `;
}
