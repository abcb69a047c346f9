/** `<cc-positions>`: every selector position of the heard build with its figures; a position's name selects it. */
import { css, html } from 'lit';
import { figureValue } from '../../../shared/response/quantities.ts';
import { type PositionFigures, positionFigures } from '../../../shared/response/selector-figures.ts';
import { decibelText, frequencyText, humText, modelledIf, octavesText } from '../../parts/figure-text.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { heard } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { mixedPosition, unlikePositions } from './aperture-figures.ts';
import { selectPosition } from './edits.ts';

export class Positions extends SignalElement {
  static override styles = [
    shared,
    css`
      .scroll { overflow-x: auto; }
      td { white-space: nowrap; }
      th, td:first-child { white-space: normal; vertical-align: bottom; }
      td, th { padding-right: 0.4rem; font-size: 0.85rem; }
      td { vertical-align: middle; }
      td button { padding: 0.1rem 0.45rem; min-height: 1.75rem; text-align: left; }
      tr[aria-current] td { font-weight: 500; }
      @media (pointer: coarse) { td button { min-height: 44px; } }
    `,
  ];

  #row(row: PositionFigures, selected: boolean, outputs: number) {
    const name = outputs > 1 ? `${row.label} (${heard.value.outputs[row.output].name})` : row.label;
    const button = html`<button aria-pressed=${selected} aria-label=${words.choosePosition(row.position + 1, name)}
      @click=${() => selectPosition(row.position)}>${row.position + 1} ${name}</button>`;
    if (row.problem) return html`<tr><td>${button}</td><td colspan="5">${row.problem}</td></tr>`;
    const [resonance, peak, hum] = (['resonance', 'peak', 'hum'] as const).map(name => figureValue(row.figures, name));
    return html`<tr aria-current=${selected ? 'true' : 'false'}>
      <td>${button}</td>
      <td>${resonance === null ? '–' : frequencyText(resonance)}</td>
      <td>${peak === null ? '–' : decibelText(peak)}</td>
      <td>${modelledIf(mixedPosition(heard.value, row.position), octavesText(row.figures))}</td>
      <td>${row.level === null ? words.cancels : modelledIf(unlikePositions(heard.value, row.position), decibelText(row.level))}${row.phase === 'out' ? ` ${words.outOfPhase}` : ''}</td>
      <td>${humText(hum)}</td>
    </tr>`;
  }

  override render() {
    const build = heard.value;
    const { position, resonance, peak, octaves, level, hum } = words.positionColumns;
    return html`<div class="scroll">
      <table>
        <thead>
          <tr>${[position, resonance, peak, octaves, level, hum].map(text => html`<th scope="col">${text}</th>`)}</tr>
        </thead>
        <tbody>
          ${positionFigures(build).map(row => this.#row(row, row.position === build.harness.selected, build.outputs.length))}
        </tbody>
      </table>
    </div>`;
  }
}
customElements.define('cc-positions', Positions);
