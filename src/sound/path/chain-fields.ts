/** Fields of the station "Cable and input": what is plugged in after the jack, in order. */
import { html, nothing, type TemplateResult } from 'lit';
import { type Build, MOST, RANGE, type Stage } from '../../../shared/document/build.ts';
import { numberAt, valueAt } from '../../../shared/document/pointer.ts';
import { formatQuantity } from '../../../shared/units.ts';
import type { QuantityDetail } from '../../parts/quantity.ts';
import '../../parts/ruler.ts';
import { addStage, moveStage, removeStage } from '../../../shared/document/edits/chain.ts';
import { editHeard, heard, slots, view } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { editAt, endGesture } from './edits.ts';
import { checkField, itemTools, quantityAt, textAt } from './fields.ts';

const FOOT = 0.3048;

/** A cable's length on a ruler, with the length that the other builds' first cable of this output has. */
function lengthRuler(build: Build, output: number, at: string): TemplateResult {
  const own = view.value.heard;
  const inches = view.value.units === 'in';
  const length = numberAt(build, `${at}/length`);
  const marks = slots.value.flatMap(({ letter, build: other }) => {
    const cable = other.outputs[output]?.chain.find(s => s.kind === 'cable');
    return letter !== own && cable?.kind === 'cable' && cable.measured === null
      ? [{ letter, value: cable.length }]
      : [];
  });
  const longest = Math.max(length, ...marks.map(m => m.value));
  const top = inches
    ? [50 * FOOT, 100 * FOOT, 350 * FOOT].find(t => t >= longest)!
    : [15, 30, 100].find(t => t >= longest)!;
  return html`<cc-ruler
    .label=${words.cableLength}
    .value=${length}
    .range=${[0, Math.min(RANGE.cableLength[1], top)]}
    .step=${inches ? FOOT : 0.5}
    .factor=${inches ? FOOT : 1}
    .unit=${inches ? 'ft' : 'm'}
    .most=${4}
    .text=${(value: number) => formatQuantity(value, 'cableLength', view.value.units)}
    .letter=${own}
    .marks=${marks}
    @quantity=${(event: CustomEvent<QuantityDetail>) =>
      editAt(words.changeStep(words.cableLength), `${at}/length`, event.detail.value, event.detail.gesture)}
    @settled=${endGesture}
  ></cc-ruler>`;
}

function cableFields(
  build: Build,
  stage: Extract<Stage, { kind: 'cable' }>,
  output: number,
  at: string,
): TemplateResult {
  const total = stage.length * stage.capacitancePerMetre;
  return html`<div class="fields">
      ${
        stage.measured === null
          ? html`${quantityAt(`${at}/length`, words.cableLength, 'cableLength', 'cableLength', { step: 0.5 })}
            ${quantityAt(`${at}/capacitancePerMetre`, words.perMetre, 'capacitancePerMetre', 'cableCapacitance', {
              step: 5e-12,
            })}`
          : html`${quantityAt(`${at}/measured`, words.measured, 'capacitance', 'cableTotal', { step: 10e-12 })}`
      }
    </div>
    ${stage.measured === null ? lengthRuler(build, output, at) : nothing}
    <details>
      <summary>${words.cableMore}</summary>
      <div class="row">
        ${checkField(words.useMeasured, stage.measured !== null, on =>
          editAt(words.changeStep(words.measured), `${at}/measured`, on ? Math.min(RANGE.cableTotal[1], total) : null),
        )}
        ${checkField(words.withLeakage, stage.leakage !== null, on =>
          editAt(words.changeStep(words.leakage), `${at}/leakage`, on ? 10e6 : null),
        )}
      </div>
      <div class="fields">
        ${quantityAt(`${at}/resistancePerMetre`, words.seriesResistance, 'resistancePerMetre', 'cableResistance', { step: 0.05 })}
        ${
          typeof valueAt(build, `${at}/leakage`) === 'number'
            ? quantityAt(`${at}/leakage`, words.leakage, 'resistance', 'leakage')
            : nothing
        }
        ${
          stage.measured === null
            ? nothing
            : quantityAt(`${at}/length`, words.cableLength, 'cableLength', 'cableLength', { step: 0.5 })
        }
      </div>
    </details>`;
}

function stageFields(build: Build, stage: Stage, output: number, index: number): TemplateResult {
  const at = `/outputs/${output}/chain/${index}`;
  const chain = build.outputs[output].chain;
  const kind = words.stageKinds[stage.kind];
  return html`<div class="item">
    <h3>${stage.kind === 'cable' ? kind : stage.name} ${itemTools(
      stage.kind === 'cable' ? kind : stage.name,
      index,
      chain.length,
      by => editHeard(words.moveStage, b => moveStage(b, output, index, by)),
      () => editHeard(words.removeStage(kind), b => removeStage(b, output, index)),
    )}</h3>
    ${stage.kind === 'cable' ? cableFields(build, stage, output, at) : nothing}
    ${
      stage.kind === 'buffer'
        ? html`<div class="fields">
            ${quantityAt(`${at}/resistance`, words.inputResistance, 'resistance', 'inputResistance')}
            ${quantityAt(`${at}/capacitance`, words.inputCapacitance, 'capacitance', 'inputCapacitance', { step: 5e-12 })}
            ${quantityAt(`${at}/gain`, words.gain, 'number', 'gain', { step: 0.1 })}
            ${quantityAt(`${at}/output`, words.outputResistance, 'resistance', 'outputResistance')}
            ${textAt(`${at}/name`, words.pickupName, 40)}
          </div>`
        : nothing
    }
    ${
      stage.kind === 'input'
        ? html`<div class="fields">
              ${quantityAt(`${at}/resistance`, words.inputResistance, 'resistance', 'inputResistance')}
            </div>
            <details>
              <summary>${words.inputMore}</summary>
              <div class="fields">
                ${quantityAt(`${at}/series`, words.inputSeries, 'resistance', 'seriesResistance', { step: 1000 })}
                ${quantityAt(`${at}/capacitance`, words.inputCapacitance, 'capacitance', 'inputCapacitance', { step: 10e-12 })}
                ${textAt(`${at}/name`, words.pickupName, 40)}
              </div>
            </details>`
        : nothing
    }
  </div>`;
}

export function chainFields(): TemplateResult {
  const build = heard.value;
  return html`${build.outputs.map(
    (output, o) => html`<section>
      ${build.outputs.length > 1 ? html`<h3>${output.name}</h3>` : nothing}
      ${output.chain.map((stage, i) => stageFields(build, stage, o, i))}
      ${
        output.chain.length < MOST.stages
          ? html`<div class="row item" role="group" aria-label=${words.plugged}>
              ${(['cable', 'buffer', 'input'] as const).map(
                kind =>
                  html`<button @click=${() =>
                    editHeard(words.addStage(words.stageKinds[kind]), b =>
                      addStage(b, o, kind),
                    )}>+ ${words.stageKinds[kind]}</button>`,
              )}
            </div>`
          : nothing
      }
    </section>`,
  )}`;
}
