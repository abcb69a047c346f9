/** Small curves without axes, one for each build, as the stations of the signal path show them. */

import { html, svg, type TemplateResult } from 'lit';
import type { Spectrum } from '../../shared/complex.ts';
import { dbOfAmplitude } from '../../shared/decibels.ts';
import type { Letter } from '../../shared/document/sheet.ts';
import { colourOf, DASH } from './builds.ts';
import { type Levels, levelsOf } from './curve-levels.ts';
import { linePath } from './plot-path.ts';
import { scaleOf } from './plot-scale.ts';

const WIDTH = 240;
const HEIGHT = 40;
/** dB from top to bottom, and between possible tops. */
const DEPTH = 36;
const TOP_STEP = 2;

export interface MiniCurve {
  letter: Letter;
  spectrum: Spectrum;
}

const drawn = new WeakMap<Spectrum, Levels>();
const paths = new WeakMap<Spectrum, { top: number; d: string }>();

/** Levels of `curves` over `frequencies` (Hz, logarithmic), the loudest about at the top of the picture. */
export function miniCurves(curves: readonly MiniCurve[], frequencies: Float64Array): TemplateResult {
  const levels = curves.map(({ spectrum }) => {
    let known = drawn.get(spectrum);
    if (!known) drawn.set(spectrum, (known = levelsOf(spectrum, frequencies)));
    return known;
  });
  let top = -Infinity;
  for (const { y } of levels) for (const level of y) if (level > top && level < Infinity) top = level;
  // in steps, so that curves that have not changed are not drawn anew for a little more or less of another
  top = top === -Infinity ? 0 : Math.ceil(top / TOP_STEP) * TOP_STEP;
  const sx = scaleOf({ kind: 'log', from: frequencies[0], to: frequencies[frequencies.length - 1] }, 0, WIDTH);
  const sy = scaleOf({ kind: 'linear', from: top - DEPTH, to: top }, HEIGHT - 1, 2);
  return html`<svg class="curve" viewBox="0 0 ${WIDTH} ${HEIGHT}" preserveAspectRatio="none" aria-hidden="true">
    ${curves.map(({ letter, spectrum }, i) => {
      let known = paths.get(spectrum);
      if (!known || known.top !== top) {
        const { x, y } = levels[i].drawn;
        const floored = y.map(level => Math.max(level, top - DEPTH));
        paths.set(spectrum, (known = { top, d: linePath(x, floored, sx, sy) }));
      }
      return svg`<path d=${known.d} fill="none" stroke=${colourOf(letter)} stroke-dasharray=${DASH[letter]}
        stroke-width="1.5" vector-effect="non-scaling-stroke" stroke-linejoin="round" />`;
    })}
  </svg>`;
}

/** Stems at the partials of a string, falling as a plucked string's bridge force does, 1/n (dB). */
export function miniPartials(partials: readonly number[]): TemplateResult {
  const sx = scaleOf({ kind: 'log', from: 20, to: 20e3 }, 0, WIDTH);
  const sy = scaleOf({ kind: 'linear', from: -DEPTH, to: 0 }, HEIGHT - 1, 2);
  const stems = partials
    .filter(f => f >= 20 && f <= 20e3)
    .map((f, i) => {
      const x = sx.place(f).toFixed(1);
      return `M${x} ${HEIGHT - 1}V${sy.place(Math.max(-DEPTH, -dbOfAmplitude(i + 1))).toFixed(1)}`;
    });
  return html`<svg class="curve" viewBox="0 0 ${WIDTH} ${HEIGHT}" preserveAspectRatio="none" aria-hidden="true">
    <path d="M0 ${HEIGHT - 1}H${WIDTH}" stroke="var(--hairline)" vector-effect="non-scaling-stroke" />
    <path d=${stems.join('')} stroke="var(--safe)" stroke-width="1" vector-effect="non-scaling-stroke" fill="none" />
  </svg>`;
}
