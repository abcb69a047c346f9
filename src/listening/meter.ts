/** Level of the output: one bar an output from −48 dB to full scale, safe up to the limiter's ceiling. */
import { css, html, LitElement, svg } from 'lit';
import { shared } from '../parts/styles.ts';
import { words } from '../words/dock-words.ts';

const FLOOR = -48;
const CELLS = 24;

export class Meter extends LitElement {
  static override properties = { peaks: { attribute: false }, reduction: { type: Number } };
  /** Peak of each output, dBFS. */
  declare peaks: readonly number[];
  /** What the limiter takes away, dB, 0 or negative. */
  declare reduction: number;

  static override styles = [
    shared,
    css`
      svg { display: block; width: 100%; height: 0.9rem; }
      rect { fill: var(--hairline); }
      rect.on { fill: var(--safe); }
      rect.high { fill: var(--warn); }
      p { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 0.6rem; height: 1.35em; overflow: hidden; white-space: nowrap; }
    `,
  ];

  constructor() {
    super();
    this.peaks = [];
    this.reduction = 0;
  }

  override render() {
    const peak = Math.max(Number.NEGATIVE_INFINITY, ...this.peaks);
    const lit = Math.round(((Math.min(0, Math.max(FLOOR, peak)) - FLOOR) / -FLOOR) * CELLS);
    const cell = (i: number) =>
      svg`<rect class=${i < lit ? (i >= CELLS - 2 ? 'on high' : 'on') : ''} x=${i * 10} y="0" width="7" height="20" />`;
    return html`
      <svg viewBox="0 0 ${CELLS * 10 - 3} 20" preserveAspectRatio="none" aria-hidden="true">
        ${Array.from({ length: CELLS }, (_, i) => cell(i))}
      </svg>
      <p class="small soft number">
        <span>${words.level(peak)}</span>
        <span>${this.reduction < -0.05 ? words.limiterWorks(this.reduction) : words.limiterIdle}</span>
      </p>
    `;
  }
}
customElements.define('cc-meter', Meter);
