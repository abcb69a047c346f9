/** More of the harness: blend, soldered parts, outputs. */
import { html, nothing, type TemplateResult } from 'lit';
import { placeKey, solderPlaces } from '../../../shared/circuit/solder-places.ts';
import { type Build, MOST } from '../../../shared/document/build.ts';
import { setBlend, setBlendEnd } from '../../../shared/document/edits/blend.ts';
import { addFixed, removeFixed, solder } from '../../../shared/document/edits/fixed.ts';
import { setStereo } from '../../../shared/document/edits/outputs.ts';
import { editHeard, heard } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { settingRuler } from './control-fields.ts';
import { checkField, choiceAt, choiceField, choicesOf, itemTools, quantityAt } from './fields.ts';

function blendFields(build: Build): TemplateResult {
  const { blend } = build.harness;
  if (build.pickups.length < 2 && !blend) return html`${nothing}`;
  const pickups = build.pickups.map(p => [p.id, p.name] as const);
  return html`<div class="item">
    ${checkField(words.blend, blend !== null, on =>
      editHeard(on ? words.addBlend : words.removeBlend, b => setBlend(b, on)),
    )}
    ${
      blend
        ? html`${settingRuler(words.blend, '/harness/blend/setting', blend.setting)}
            <div class="fields">
              ${quantityAt('/harness/blend/value', words.pot, 'resistance', 'pot', { step: 10e3 })}
              ${choiceAt('/harness/blend/gangs', words.gangs, choicesOf(words.gangKinds), words.gangsStep)}
              ${(['from', 'to'] as const).map(end =>
                choiceField(
                  `/harness/blend/${end}`,
                  end === 'from' ? words.blendFrom : words.blendTo,
                  blend[end],
                  pickups,
                  id => editHeard(words.blendStep, b => setBlendEnd(b, end, id)),
                ),
              )}
            </div>`
        : nothing
    }
  </div>`;
}

const FIXED_RANGE = {
  resistor: 'fixedResistance',
  capacitor: 'fixedCapacitance',
  inductor: 'fixedInductance',
} as const;
/** The quantity of a soldered part. */
export const PART_KIND = { resistor: 'resistance', capacitor: 'capacitance', inductor: 'inductance' } as const;

function fixedFields(build: Build): TemplateResult {
  const places = solderPlaces(build);
  const { fixed } = build.harness;
  return html`<div class="item">
    ${fixed.map((part, i) => {
      const at = `/harness/fixed/${i}`;
      const name = words.fixedKinds[part.kind];
      return html`<div class="item">
        <div class="row end">
          <span class="grow">${quantityAt(`${at}/value`, name, PART_KIND[part.kind], FIXED_RANGE[part.kind], {
            hint: part.kind === 'inductor' ? words.inductorIdeal : '',
          })}</span>
          ${itemTools(
            name,
            i,
            1,
            () => undefined,
            () => editHeard(words.removeStep(name), b => removeFixed(b, i)),
          )}
        </div>
        <div class="fields wide">
          ${(['from', 'to'] as const).map(end =>
            choiceField(
              `${at}/${end}`,
              words[end],
              placeKey(part[end]),
              places.map(p => [placeKey(p.place), p.meaning] as const),
              key =>
                editHeard(words.solderStep(name), b =>
                  solder(b, i, end, places.find(p => placeKey(p.place) === key)?.place ?? part[end]),
                ),
            ),
          )}
        </div>
      </div>`;
    })}
    <div class="row" role="group" aria-label=${words.fixed}>
      ${(['resistor', 'capacitor', 'inductor'] as const).map(
        kind =>
          html`<button ?disabled=${fixed.length >= MOST.fixed} @click=${() =>
            editHeard(words.addStep(words.fixedKinds[kind]), b =>
              addFixed(b, kind),
            )}>+ ${words.fixedKinds[kind]}</button>`,
      )}
    </div>
  </div>`;
}

function stereoField(build: Build): TemplateResult {
  return html`<div class="item">
    ${checkField(words.stereo, build.outputs.length > 1, on =>
      editHeard(on ? words.stereoStep : words.monoStep, b => setStereo(b, on, words.secondOutput)),
    )}
  </div>`;
}

/** Blend, fixed parts and outputs, folded away until one of them is used. */
export function harnessMore(): TemplateResult {
  const build = heard.value;
  const used = build.harness.blend !== null || build.harness.fixed.length > 0 || build.outputs.length > 1;
  return html`<details ?open=${used}>
    <summary>${words.harnessMore}</summary>
    ${blendFields(build)} ${fixedFields(build)} ${stereoField(build)}
  </details>`;
}
