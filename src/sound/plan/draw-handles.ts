/** What can be taken hold of on the plan, by pointer and by keys: pickups, the slant of the chosen one, the pluck point. */
import { nothing, svg } from 'lit';
import { guard } from 'lit/directives/guard.js';
import type { Build } from '../../../shared/document/build.ts';
import { positionLimits, slantLimits } from '../../../shared/sensor/limits.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { colourOf, DASH } from '../../parts/builds.ts';
import { heard, store, view } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { keyOf, type Placed } from './draw-dimensions.ts';
import { drawPickup, slantHandle } from './draw-pickup.ts';
import { type Frame, px } from './frame.ts';
import { hear, selectPickup } from './moves.ts';
import { dimension, dimensionNumber } from './plan-figures.ts';
import { pickupKey, pluckKey, slantHandleKey } from './plan-keys.ts';
import { plucked, pluckRange, pluckStart } from './pluck.ts';

const DEGREE = Math.PI / 180;

/** Begins a drag. */
type Press = (event: PointerEvent) => void;

/** Browser workaround 1: `touch-action` alone does not keep Chromium from panning under a finger on a shape of a drawing. */
const keepTouch = (event: TouchEvent): void => event.preventDefault();

export function drawPluck(frame: Frame, press: Press) {
  const { units } = view.value;
  const { instrument } = heard.value;
  const place = plucked(store.sheet.value, instrument);
  const at = place.by === 'own' ? place.at : place.by === 'score' ? place.from : pluckStart(instrument);
  const x = at * frame.scale;
  const [low, high] = pluckRange(instrument);
  const size = 6 * frame.unit;
  const hit = matchMedia('(pointer: coarse)').matches ? 22 : 12 * frame.unit;
  const own = place.by === 'own';
  const text =
    place.by === 'own'
      ? words.pluckMark(dimensionNumber(place.at, units), place.heard)
      : place.by === 'score'
        ? words.pluckOfScore(dimensionNumber(place.from, units), dimensionNumber(place.to, units))
        : words.pluckRecorded;
  return svg`<g class="pluck ${own ? '' : 'scores'}" role="slider" tabindex="0" data-key="pluck" aria-label=${words.pluck}
    aria-valuemin=${(low * 1e3).toFixed(1)} aria-valuemax=${(high * 1e3).toFixed(1)} aria-valuenow=${(at * 1e3).toFixed(1)}
    aria-valuetext=${own ? words.pluckText(dimension(at, units)) : `${text}; ${words.pluckKeys}`}
    @touchstart=${keepTouch} @pointerdown=${press} @keydown=${pluckKey}>
    <title>${words.pluckHint}</title>
    ${
      place.by === 'score' && place.to - place.from > 1e-3
        ? svg`<rect class="band" x=${px(x)} y=${px(frame.top)} width=${px((place.to - place.from) * frame.scale)}
            height=${px(frame.bottom - frame.top)}></rect>`
        : nothing
    }
    ${
      place.by === 'recorded'
        ? nothing
        : svg`<line class="line" x1=${px(x)} x2=${px(x)} y1=${px(frame.top)} y2=${px(frame.bottom)}></line>`
    }
    <rect class="hit" x=${px(x - hit)} y=${px(frame.bottom + 10 * frame.unit - hit)} width=${px(2 * hit)} height=${px(2 * hit)}></rect>
    <path class="mark" d="M${px(x)} ${px(frame.bottom + 1)}l${px(size)} ${px(size * 1.7)}h${px(-2 * size)}z"></path>
    <text x=${px(x + (own ? 10 : -10) * frame.unit)} y=${px(frame.bottom + 13 * frame.unit)}
      text-anchor=${own ? 'start' : 'end'}>${text}</text>
  </g>`;
}

/** `state`: `selected`, `odd`, both or neither. */
export function drawPlaced(frame: Frame, build: Build, place: Placed, state: string, press: Press) {
  const { letter, pickup } = place;
  const { units } = view.value;
  const own = letter === view.value.heard;
  const at = dimension(pickup.position, units);
  const style = `--build: ${colourOf(letter)}; --dash: ${DASH[letter] || 'none'}`;
  const drawing = guard([pickup, build.instrument, frame.scale, frame.centre, frame.unit], () =>
    drawPickup(frame, build.instrument, pickup),
  );
  if (!own)
    return svg`<g class="pickup other" style=${style} role="button" tabindex="0" data-key=${keyOf(letter, pickup.id)}
      aria-label=${words.otherPickup(letter, pickup.name, at)} @click=${() => hear(letter, pickup.id)}
      @keydown=${(e: KeyboardEvent) => pickupKey(e, place)}>${drawing}</g>`;
  const [low, high] = positionLimits(build, pickup);
  const slant = pickup.slant === 0 ? null : formatQuantity(pickup.slant, 'angle');
  return svg`<g class="pickup heard ${state}" style=${style} role="slider" tabindex="0"
    data-key=${keyOf(letter, pickup.id)} aria-label=${words.pickup(letter, pickup.name)}
    aria-valuemin=${(low * 1e3).toFixed(1)} aria-valuemax=${(high * 1e3).toFixed(1)} aria-valuenow=${(pickup.position * 1e3).toFixed(1)}
    aria-valuetext=${words.fromSaddle(at, slant)} aria-keyshortcuts="PageUp PageDown"
    @touchstart=${keepTouch} @pointerdown=${press} @focus=${() => selectPickup(pickup.id)}
    @keydown=${(e: KeyboardEvent) => pickupKey(e, place)}>${drawing}</g>`;
}

export function drawSlant(frame: Frame, build: Build, place: Placed, press: Press) {
  const { letter, pickup } = place;
  const { x, y } = slantHandle(frame, build.instrument, pickup);
  const [low, high] = slantLimits(build, pickup);
  const degrees = (value: number) => (value / DEGREE).toFixed(2);
  const side = pickup.slant === 0 ? 'none' : pickup.slant > 0 ? 'bass' : 'treble';
  const coarse = matchMedia('(pointer: coarse)').matches;
  return svg`<g class="slant" role="slider" tabindex="0" data-key="slant" aria-orientation="vertical"
    aria-label=${words.slantOf(letter, pickup.name)} aria-valuemin=${degrees(low)} aria-valuemax=${degrees(high)}
    aria-valuenow=${degrees(pickup.slant)}
    aria-valuetext=${words.slantText(formatQuantity(Math.abs(pickup.slant), 'angle'), side)}
    @touchstart=${keepTouch} @pointerdown=${press} @keydown=${(e: KeyboardEvent) => slantHandleKey(e, place)}>
    <circle class="hit" cx=${px(x)} cy=${px(y)} r=${coarse ? 22 : 10 * frame.unit}></circle>
    <circle class="dot" cx=${px(x)} cy=${px(y)} r=${px(4 * frame.unit)}></circle>
  </g>`;
}
