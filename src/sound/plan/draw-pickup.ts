/** One pickup: the stretch of string it senses, its coils, its poles, and around it the ring of what is selected. */
import { type SVGTemplateResult, svg } from 'lit';
import { guard } from 'lit/directives/guard.js';
import type { Instrument, Pickup } from '../../../shared/document/build.ts';
import { type Frame, px, toScreen } from './frame.ts';
import { bodyOf, type CoilOutline, coilOutlines, facesOn, type Sensed, sensedBy } from './outlines.ts';

/** How far the ring of the selected pickup stands off, desk px. */
const RING = 4;

/** The stretch of the strings that a coil senses, one shape over all strings above it. */
function sensedShape(frame: Frame, instrument: Instrument, sensed: readonly Sensed[]): string {
  if (sensed.length === 0) return '';
  const { strings, spread } = instrument;
  const half = strings.length > 1 ? spread.saddle / (strings.length - 1) / 2 : 4e-3;
  const first = sensed[0];
  const last = sensed[sensed.length - 1];
  const rows = [{ ...first, y: first.y + half }, ...sensed, { ...last, y: last.y - half }];
  const side = (sign: number) => rows.map(r => toScreen(frame, { x: r.x + (sign * r.extent) / 2, y: r.y }));
  return [...side(-1), ...side(1).toReversed()].map(p => `${px(p.x)},${px(p.y)}`).join(' ');
}

function coilShape(frame: Frame, instrument: Instrument, pickup: Pickup, outline: CoilOutline): SVGTemplateResult {
  const s = frame.scale;
  // a coil below another shows as a second line inside the first
  const inset = outline.below ? 2 * frame.unit : 0;
  const width = Math.max(2, outline.width * s - 2 * inset);
  const coil = pickup.coils.find(c => c.id === outline.id)!;
  const faces = outline.below ? [] : facesOn(instrument, pickup, coil);
  return svg`
    <rect class="coil ${outline.below ? 'below' : ''}" x=${px(outline.along * s - width / 2)} y=${px(-outline.treble * s + inset)}
      width=${px(width)} height=${px((outline.treble - outline.bass) * s - 2 * inset)} rx=${px(width / 2)}></rect>
    ${faces.map(({ x, y, along, across, round }) =>
      round
        ? svg`<circle class="pole" cx=${px(x * s)} cy=${px(-y * s)} r=${px((along / 2) * s)}></circle>`
        : svg`<line class="rail" x1=${px(x * s)} x2=${px(x * s)} y1=${px((-y - across / 2) * s)} y2=${px((-y + across / 2) * s)}></line>`,
    )}`;
}

/** Coils and poles about the pickup's own centre, unturned. */
function body(frame: Frame, instrument: Instrument, pickup: Pickup): SVGTemplateResult {
  const outlines = coilOutlines(instrument, pickup);
  const { from, to, bass, treble } = bodyOf(outlines);
  const s = frame.scale;
  const ring = RING * frame.unit;
  return svg`
    <rect class="ring" x=${px(from * s - ring)} y=${px(-treble * s - ring)} width=${px((to - from) * s + 2 * ring)}
      height=${px((treble - bass) * s + 2 * ring)}></rect>
    <rect class="hit" x=${px(from * s - 2)} y=${px(-treble * s)} width=${px((to - from) * s + 4)} height=${px((treble - bass) * s)}></rect>
    ${outlines.map(outline => coilShape(frame, instrument, pickup, outline))}`;
}

/** The drawing of a pickup. While it moves, only a transform and the sensed stretches change. */
export function drawPickup(frame: Frame, instrument: Instrument, pickup: Pickup): SVGTemplateResult {
  const s = frame.scale;
  const turn = (-pickup.slant * 180) / Math.PI;
  return svg`
    ${pickup.coils.map(
      coil =>
        svg`<polygon class="sensed" points=${sensedShape(frame, instrument, sensedBy(instrument, pickup, coil))}></polygon>`,
    )}
    <g transform="translate(${px(pickup.position * s)} ${px(frame.centre)}) rotate(${px(turn)})">
      ${guard([pickup.coils, pickup.poles, instrument, s, frame.unit], () => body(frame, instrument, pickup))}
    </g>`;
}

/** Where the slant handle of a pickup stands in the drawing: off its bass end. */
export function slantHandle(frame: Frame, instrument: Instrument, pickup: Pickup): { x: number; y: number } {
  const { bass } = bodyOf(coilOutlines(instrument, pickup));
  const reach = -bass * frame.scale + 7 * frame.unit;
  return {
    x: pickup.position * frame.scale + reach * Math.sin(pickup.slant),
    y: frame.centre + reach * Math.cos(pickup.slant),
  };
}
