/** The plan's data, string by string: where each coil crosses it, its first node, its poles; tension, speed and B with their sources. */

import { css, html, nothing } from 'lit';
import type { Build, Coil, Pickup } from '../../../shared/document/build.ts';
import { describeString, SOURCE_TEXT } from '../../../shared/string/describe.ts';
import { formatQuantity, type UnitSystem } from '../../../shared/units.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { heard, store, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { coilCells } from './coil-figures.ts';

const cellsOf = (build: Build, pickup: Pickup, coil: Coil, index: number, units: UnitSystem) => {
  const cells = coilCells(build, pickup, coil, index, units);
  return cells === null
    ? html`<td colspan="3" class="soft first">${words.data.notUnder}</td>`
    : cells.map((text, i) => html`<td class=${i === 0 ? 'first' : ''}>${text}</td>`);
};

export class PlanData extends SignalElement {
  static override properties = { open: { type: Boolean, reflect: true } };
  declare open: boolean;

  static override styles = [
    shared,
    css`
      summary { cursor: pointer; font-family: var(--narrow); font-size: 0.9rem; min-height: 1.5rem; padding: 0.1rem 0; }
      .panel { padding: 0.6rem 0.8rem; overflow-x: auto; }
      .panel:focus-visible { outline-offset: -2px; }
      table { width: auto; white-space: nowrap; }
      .tables { display: flex; flex-wrap: wrap; gap: 0.8rem 2.5rem; align-items: start; }
      caption { text-align: left; font-weight: 600; padding-bottom: 0.2rem; }
      th, td { padding-right: 1rem; }
      thead th { vertical-align: bottom; }
      .first { border-left: 1px solid var(--hairline); padding-left: 0.7rem; }
      tr.chosen th, tr.chosen td { color: var(--ink); font-weight: 600; }
      tr.chosen td .source { font-weight: 400; }
      tbody th button { border: 0; padding: 0 0.2rem; min-height: 1.5rem; min-width: 2.2rem; text-align: left; }
      .source { display: block; font-size: 0.8rem; color: var(--soft); font-family: var(--narrow); white-space: normal; min-width: 9rem; }
      .explain { max-width: 62rem; white-space: normal; font-size: 0.88rem; color: var(--soft); margin-top: 0.6rem; }
      @media (pointer: coarse) { summary { min-height: 44px; padding: 0.7rem 0; } }
    `,
  ];

  constructor() {
    super();
    this.open = false;
  }

  #row(index: number, name: string, cells: unknown) {
    return html`<tr class=${index === stringIndex.value ? 'chosen' : ''}>
      <th scope="row"><button class="plain" @click=${() => store.look({ string: index + 1 })}>${name}</button></th>${cells}
    </tr>`;
  }

  #distances(build: Build, units: UnitSystem) {
    const coils = build.pickups.flatMap(pickup => pickup.coils.map(coil => ({ pickup, coil })));
    const { strings } = build.instrument;
    return html`<table>
      <caption>${words.data.caption(view.value.heard)}</caption>
      <thead>
        <tr>
          <td></td>
          ${coils.map(
            ({ pickup, coil }) =>
              html`<th scope="colgroup" colspan="3" class="first">${words.data.coil(pickup.name, pickup.coils.length > 1 ? coil.id : null)}</th>`,
          )}
        </tr>
        <tr>
          <th scope="col">${words.data.string}</th>
          ${coils.map(
            () => html`<th scope="col" class="first">${words.data.distance}, ${units}</th>
              <th scope="col">${words.data.firstNode}</th>
              <th scope="col">${words.data.beside}, ${units}</th>`,
          )}
        </tr>
      </thead>
      <tbody>
        ${strings.map((string, index) =>
          this.#row(
            index,
            string.name,
            coils.map(({ pickup, coil }) => cellsOf(build, pickup, coil, index, units)),
          ),
        )}
      </tbody>
    </table>`;
  }

  #strings(build: Build, units: UnitSystem) {
    const sourced = (value: string, source: keyof typeof SOURCE_TEXT) =>
      html`<td>${value}<span class="source">${SOURCE_TEXT[source]}</span></td>`;
    return html`<table>
      <thead>
        <tr>
          <th scope="col">${words.data.string}</th>
          <th scope="col">${words.data.mass}</th>
          <th scope="col">${words.data.tension}</th>
          <th scope="col">${words.data.speed}</th>
          <th scope="col">${words.data.B}</th>
        </tr>
      </thead>
      <tbody>
        ${build.instrument.strings.map((string, index) => {
          const { mass, tension, speed, B, sources } = describeString(string);
          return this.#row(
            index,
            string.name,
            html`${sourced(formatQuantity(mass, 'unitWeight', units), sources.mass)}
              <td>${formatQuantity(tension, 'force', units)}<span class="source">${words.data.tensionSource}</span></td>
              <td>${speed.toFixed(1)} m/s<span class="source">${words.data.speedSource}</span></td>
              ${sourced(formatQuantity(Number(B.toPrecision(3)), 'number'), sources.inharmonicity)}`,
          );
        })}
      </tbody>
    </table>`;
  }

  override render() {
    const { units } = view.value;
    return html`<details .open=${this.open} @toggle=${(event: Event) => {
      this.open = (event.target as HTMLDetailsElement).open;
    }}>
      <summary>${words.data.title}</summary>
      ${
        this.open
          ? html`<div class="panel" tabindex="0" role="region" aria-label=${words.data.title}>
              <div class="tables">${this.#distances(heard.value, units)} ${this.#strings(heard.value, units)}</div>
              <p class="explain">${words.data.explain}</p>
            </div>`
          : nothing
      }
    </details>`;
  }
}
customElements.define('cc-plan-data', PlanData);
