/** Fields of the stations, each bound to a place in the heard build. */
import { css, html, nothing, type TemplateResult } from 'lit';
import { live } from 'lit/directives/live.js';
import type { RangeName } from '../../../shared/document/build.ts';
import { RANGE } from '../../../shared/document/build.ts';
import { numberAt, valueAt } from '../../../shared/document/pointer.ts';
import type { QuantityKind, UnitSystem } from '../../../shared/units.ts';
import type { QuantityDetail } from '../../parts/quantity.ts';
import '../../parts/quantity.ts';
import { heard, view } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { editAt } from './edits.ts';

export const fieldStyles = css`
  .fields { display: grid; grid-template-columns: repeat(auto-fill, minmax(7.4rem, 1fr)); gap: 0.55rem 0.8rem; align-items: start; }
  .fields > .whole { grid-column: 1 / -1; }
  .fields.wide { grid-template-columns: repeat(auto-fill, minmax(10rem, 1fr)); }
  .choice > label, .choice > span { display: block; font-size: 0.85rem; color: var(--soft); font-family: var(--narrow); margin-bottom: 0.15rem; }
  .choice select, .choice input[type='text'] { width: 100%; min-width: 0; }
  .setting > .caption { display: block; font-size: 0.85rem; color: var(--soft); font-family: var(--narrow); }
  input[type='text'] {
    padding: 0.25rem 0.5rem; min-height: 2.1rem; background: var(--field); border: 1px solid var(--hairline); border-radius: 0;
  }
  .row { display: flex; flex-wrap: wrap; gap: 0.4rem 0.5rem; align-items: center; }
  .row.end { align-items: end; }
  .grow { flex: 1 1 6rem; min-width: 0; }
  section + section, details + details, section + details, details + section { margin-top: 0.7rem; }
  /* browser workaround 2: what a details element holds hangs from its own hidden slot, which does not pass box-sizing on */
  details > * { box-sizing: border-box; }
  details > summary { cursor: pointer; font-family: var(--narrow); color: var(--soft); padding: 0.25rem 0; min-height: 1.8rem; }
  details > summary:hover { color: var(--ink); }
  details[open] > summary { color: var(--ink); }
  .wrong { color: var(--wrong); font-size: 0.85rem; }
  .item { border-top: 1px solid var(--hairline); padding-top: 0.55rem; margin-top: 0.55rem; }
  section > .item:first-child, .item > .item:first-child { border-top: 0; padding-top: 0; margin-top: 0; }
  .tools { display: inline-flex; gap: 1px; margin-left: auto; }
  .tools button { border-color: transparent; min-width: 24px; padding: 0.1rem 0.45rem; color: var(--soft); }
  .tools button:hover:not(:disabled) { color: var(--ink); border-color: var(--hairline); }
  h3 { display: flex; align-items: baseline; gap: 0.6rem; }
  h4 { font: 600 0.95rem var(--narrow); margin: 0; }
  @media (pointer: coarse) { details > summary { min-height: 44px; line-height: 36px; } label.check { min-height: 44px; } }
`;

interface QuantityOptions {
  step?: number;
  hint?: string;
  /** The step's name; without it: `change` and the label. */
  name?: string;
  /** Accepted range when it is not the schema's alone. */
  range?: readonly [number, number];
  compact?: boolean;
}

/** A typed quantity at `pointer`. */
export const quantityAt = (
  pointer: string,
  label: string,
  kind: QuantityKind,
  range: RangeName,
  options: QuantityOptions = {},
): TemplateResult =>
  html`<cc-quantity
    .label=${label}
    .kind=${kind}
    .units=${view.value.units}
    .value=${numberAt(heard.value, pointer)}
    .range=${options.range ?? RANGE[range]}
    .step=${options.step ?? 0}
    .hint=${options.hint ?? ''}
    .compact=${options.compact ?? false}
    @quantity=${(event: CustomEvent<QuantityDetail>) =>
      editAt(options.name ?? words.changeStep(label), pointer, event.detail.value, event.detail.gesture)}
  ></cc-quantity>`;

/** A typed quantity whose value is not at one place. */
export const quantityField = (
  label: string,
  kind: QuantityKind,
  value: number,
  range: readonly [number, number],
  changed: (value: number, gesture: string, text: string | null) => void,
  options: { step?: number; hint?: string; units?: UnitSystem } = {},
): TemplateResult =>
  html`<cc-quantity
    .label=${label}
    .kind=${kind}
    .units=${options.units ?? view.value.units}
    .value=${value}
    .range=${range}
    .step=${options.step ?? 0}
    .hint=${options.hint ?? ''}
    @quantity=${(event: CustomEvent<QuantityDetail>) => changed(event.detail.value, event.detail.gesture, event.detail.text)}
  ></cc-quantity>`;

/** Choices from what they are called, in that order. */
export const choicesOf = <T extends string>(names: Readonly<Record<T, string>>): [T, string][] =>
  Object.entries(names) as [T, string][];

let serial = 0;
const ids = new Map<string, string>();
const idOf = (key: string): string => {
  let id = ids.get(key);
  if (!id) ids.set(key, (id = `choice-${serial++}`));
  return id;
};

/** A choice of longer words than these gets a line of its own, characters. */
const LONG_CHOICE = 14;

/** A choice out of `options`, value to words. `key` must be unique in its element. */
export function choiceField<T extends string | number>(
  key: string,
  label: string,
  value: T,
  options: readonly (readonly [T, string])[],
  changed: (value: T) => void,
): TemplateResult {
  const id = idOf(key);
  const long = options.some(([, text]) => text.length > LONG_CHOICE);
  return html`<div class=${long ? 'choice whole' : 'choice'}>
    <label for=${id}>${label}</label>
    <select
      id=${id}
      @change=${(event: Event) => {
        const at = (event.target as HTMLSelectElement).selectedIndex;
        changed(options[at][0]);
      }}
    >
      ${options.map(([option, text]) => html`<option ?selected=${option === value} .selected=${option === value}>${text}</option>`)}
    </select>
  </div>`;
}

/** A choice at `pointer`; `step` names the edit where the label alone would not say it. */
export const choiceAt = <T extends string | number>(
  pointer: string,
  label: string,
  options: readonly (readonly [T, string])[],
  step = words.changeStep(label),
): TemplateResult =>
  choiceField(pointer, label, valueAt(heard.value, pointer) as T, options, value => editAt(step, pointer, value));

export const checkField = (
  label: string,
  checked: boolean,
  changed: (checked: boolean) => void,
  disabled = false,
): TemplateResult =>
  html`<label class="check"
    ><input
      type="checkbox"
      ?disabled=${disabled}
      .checked=${live(checked)}
      @change=${(event: Event) => changed((event.target as HTMLInputElement).checked)}
    />${label}</label
  >`;

/** A line of free text at `pointer`; `empty` stands for none. */
export function textAt(
  pointer: string,
  label: string,
  max: number,
  step = words.changeStep(label),
  empty: string = words.unnamed,
): TemplateResult {
  const id = idOf(`text ${pointer}`);
  return html`<div class="choice">
    <label for=${id}>${label}</label>
    <input
      id=${id}
      type="text"
      maxlength=${max}
      autocomplete="off"
      .value=${String(valueAt(heard.value, pointer) ?? '')}
      @change=${(event: Event) => editAt(step, pointer, (event.target as HTMLInputElement).value.trim() || empty)}
    />
  </div>`;
}

/** Buttons that move an item in its list or take it out. */
export const itemTools = (
  what: string,
  index: number,
  count: number,
  move: (by: number) => void,
  remove: (() => void) | null,
): TemplateResult =>
  html`<span class="tools" role="group" aria-label=${what}>
    ${
      count > 1
        ? html`<button ?disabled=${index === 0} title=${words.earlier} aria-label=${`${what}: ${words.earlier}`} @click=${() => move(-1)}>↑</button>
          <button ?disabled=${index === count - 1} title=${words.later} aria-label=${`${what}: ${words.later}`} @click=${() => move(1)}>↓</button>`
        : nothing
    }
    ${
      remove
        ? html`<button title=${words.remove} aria-label=${`${words.remove} ${what}`} @click=${remove}>×</button>`
        : nothing
    }
  </span>`;
