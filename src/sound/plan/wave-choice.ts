/** Which partial of the selected string is drawn, at which fret, and where its nodes lie against the pickups. */
import { css, html } from 'lit';
import { partial as partialFrequency, stringModel } from '../../../shared/string/stiff.ts';
import { frequencyText } from '../../parts/figure-text.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { atRest } from '../../state/at-rest.ts';
import { heard, store, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { dimension } from './plan-figures.ts';
import { nodesOverCoils, speakingLength } from './standing-wave.ts';

const PARTIALS = [1, 40] as const;

export class WaveChoice extends SignalElement {
  static override styles = [
    shared,
    css`
      :host { display: flex; flex-wrap: wrap; align-items: center; gap: 0.1rem 0.9rem; font-family: var(--narrow); font-size: 0.9rem; }
      p { color: var(--safe); font-weight: 500; font-variant-numeric: tabular-nums; }
      .stepper { display: inline-flex; align-items: center; color: var(--soft); }
      .stepper output { min-width: 1.6em; text-align: center; color: var(--ink); font-weight: 600; }
      .stepper button { min-height: 1.7rem; min-width: 1.7rem; padding: 0; font-size: 1.1rem; line-height: 1; margin-left: 0.35rem; }
      .stepper output + button { margin-left: 0; }
      @media (pointer: coarse) { .stepper button { min-height: 44px; min-width: 44px; } }
    `,
  ];

  #stepper(label: string, name: 'partial' | 'fret', value: number, [low, high]: readonly [number, number]) {
    const to = (next: number) => store.look({ [name]: Math.min(high, Math.max(low, next)) });
    return html`<span class="stepper" role="group" aria-label=${label}>
      <span aria-hidden="true">${label}</span>
      <button class="plain" aria-label=${words.less(label)} ?disabled=${value <= low} @click=${() => to(value - 1)}>−</button>
      <output aria-label=${label}>${value}</output>
      <button class="plain" aria-label=${words.more(label)} ?disabled=${value >= high} @click=${() => to(value + 1)}>+</button>
    </span>`;
  }

  /** The partial's frequency, the distance of its nodes, and the coils that one of them lies over. */
  #nodes = atRest(() => {
    const build = heard.value;
    const index = stringIndex.value;
    const { units, partial, heard: letter } = view.value;
    const { instrument } = build;
    const fret = Math.min(view.value.fret, instrument.frets);
    const string = instrument.strings[index];
    const over = nodesOverCoils(build, index, fret, partial).map(({ pickup, coil, off }) =>
      words.overCoil(letter, pickup.name, pickup.coils.length > 1 ? coil : null, dimension(Math.abs(off), units)),
    );
    const frequency = frequencyText(partialFrequency(stringModel(string), partial, fret));
    const node = dimension(speakingLength(instrument, index, fret) / partial, units);
    return html`<p>${words.wave(partial, string.name, fret, frequency)}: ${words.node(partial, node)}${over.length ? `; ${words.nodeOver(over.join(', '))}` : ''}</p>`;
  });

  override render() {
    const { instrument } = heard.value;
    const { partial } = view.value;
    const fret = Math.min(view.value.fret, instrument.frets);
    return html`
      ${instrument.frets > 0 ? this.#stepper(words.fretLabel, 'fret', fret, [0, instrument.frets]) : ''}
      ${this.#stepper(words.partial, 'partial', partial, PARTIALS)}
      ${this.#nodes()}
    `;
  }
}
customElements.define('cc-wave-choice', WaveChoice);
