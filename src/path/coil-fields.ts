/** Electrical fields of the coils of one pickup: R, L, C, losses, output, magnets, and what kind of pickup it is. */
import { html, nothing, type TemplateResult } from 'lit';
import { type Build, type Coil, type Loss, PICKUP_KINDS, type Pickup } from '../../shared/build/build.ts';
import { numberAt } from '../../shared/build/pointer.ts';
import { editHeard, heard, heardPickup } from '../state/page.ts';
import { words } from '../words/path.ts';
import { editAt, freeId, withPickup } from './edits.ts';
import { checkField, choiceAt, choiceField, itemTools, quantityAt } from './fields.ts';
import { pickupChoice, pickupPointer } from './pickup-fields.ts';

const mm = 1e-3;

/**
 * The pickup as another kind. Coils are kept as far as the new kind has room; a second coil is the first with opposite
 * pole and winding.
 */
export function asKind(pickup: Pickup, kind: Pickup['kind'], strings: number): Pickup {
  if (kind === pickup.kind) return pickup;
  const [first] = pickup.coils;
  if (kind === 'free') return { ...pickup, kind };
  if (kind === 'single') return { ...pickup, kind, coils: [{ ...first, along: 0, strings: null }] };
  const second: Coil = pickup.coils[1] ?? {
    ...first,
    id: freeId(`${first.id}-2`, [first.id]),
    polarity: first.polarity === 1 ? -1 : 1,
    winding: first.winding === 1 ? -1 : 1,
  };
  const pair: [Coil, Coil] = [
    { ...first, strings: null },
    { ...second, strings: null },
  ];
  if (kind === 'stacked') return { ...pickup, kind, coils: pair.map(c => ({ ...c, along: 0 })) };
  const apart = kind === 'split' ? 14 * mm : 9.25 * mm;
  const [a, b] = pair.map((c, i) => ({ ...c, along: i === 0 ? apart : -apart }));
  if (kind === 'double') return { ...pickup, kind, coils: [a, b] };
  const numbers = Array.from({ length: strings }, (_, i) => i + 1);
  const half = Math.max(1, strings >> 1);
  return {
    ...pickup,
    kind,
    coils: [
      { ...a, strings: numbers.slice(half).length > 0 ? numbers.slice(half) : numbers },
      { ...b, strings: numbers.slice(0, half) },
    ],
  };
}

/** A coil's loss as another kind, with values that lie in the middle for it. */
function asLoss(kind: Loss['kind'], coil: Coil): Loss {
  if (kind === 'none') return { kind };
  if (kind === 'eddy') return { kind, resistance: 300e3 };
  return {
    kind,
    sections: [
      { inductance: coil.inductance * 0.25, resistance: 20e3 },
      { inductance: coil.inductance * 0.12, resistance: 90e3 },
    ],
  };
}

/** Drops taps' mention of coils that the pickups no longer have. */
function withLiveTaps(build: Build): Build {
  const coils = new Map(build.pickups.map(p => [p.id, p.coils.map(c => c.id)]));
  return {
    ...build,
    harness: {
      ...build.harness,
      positions: build.harness.positions.map(position => ({
        ...position,
        taps: position.taps.map(tap => {
          const kept = tap.coils?.filter(c => coils.get(tap.pickup)?.includes(c)) ?? null;
          return { ...tap, coils: kept && kept.length > 0 ? kept : null };
        }),
      })),
    },
  };
}

function lossFields(coil: Coil, at: string): TemplateResult {
  const set = (loss: Loss) => editAt(words.changeStep(words.loss), `${at}/loss`, loss);
  const { loss } = coil;
  return html`${choiceField(
    `${at}/loss`,
    words.loss,
    loss.kind,
    [
      ['none', words.losses.none],
      ['eddy', words.losses.eddy],
      ['ladder', words.losses.ladder],
    ],
    kind => set(asLoss(kind, coil)),
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
                  () =>
                    editHeard(words.removeCoil, b =>
                      withLiveTaps(withPickup(b, pickup.id, p => ({ ...p, coils: p.coils.filter(c => c !== coil) }))),
                    ),
                )
              : nothing
          }</h3>`
        : nothing
    }
    <div class="fields">
      ${quantityAt(`${at}/resistance`, words.resistance, 'resistance', 'resistance', { step: 100 })}
      ${quantityAt(`${at}/inductance`, words.inductance, 'inductance', 'inductance', { step: 0.05 })}
      ${quantityAt(`${at}/capacitance`, words.capacitance, 'capacitance', 'capacitance', { step: 10e-12 })}
    </div>
    <details>
      <summary>${words.coilFields}</summary>
      <div class="fields">
        ${lossFields(coil, at)}
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
            ? quantityAt(`${at}/cover`, words.cover, 'frequency', 'coverFrequency', { step: 100 })
            : nothing
        }
      </div>
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
          kind =>
            editHeard(words.kindStep(words.kinds[kind]), b =>
              withLiveTaps(withPickup(b, pickup.id, p => asKind(p, kind, b.instrument.strings.length))),
            ),
        )}
      </span>
      ${
        pickup.kind === 'free' && pickup.coils.length < 8
          ? html`<button @click=${() =>
              editHeard(words.addCoil, b =>
                withPickup(b, pickup.id, p => ({
                  ...p,
                  coils: [
                    ...p.coils,
                    {
                      ...p.coils[p.coils.length - 1],
                      id: freeId(
                        'coil',
                        p.coils.map(c => c.id),
                      ),
                    },
                  ],
                })),
              )}>${words.addCoil}</button>`
          : nothing
      }
    </div>
  `;
}
