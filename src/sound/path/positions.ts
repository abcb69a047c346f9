/** `<cc-positions>`: every selector position of the heard build with its figures; a position's name selects it. */
import { css, html } from 'lit';
import { type PositionRow, positionTable } from '../../../shared/circuit/positions.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { heard } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { selectPosition } from './edits.ts';
import { decibelText, frequencyText } from './station-figures.ts';

const level = (dB: number): string => (Number.isFinite(dB) ? decibelText(dB) : words.cancels);

export class Positions extends SignalElement {
  static override styles = [
    shared,
    css`
      .scroll { overflow-x: auto; }
      td, th { white-space: nowrap; }
      td button { padding: 0.1rem 0.45rem; min-height: 1.75rem; text-align: left; }
      tr[aria-current] td { font-weight: 500; }
      @media (pointer: coarse) { td button { min-height: 44px; } }
    `,
  ];

  #row(row: PositionRow, selected: boolean, outputs: number) {
    const name = outputs > 1 ? `${row.label} (${heard.value.outputs[row.output].name})` : row.label;
    const button = html`<button aria-pressed=${selected} aria-label=${words.choosePosition(row.position + 1, name)}
      @click=${() => selectPosition(row.position)}>${row.position + 1} ${name}</button>`;
    if (row.problem) return html`<tr><td>${button}</td><td colspan="5">${row.problem}</td></tr>`;
    return html`<tr aria-current=${selected ? 'true' : 'false'}>
      <td>${button}</td>
      <td>${row.peakHz === null ? '–' : frequencyText(row.peakHz)}</td>
      <td>${row.peakHz === null ? '–' : decibelText(row.peakDb)}</td>
      <td>${row.minus3dBHz === null ? '–' : frequencyText(row.minus3dBHz)}</td>
      <td>${level(row.levelDb)}${row.phase === 'out' ? ` ${words.outOfPhase}` : ''}</td>
      <td>${level(row.humDb)}</td>
    </tr>`;
  }

  override render() {
    const build = heard.value;
    const { position, resonance, height, minus3, level: loud, hum } = words.positionColumns;
    return html`<div class="scroll">
      <table>
        <thead>
          <tr>${[position, resonance, height, minus3, loud, hum].map(text => html`<th scope="col">${text}</th>`)}</tr>
        </thead>
        <tbody>
          ${positionTable(build, 5).map(row => this.#row(row, row.position === build.harness.selected, build.outputs.length))}
        </tbody>
      </table>
    </div>`;
  }
}
customElements.define('cc-positions', Positions);
