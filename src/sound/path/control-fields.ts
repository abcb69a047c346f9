/** Volume and tone controls: setting on a ruler, pot and capacitor beside it, the rest folded away. */
import { html, nothing, type TemplateResult } from 'lit';
import { type Build, type Control, MOST, type Pot } from '../../../shared/document/build.ts';
import { valueAt } from '../../../shared/document/pointer.ts';
import type { QuantityDetail } from '../../parts/quantity.ts';
import '../../parts/ruler.ts';
import {
  addControl,
  removeControl,
  setBleed,
  setControl,
  withTone,
  withVolume,
} from '../../../shared/document/edits/controls.ts';
import { editHeard, heard, slots, view } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { editAt, endGesture } from './edits.ts';
import { checkField, choiceAt, choiceField, choicesOf, itemTools, quantityAt } from './fields.ts';

const TAPERS = (['linear', 'audio-10', 'audio-15', 'audio-20', 'reverse-audio-10'] as const).map(
  taper => [taper, words.tapers[taper]] as const,
);

/** A pot's rotation, 0 to 10, with the other builds' settings at the same place. */
export function settingRuler(label: string, pointer: string, setting: number): TemplateResult {
  const own = view.value.heard;
  const marks = slots.value.flatMap(({ letter, build }) => {
    const value = valueAt(build, pointer);
    return letter !== own && typeof value === 'number' ? [{ letter, value }] : [];
  });
  return html`<div class="setting"><span class="caption" aria-hidden="true">${label} ${Number((setting * 10).toFixed(2))}</span><cc-ruler
    .label=${words.setting(label)}
    .value=${setting}
    .range=${[0, 1]}
    .step=${0.05}
    .factor=${0.1}
    .unit=${''}
    .most=${10}
    .text=${(value: number) => `${Number((value * 10).toFixed(2))}`}
    .letter=${own}
    .marks=${marks}
    @quantity=${(event: CustomEvent<QuantityDetail>) =>
      editAt(words.turnStep(label), pointer, event.detail.value, event.detail.gesture)}
    @settled=${endGesture}
  ></cc-ruler></div>`;
}

const potMore = (at: string, name: string): TemplateResult =>
  html`${choiceAt<Pot['taper']>(`${at}/taper`, words.taper, TAPERS, words.taperStep(name))}
  ${quantityAt(`${at}/deviation`, words.deviation, 'percent', 'tolerance', { step: 0.05, name: words.deviationStep(name) })}`;

function volumeFields(control: Control, index: number, name: string): TemplateResult {
  const { volume } = control;
  const at = `/harness/controls/${index}`;
  if (!volume) return html`${nothing}`;
  const bleed = volume.bleed?.kind ?? 'none';
  return html`<div class="pot">
      ${settingRuler(`${name} ${words.volume}`, `${at}/volume/setting`, volume.setting)}
      ${quantityAt(`${at}/volume/value`, `${words.volume} ${words.pot}`, 'resistance', 'pot', { step: 10e3 })}
    </div>
    <div class="fields wide">
      ${choiceField(
        `${at}/bleed`,
        words.bleed,
        bleed,
        (['none', 'capacitor', 'parallel', 'series'] as const).map(kind => [kind, words.bleeds[kind]] as const),
        kind =>
          editHeard(
            bleed === 'none'
              ? words.addStep(words.bleed)
              : kind === 'none'
                ? words.removeStep(words.bleed)
                : words.changeStep(words.bleed),
            b => setBleed(b, index, kind),
          ),
      )}
      ${volume.bleed ? quantityAt(`${at}/volume/bleed/capacitance`, words.bleedCapacitor, 'capacitance', 'toneCapacitance') : nothing}
      ${
        volume.bleed && volume.bleed.kind !== 'capacitor'
          ? quantityAt(`${at}/volume/bleed/resistance`, words.bleedResistor, 'resistance', 'fixedResistance')
          : nothing
      }
    </div>`;
}

function toneFields(control: Control, at: string, name: string): TemplateResult {
  const { tone } = control;
  if (!tone) return html`${nothing}`;
  return html`<div class="pot">
    ${settingRuler(`${name} ${words.tone}`, `${at}/tone/setting`, tone.setting)}
    <div class="pair">
      ${quantityAt(`${at}/tone/value`, `${words.tone} ${words.pot}`, 'resistance', 'pot', { step: 10e3 })}
      ${quantityAt(`${at}/tone/capacitance`, words.toneCapacitor, 'capacitance', 'toneCapacitance', { step: 1e-9 })}
    </div>
  </div>`;
}

function controlFields(build: Build, control: Control, index: number): TemplateResult {
  const at = `/harness/controls/${index}`;
  const pickup = build.pickups.find(p => p.id === control.pickup);
  const name = words.controlOf(pickup?.name ?? null);
  return html`<div class="item">
    <h3>${name} ${itemTools(
      `${name} ${words.controls}`,
      index,
      1,
      () => undefined,
      () => editHeard(words.removeStep(`${name} ${words.controls}`.toLowerCase()), b => removeControl(b, index)),
    )}</h3>
    ${volumeFields(control, index, name)} ${toneFields(control, at, name)}
    <details>
      <summary>${words.potDetails}</summary>
      <div class="row">
        ${checkField(words.hasVolume, control.volume !== null, on =>
          editHeard(on ? words.addStep(words.hasVolume) : words.removeStep(words.hasVolume), b =>
            withVolume(b, index, on),
          ),
        )}
        ${checkField(words.hasTone, control.tone !== null, on =>
          editHeard(on ? words.addStep(words.hasTone) : words.removeStep(words.hasTone), b => withTone(b, index, on)),
        )}
      </div>
      <div class="fields wide">
        ${choiceField(
          `${at}/pickup`,
          words.over,
          control.pickup ?? '',
          [['', words.everything] as const, ...build.pickups.map(p => [p.id, p.name] as const)],
          id => editHeard(words.overStep(name), b => setControl(b, index, { pickup: id === '' ? null : id })),
        )}
        ${
          build.outputs.length > 1 && control.pickup === null
            ? choiceAt(
                `${at}/output`,
                words.output,
                build.outputs.map(o => [o.id, o.name] as const),
                words.outputStep(name),
              )
            : nothing
        }
        ${
          control.volume && control.tone
            ? choiceAt<Control['toneAt']>(
                `${at}/toneAt`,
                words.toneAt,
                choicesOf(words.toneAts),
                words.toneAtStep(name),
              )
            : nothing
        }
        ${
          control.volume
            ? choiceAt<Control['volumeWiring']>(
                `${at}/volumeWiring`,
                words.wiring,
                choicesOf(words.wirings),
                words.wiringStep(name),
              )
            : nothing
        }
      </div>
      ${control.volume ? html`<h4>${words.volume}</h4><div class="fields wide">${potMore(`${at}/volume`, `${name} ${words.volume}`)}</div>` : nothing}
      ${control.tone ? html`<h4>${words.tone}</h4><div class="fields wide">${potMore(`${at}/tone`, `${name} ${words.tone}`)}</div>` : nothing}
    </details>
  </div>`;
}

/** All controls, and one more. */
export function controlsFields(): TemplateResult {
  const build = heard.value;
  const { controls } = build.harness;
  return html`${controls.map((control, i) => controlFields(build, control, i))}
  ${
    controls.length < MOST.controls
      ? html`<div class="row item">
          <button @click=${() => editHeard(words.addControl.toLowerCase(), addControl)}>${words.addControl}</button>
        </div>`
      : nothing
  }`;
}
