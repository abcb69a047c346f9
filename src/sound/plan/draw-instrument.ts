/** Strings, saddles, fretboard and frets. */
import { nothing, type SVGTemplateResult, svg } from 'lit';
import type { Instrument } from '../../../shared/document/build.ts';
import { type Point, stringAt, stringLine } from '../../../shared/sensor/placement.ts';
import { words } from '../../words/plan-words.ts';
import { type Frame, px, toScreen } from './frame.ts';
import { fretboardEnd, fretLine } from './fretboard.ts';

/** Line weight of a string, px: it follows the gauge, a little under true scale so that it stays a line. */
export const stringWeight = (frame: Frame, gauge: number): number =>
  Math.min(5, Math.max(0.8, 0.6 * gauge * frame.scale));

const points = (frame: Frame, list: readonly Point[]): string =>
  list
    .map(point => toScreen(frame, point))
    .map(({ x, y }) => `${px(x)},${px(y)}`)
    .join(' ');

const lastX = (line: readonly Point[]) => line[line.length - 1].x;

/** Fretboard, frets and their numbers. A press on a fret calls `stop`. */
export function drawFrets(
  frame: Frame,
  instrument: Instrument,
  fret: number,
  stop: (fret: number) => void,
): SVGTemplateResult {
  const { frets } = instrument;
  if (frets === 0) return svg``;
  const end = frame.width / frame.scale;
  const last = fretboardEnd(instrument) ?? [];
  const nut = fretLine(instrument, 0);
  const shown = Array.from({ length: frets }, (_, i) => frets - i)
    .map(n => ({ n, line: fretLine(instrument, n) }))
    .filter(({ line }) => Math.min(line[0].x, lastX(line)) < end);
  const labelY = frame.bottom + 12 * frame.unit;
  let labelled = -Infinity;
  const numbers = shown.map(({ n, line }) => {
    const x = lastX(line) * frame.scale;
    const room = x - labelled >= 18 * frame.unit && x < frame.width - 8 * frame.unit;
    if (!room) return svg``;
    labelled = x;
    return svg`<text class="fret-number ${n === fret ? 'chosen' : ''}" x=${px(x)} y=${px(labelY)} text-anchor="middle">${n}</text>`;
  });
  return svg`
    <polygon class="fretboard" points=${points(frame, [...last, ...nut.toReversed()])}></polygon>
    ${shown.map(
      ({ n, line }) => svg`
        <polyline class="fret ${n === fret ? 'chosen' : ''}" points=${points(frame, line)}></polyline>
        <polyline class="fret-hit" points=${points(frame, line)} @click=${() => stop(n)}><title>${words.fret(n)}</title></polyline>`,
    )}
    ${nut[0].x < end ? svg`<polyline class="nut" points=${points(frame, nut)}></polyline>` : nothing}
    <g aria-hidden="true">${numbers}</g>`;
}

/** The strings right of the saddle line, each with a wide line over it for pointers. */
export function drawStrings(
  frame: Frame,
  instrument: Instrument,
  selected: number,
  select: (index: number) => void,
): SVGTemplateResult {
  return svg`${instrument.strings.map((string, index) => {
    const { saddle, nut } = stringLine(instrument, index);
    const from = toScreen(frame, { x: Math.max(0, saddle.x), y: stringAt(instrument, index, Math.max(0, saddle.x)) });
    const to = toScreen(frame, nut);
    return svg`
      <line class="string ${index === selected ? 'chosen' : ''}" x1=${px(from.x)} y1=${px(from.y)} x2=${px(to.x)} y2=${px(to.y)}
        stroke-width=${px(stringWeight(frame, string.gauge))}></line>
      ${saddle.x > 0 ? svg`<circle class="own-saddle" cx=${px(from.x)} cy=${px(from.y)} r=${px(2.5 * frame.unit)}></circle>` : nothing}
      <line class="string-hit" x1="0" y1=${px(from.y)} x2=${px(to.x)} y2=${px(to.y)} @click=${() => select(index)}></line>`;
  })}`;
}
