/** Dimension lines from the saddle line and name tags of pickups, in lanes so that none covers another. */
import { nothing, type SVGTemplateResult, svg } from 'lit';
import type { Pickup } from '../../../shared/document/build.ts';
import type { Letter, Slot } from '../../../shared/document/sheet.ts';
import type { UnitSystem } from '../../../shared/units.ts';
import { colourOf } from '../../parts/builds.ts';
import { words } from '../../words/plan-words.ts';
import { type Frame, LANE, px } from './frame.ts';
import { lanes } from './lanes.ts';
import { dimensionNumber } from './plan-figures.ts';

/** Lanes of dimension lines at most; what does not fit stands in the table. */
const MOST = 6;
/** Positions closer than this share a line, m. */
const SAME = 5e-5;
/** Width of a letter of the narrow face at label size, desk px: on the safe side. */
const LETTER = 6.6;

export interface Placed {
  letter: Letter;
  pickup: Pickup;
}
/** Which drawn pickup this is, so that focus can be given back to it. */
export const keyOf = (letter: Letter, pickup: string): string => `${letter}/${pickup}`;

export interface Dimension {
  letters: Letter[];
  position: number;
}

/** Pickups of all builds, those of the heard build last (drawn on top). */
export function placed(slots: readonly Slot[], heard: Letter): Placed[] {
  const of = (slot: Slot) => slot.build.pickups.map(pickup => ({ letter: slot.letter, pickup }));
  return [...slots.filter(s => s.letter !== heard).flatMap(of), ...slots.filter(s => s.letter === heard).flatMap(of)];
}

/** The dimension lines to draw, shortest first: the heard build's all, others' as far as there is room. */
export function dimensions(all: readonly Placed[], heard: Letter): { drawn: Dimension[]; left: number } {
  const found: Dimension[] = [];
  const ofHeard = (place: Placed) => (place.letter === heard ? 0 : 1);
  for (const { letter, pickup } of [...all].sort((a, b) => ofHeard(a) - ofHeard(b))) {
    const same = found.find(d => Math.abs(d.position - pickup.position) < SAME);
    if (!same) found.push({ letters: [letter], position: pickup.position });
    else if (!same.letters.includes(letter)) same.letters.push(letter);
  }
  const own = found.filter(d => d.letters.includes(heard));
  const others = found.filter(d => !d.letters.includes(heard));
  const drawn = [...own, ...others.slice(0, Math.max(0, MOST - own.length))];
  return { drawn: drawn.sort((a, b) => a.position - b.position), left: found.length - drawn.length };
}

const arrow = (x: number, y: number, size: number, direction: 1 | -1) =>
  svg`<path class="arrow" d="M${px(x)} ${px(y)}l${px(direction * size)} ${px(-size * 0.36)}v${px(size * 0.72)}z"></path>`;

/** One dimension line: arrowheads at both ends, the number set in the line. */
function drawDimension(
  frame: Frame,
  { letters, position }: Dimension,
  lane: number,
  units: UnitSystem,
): SVGTemplateResult {
  const y = frame.dimensions + (lane * LANE + LANE / 2) * frame.unit;
  const x = position * frame.scale;
  const number = dimensionNumber(position, units);
  const label = letters.length > 1 ? `${[...letters].sort().join(' ')}  ${number}` : number;
  const width = (label.length * LETTER + 8) * frame.unit;
  const size = 9 * frame.unit;
  // a line too short for its number carries it behind its end
  const inside = x > width + 2 * size + 8 * frame.unit;
  const middle = inside ? x / 2 : x + 6 * frame.unit + width / 2;
  return svg`<g style="--build: ${colourOf(letters[0])}">
    ${
      inside
        ? svg`<path class="dimension" d="M0 ${px(y)}H${px(middle - width / 2)}M${px(middle + width / 2)} ${px(y)}H${px(x)}"></path>`
        : svg`<path class="dimension" d="M0 ${px(y)}H${px(x)}"></path>`
    }
    <path class="witness" d="M${px(x)} ${px(frame.bottom)}V${px(y + 4 * frame.unit)}"></path>
    ${arrow(0, y, size, 1)}${arrow(x, y, size, -1)}
    <text class="dimension-number" x=${px(middle)} y=${px(y + 4 * frame.unit)} text-anchor="middle">${label}</text>
  </g>`;
}

export function drawDimensions(
  frame: Frame,
  { drawn, left }: { drawn: Dimension[]; left: number },
  units: UnitSystem,
): SVGTemplateResult {
  const end = frame.dimensions + (drawn.length * LANE + LANE / 2 + 4) * frame.unit;
  return svg`
    ${drawn.map((dimension, lane) => drawDimension(frame, dimension, lane, units))}
    ${left > 0 ? svg`<text class="note" x=${px(4 * frame.unit)} y=${px(end)}>${words.moreDimensions(left)}</text>` : nothing}`;
}

export interface Tag extends Placed {
  x: number;
  lane: number;
}

/** Name tags above the pickups; those of the heard build stand nearest. */
export function tags(
  all: readonly Placed[],
  heard: Letter,
  scale: number,
  unit: number,
): { list: Tag[]; lanes: number } {
  const far = (place: Placed) => (place.letter === heard ? 0 : 1);
  const nearFirst = [...all].sort((a, b) => far(a) - far(b));
  const spans = nearFirst.map(({ letter, pickup }) => {
    const half = (words.tag(letter, pickup.name).length * LETTER * unit) / 2;
    const x = Math.max(pickup.position * scale, half + 2);
    return { from: x - half, to: x + half, x };
  });
  const packed = lanes(spans, 8 * unit);
  return {
    list: nearFirst.map((place, i) => ({ ...place, x: spans[i].x, lane: packed[i] })),
    lanes: Math.max(0, ...packed) + 1,
  };
}

export const drawTags = (frame: Frame, list: readonly Tag[], heard: Letter): SVGTemplateResult =>
  svg`${list.map(
    ({
      letter,
      pickup,
      x,
      lane,
    }) => svg`<text class="tag ${letter === heard ? 'heard' : ''}" style="--build: ${colourOf(letter)}"
    x=${px(x)} y=${px(frame.top - (4 + lane * LANE) * frame.unit)} text-anchor="middle">${words.tag(letter, pickup.name)}</text>`,
  )}`;
