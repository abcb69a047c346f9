/** Electrical fields of the coils of one pickup: R, L, C, losses, output, magnets, and what kind of pickup it is. */

import { html, nothing, type TemplateResult } from 'lit';
import { amplitudeOfDb, dbOfAmplitude } from '../../../shared/decibels.ts';
import {
  type Build,
  type Coil,
  type Loss,
  MOST,
  PICKUP_KINDS,
  type Pickup,
  RANGE,
} from '../../../shared/document/build.ts';
import {
  addCoil,
  asLoss,
  removeCoil,
  setKind,
  setLoss,
  setUnder,
  wholeInductance,
} from '../../../shared/document/edits/coils.ts';
import { numberAt } from '../../../shared/document/pointer.ts';
import { MIDDLING_SENSITIVITY } from '../../../shared/sensor/typical.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { editHeard, heard, heardPickup, store, view } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { earlierLoss } from './earlier-loss.ts';
import { editAt } from './edits.ts';
import {
  checkField,
  choiceAt,
  choiceField,
  choicesOf,
  itemTools,
  quantityAt,
  quantityField,
  textAt,
} from './fields.ts';
import { pickupChoice, pickupPointer } from './pickup-fields.ts';

/** What a coil may have over a middling one, dB, whole decibels within what is accepted. */
const HOTNESS = [
  Math.ceil(dbOfAmplitude(RANGE.sensitivity[0] / MIDDLING_SENSITIVITY)),
  Math.floor(dbOfAmplitude(RANGE.sensitivity[1] / MIDDLING_SENSITIVITY)),
] as const;

function lossFields(pickup: Pickup, coil: Coil, at: string): TemplateResult {
  const set = (loss: Loss) => editHeard(words.changeStep(words.loss), b => setLoss(b, pickup.id, coil.id, loss));
  const { loss } = coil;
  return html`${choiceField(`${at}/loss`, words.loss, loss.kind, choicesOf(words.losses), kind =>
    set(earlierLoss(store.past.peek(), view.peek().heard, pickup.id, coil.id, kind) ?? asLoss(kind, coil)),
  )}
  ${
    loss.kind === 'eddy'
      ? quantityAt(`${at}/loss/resistance`, words.lossResistance, 'resistance', 'lossResistance')
      : nothing
  }
  ${
    loss.kind === 'ladder'
      ? html`${loss.sections.map(
          (
            _,
            i,
          ) => html`${quantityAt(`${at}/loss/sections/${i}/inductance`, words.sectionL(i + 1), 'inductance', 'inductance')}
            ${quantityAt(`${at}/loss/sections/${i}/resistance`, words.sectionR(i + 1), 'resistance', 'lossResistance')}`,
        )}
        <div class="row" style="grid-column:1/-1">
          <button ?disabled=${loss.sections.length >= 4} @click=${() =>
            set({
              ...loss,
              sections: [...loss.sections, { ...loss.sections[loss.sections.length - 1] }],
            })}>${words.addSection}</button>
          <button ?disabled=${loss.sections.length <= 1} @click=${() =>
            set({ ...loss, sections: loss.sections.slice(0, -1) })}>${words.removeSection}</button>
        </div>`
      : nothing
  }`;
}

/** How hot a coil is, against a middling one; the number behind it stands with its other fields. */
const hotness = (coil: Coil, at: string): TemplateResult =>
  quantityField(
    words.hotness,
    'level',
    dbOfAmplitude(coil.sensitivity / MIDDLING_SENSITIVITY),
    HOTNESS,
    (dB, gesture) => editAt(words.hotnessStep, `${at}/sensitivity`, MIDDLING_SENSITIVITY * amplitudeOfDb(dB), gesture),
    { step: 0.5 },
  );

/** Which strings a coil lies under, a box for each. */
const underFields = (build: Build, pickup: Pickup, coil: Coil): TemplateResult =>
  html`<div class="row" role="group" aria-label=${words.underOf(coil.id)}>
    <span class="soft small">${words.under}</span>
    ${build.instrument.strings.map(({ name }, i) => {
      const lies = coil.strings?.includes(i + 1) ?? true;
      return checkField(
        `${i + 1} ${name}`,
        lies,
        on => editHeard(words.underStep(coil.id, name), b => setUnder(b, pickup.id, coil.id, i + 1, on)),
        // the last string under it stays
        lies && coil.strings?.length === 1,
      );
    })}
  </div>`;

function coilFields(build: Build, pickup: Pickup, i: number): TemplateResult {
  const coil = pickup.coils[i];
  const at = `${pickupPointer(build, pickup.id)}/coils/${i}`;
  return html`<div class=${i > 0 ? 'item' : ''}>
    ${
      pickup.coils.length > 1
        ? html`<h3>${words.coil(coil.id)} ${
            pickup.kind === 'free'
              ? itemTools(
                  words.coil(coil.id),
                  i,
                  1,
                  () => undefined,
                  () => editHeard(words.removeCoil, b => removeCoil(b, pickup.id, coil.id)),
                )
              : nothing
          }</h3>`
        : nothing
    }
    <div class="fields">
      ${quantityAt(`${at}/resistance`, words.resistance, 'resistance', 'resistance', { step: 100 })}
      ${quantityAt(`${at}/inductance`, words.inductance, 'inductance', 'inductance', {
        step: 0.05,
        hint:
          coil.loss.kind === 'ladder' ? words.inductanceInAll(formatQuantity(wholeInductance(coil), 'inductance')) : '',
      })}
      ${quantityAt(`${at}/capacitance`, words.capacitance, 'capacitance', 'capacitance', { step: 10e-12 })}
      ${hotness(coil, at)}
    </div>
    <p class="small soft">${words.origins[coil.origin]} ${words.hotnessZero}</p>
    <details>
      <summary>${words.coilFields}</summary>
      <div class="fields">
        ${lossFields(pickup, coil, at)}
        ${quantityAt(`${at}/sensitivity`, words.sensitivity, 'sensitivity', 'sensitivity')}
        ${choiceAt<1 | -1>(`${at}/polarity`, words.polarity, [
          [1, words.polarities[1]],
          [-1, words.polarities['-1']],
        ])}
        ${choiceAt<1 | -1>(`${at}/winding`, words.winding, [
          [1, words.windings[1]],
          [-1, words.windings['-1']],
        ])}
      </div>
      <div class="row end">
        ${checkField(words.withCover, coil.cover !== null, on => editAt(words.changeStep(words.cover), `${at}/cover`, on ? 8000 : null))}
        ${
          Number.isFinite(numberAt(build, `${at}/cover`))
            ? html`${quantityAt(`${at}/cover`, words.cover, 'frequency', 'coverFrequency', { step: 100 })}
                <p class="small soft">${words.coverActs}</p>`
            : nothing
        }
      </div>
      ${textAt(`${at}/note`, words.coilNote, 120, words.changeStep(words.coilNote), '')}
      ${build.instrument.strings.length > 1 ? underFields(build, pickup, coil) : nothing}
    </details>
  </div>`;
}

/** The shown pickup: which kind, and every coil. */
export function pickupElectrics(): TemplateResult {
  const build = heard.value;
  const pickup = heardPickup.value;
  return html`
    ${build.pickups.length > 1 ? pickupChoice() : nothing}
    ${pickup.coils.map((_, i) => coilFields(build, pickup, i))}
    <div class="row end">
      <span class="grow">
        ${choiceField(
          `kind ${pickup.id}`,
          words.kind,
          pickup.kind,
          PICKUP_KINDS.map(kind => [kind, words.kinds[kind]] as const),
          kind => editHeard(words.kindStep(words.kinds[kind]), b => setKind(b, pickup.id, kind)),
        )}
      </span>
      ${
        pickup.kind === 'free' && pickup.coils.length < MOST.coils
          ? html`<button @click=${() => editHeard(words.addCoil, b => addCoil(b, pickup.id))}>${words.addCoil}</button>`
          : nothing
      }
    </div>
  `;
}
