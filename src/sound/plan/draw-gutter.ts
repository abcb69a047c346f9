/** The strings left of the saddle line, where one of them is chosen. */
import { html, nothing, svg } from 'lit';
import { stringAt, stringLine } from '../../../shared/sensor/placement.ts';
import { heard, stringIndex } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { stringWeight } from './draw-instrument.ts';
import { type Frame, LANE, px, toScreen } from './frame.ts';

/** Names and tails of the strings left of the saddle line; it stays while the drawing scrolls. */
export function drawGutter(
  frame: Frame,
  width: number,
  choose: (index: number) => void,
  key: (event: KeyboardEvent, index: number) => void,
) {
  const { instrument } = heard.value;
  const selected = stringIndex.value;
  const tail = 12 * frame.unit;
  const behind = Math.max(0, ...instrument.strings.map(s => -s.saddle)) * frame.scale;
  const nameX = width - Math.max(tail, behind + 6 * frame.unit) - 8 * frame.unit;
  const own = instrument.strings.some(s => s.saddle !== 0);
  const half = Math.min(LANE, (instrument.spread.saddle * frame.scale) / Math.max(1, instrument.strings.length - 1));
  return html`<svg class="gutter" width=${width} height=${frame.height} role="radiogroup" aria-label=${words.strings}>
    ${instrument.strings.map((string, index) => {
      const { saddle } = stringLine(instrument, index);
      const y = toScreen(frame, { x: 0, y: stringAt(instrument, index, 0) }).y;
      const from = Math.min(width - tail, width + saddle.x * frame.scale - 6 * frame.unit);
      return svg`
        <line class="string ${index === selected ? 'chosen' : ''}" x1=${px(from)} y1=${px(y)} x2=${width} y2=${px(y)}
          stroke-width=${px(stringWeight(frame, string.gauge))}></line>
        ${own && saddle.x <= 0 ? svg`<circle class="own-saddle" cx=${px(width + saddle.x * frame.scale)} cy=${px(y)} r=${px(2.5 * frame.unit)}></circle>` : nothing}
        <g class="name" role="radio" tabindex=${index === selected ? 0 : -1} aria-checked=${index === selected}
          aria-label=${words.stringName(index + 1, string.name)}
          @click=${() => choose(index)} @keydown=${(e: KeyboardEvent) => key(e, index)}>
          <rect class="box" x="1" y=${px(y - half / 2)} width=${px(nameX + 3 * frame.unit)} height=${px(half)}></rect>
          <text x=${px(nameX)} y=${px(y + 4.5 * frame.unit)} text-anchor="end">${string.name}</text>
        </g>`;
    })}
    <line class="saddle-line" x1=${width - 1} x2=${width - 1} y1=${px(frame.top - 4 * frame.unit)} y2=${px(frame.height - 2)}></line>
    <text class="saddle-word" x=${px(width - 4 * frame.unit)} y=${px(frame.top - 8 * frame.unit)} text-anchor="end">${words.saddle}</text>
  </svg>`;
}
