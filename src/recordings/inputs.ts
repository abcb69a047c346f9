/** The choice of an input device, as the recorder and the live input both offer it. */
import { html, nothing } from 'lit';
import { words } from '../words/recordings-words.ts';

/** Lowest level that the meters show, dBFS. */
const FLOOR = -60;

export const deviceChoice = (
  devices: readonly { id: string; name: string }[],
  chosen: string,
  disabled: boolean,
  choose: (id: string) => void,
) => html`<label class="field">
  <span>${words.device}</span>
  <select ?disabled=${disabled} @change=${(event: Event) => choose((event.target as HTMLSelectElement).value)}>
    <option value="" ?selected=${chosen === ''}>${words.defaultDevice}</option>
    ${devices.map(({ id, name }) => html`<option value=${id} ?selected=${id === chosen}>${name}</option>`)}
  </select>
</label>`;

export const levelMeter = (peak: number) => html`<meter
    min=${FLOOR}
    max="0"
    high="-3"
    optimum="-20"
    .value=${Math.max(FLOOR, Number.isFinite(peak) ? peak : FLOOR)}
    aria-label=${words.levelLabel}
  ></meter>
  <span class="small number level">${words.level(peak)}</span>`;

export const keptOn = (processing: readonly (keyof typeof words.processing)[]) =>
  processing.length === 0
    ? nothing
    : html`<p class="small problem">${words.applied(processing.map(key => words.processing[key]))}</p>`;
