/** Choices above the plot: what is shown of what, against what, in which range. */
import type { Signal } from '@preact/signals-core';
import { html, nothing, type TemplateResult } from 'lit';
import { type Letter, SMOOTHINGS, type View } from '../../../shared/document/sheet.ts';
import { heard, slots, store, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/readings-words.ts';
import {
  absolute,
  DIFFERENCE_SPANS,
  differenceSpan,
  impedanceAt,
  impedancePhase,
  liveWanted,
  SPANS,
  span,
  withPluck,
  X_RANGES,
  type XRange,
  xRange,
} from './choices.ts';
import { impedancePlaces } from './what-is-plotted.ts';

const select = (
  label: string,
  options: readonly (readonly [value: string, text: string])[],
  now: string,
  change: (value: string) => void,
) => html`<label>
  ${label}
  <select .value=${now} @change=${(event: Event) => change((event.target as HTMLSelectElement).value)}>
    ${options.map(([value, text]) => html`<option value=${value} ?selected=${value === now}>${text}</option>`)}
  </select>
</label>`;

const check = (label: string, chosen: Signal<boolean>) => html`<label class="check">
  <input type="checkbox" .checked=${chosen.value} @change=${(event: Event) => {
    chosen.value = (event.target as HTMLInputElement).checked;
  }} />
  ${label}
</label>`;

function stringChoice(every: boolean) {
  const { allStrings } = view.value;
  const options = heard.value.instrument.strings.map((string, index) => [String(index + 1), string.name] as const);
  return select(
    words.stringLabel,
    every ? [...options, ['all', words.allStrings]] : options,
    every && allStrings ? 'all' : String(stringIndex.value + 1),
    value => store.look(value === 'all' ? { allStrings: true } : { allStrings: false, string: Number(value) }),
  );
}

const referenceChoice = () =>
  select(
    words.referenceLabel,
    slots.value.map(({ letter }) => [letter, letter]),
    view.value.reference,
    value => store.look({ reference: value as Letter }),
  );

const levelChoice = () =>
  select(
    words.scaleLabel,
    [
      ...slots.value.map(({ letter }) => [letter, words.relative(letter)] as const),
      ['absolute', words.absolute(words.absoluteUnits[view.value.point])],
    ],
    absolute.value ? 'absolute' : view.value.reference,
    value => {
      absolute.value = value === 'absolute';
      if (value !== 'absolute') store.look({ reference: value as Letter });
    },
  );

const smoothingChoice = () =>
  select(
    words.smoothingLabel,
    SMOOTHINGS.map(n => [String(n), words.smoothingShort(n)]),
    String(view.value.smoothing),
    value => store.look({ smoothing: Number(value) as View['smoothing'] }),
  );

const spanChoice = (spans: readonly number[], text: (dB: number) => string, chosen: Signal<number>) =>
  select(
    words.rangeY,
    spans.map(dB => [String(dB), text(dB)]),
    String(chosen.value),
    value => {
      chosen.value = Number(value);
    },
  );

const fretChoice = () =>
  select(
    words.fretLabel,
    Array.from({ length: heard.value.instrument.frets + 1 }, (_, fret) => [
      String(fret),
      fret === 0 ? words.openString : String(fret),
    ]),
    String(view.value.fret),
    value => store.look({ fret: Number(value) }),
  );

const placeChoice = () =>
  select(
    words.whereLabel,
    impedancePlaces().map(([id, name]) => [id ?? '', name]),
    impedanceAt.value ?? '',
    value => {
      impedanceAt.value = value || null;
    },
  );

const quantityChoice = () =>
  select(
    words.quantityLabel,
    [
      ['magnitude', words.magnitude],
      ['phase', words.phase],
    ],
    impedancePhase.value ? 'phase' : 'magnitude',
    value => {
      impedancePhase.value = value === 'phase';
    },
  );

function choices(): TemplateResult {
  const height = spanChoice(SPANS, words.span, span);
  switch (view.value.reading) {
    case 'response':
      return html`${stringChoice(true)} ${levelChoice()} ${height}`;
    case 'spectrum':
      return html`${smoothingChoice()} ${referenceChoice()} ${height} ${check(words.live, liveWanted)}`;
    case 'difference':
      return html`${stringChoice(false)} ${referenceChoice()} ${smoothingChoice()}
      ${spanChoice(DIFFERENCE_SPANS, words.spanBoth, differenceSpan)}`;
    case 'partials':
      return html`${stringChoice(false)} ${fretChoice()} ${referenceChoice()} ${height}
      ${check(words.withPluck, withPluck)}`;
    case 'impedance':
      return html`${placeChoice()} ${quantityChoice()}`;
  }
}

const frequencyRange = () => html`<span class="group" role="group" aria-label=${words.rangeX}>
  ${(Object.keys(X_RANGES) as XRange[]).map(
    range =>
      html`<button
        aria-pressed=${xRange.value === range ? 'true' : 'false'}
        aria-label=${words.rangesXSpoken[range]}
        @click=${() => {
          xRange.value = range;
        }}
      >${words.rangesX[range]}</button>`,
  )}
</span>`;

/** All choices of the reading that is looked at. Reads signals. */
export const plotTools = (): TemplateResult =>
  html`${choices()} ${view.value.reading === 'partials' ? nothing : frequencyRange()}`;
