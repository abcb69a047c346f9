/** Keys of what is drawn on the plan: pickups, their slant, the pluck point, the strings. */
import { positionLimits, slantLimits } from '../../../shared/sensor/limits.ts';
import { heard, store, view } from '../../state/page.ts';
import { keyOf, type Placed } from './draw-dimensions.ts';
import { hear, movePickup, movePluck, slantPickup } from './moves.ts';
import { arrowStep } from './plan-figures.ts';
import { pluckRange, pluckStart } from './pluck.ts';

/** rad; a tenth of a degree is a fifth of it. */
export const SLANT_STEP = (0.5 * Math.PI) / 180;

/** Turns with Alt and arrows or the page keys, moves with arrows, goes to the limits with Home and End. */
export function pickupKey(event: KeyboardEvent, { letter, pickup }: Placed): void {
  if (letter !== view.peek().heard) {
    if (event.key !== 'Enter' && event.key !== ' ') return;
    event.preventDefault();
    hear(letter, pickup.id);
    return;
  }
  if (slantKey(event, pickup.id, pickup.slant, event.altKey)) return;
  const build = heard.peek();
  const step = arrowStep(view.peek().units, event.shiftKey);
  const moves: Record<string, () => number> = {
    ArrowRight: () => pickup.position + step,
    ArrowUp: () => pickup.position + step,
    ArrowLeft: () => pickup.position - step,
    ArrowDown: () => pickup.position - step,
    Home: () => positionLimits(build, pickup)[0],
    End: () => positionLimits(build, pickup)[1],
  };
  const to = moves[event.key];
  if (!to || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  movePickup(pickup.id, to(), `keys ${keyOf(letter, pickup.id)}`);
}

function slantKey(event: KeyboardEvent, id: string, slant: number, arrows: boolean): boolean {
  const up = event.key === 'PageUp' || (arrows && (event.key === 'ArrowRight' || event.key === 'ArrowUp'));
  const down = event.key === 'PageDown' || (arrows && (event.key === 'ArrowLeft' || event.key === 'ArrowDown'));
  if (!up && !down) return false;
  event.preventDefault();
  slantPickup(id, slant + (up ? SLANT_STEP : -SLANT_STEP), `slant keys ${id}`);
  return true;
}

export function slantHandleKey(event: KeyboardEvent, { pickup }: Placed): void {
  event.stopPropagation();
  if (slantKey(event, pickup.id, pickup.slant, true)) return;
  if (event.key !== 'Home' && event.key !== 'End') return;
  event.preventDefault();
  slantPickup(pickup.id, slantLimits(heard.peek(), pickup)[event.key === 'Home' ? 0 : 1]);
}

export function pluckKey(event: KeyboardEvent): void {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const at = store.value.pluck;
  if ((event.key === 'Delete' || event.key === 'Backspace') && at !== null) movePluck(null);
  const step = arrowStep(view.peek().units, event.shiftKey);
  const { instrument } = heard.peek();
  // the first key puts the marker where it is shown
  const from = at ?? pluckStart(instrument);
  const by = at === null ? 0 : step;
  const [low, high] = pluckRange(instrument);
  const moves: Record<string, number> = {
    ArrowRight: from + by,
    ArrowUp: from + by,
    ArrowLeft: from - by,
    ArrowDown: from - by,
    Home: low,
    End: high,
  };
  const to = moves[event.key];
  if (to === undefined) return;
  event.preventDefault();
  movePluck(to, 'pluck keys');
}

/** Goes to another string; returns which, counted from 0, or null where the key does nothing. */
export function stringKey(event: KeyboardEvent, index: number): number | null {
  const count = heard.peek().instrument.strings.length;
  const moves: Record<string, number> = {
    ArrowDown: Math.min(count - 1, index + 1),
    ArrowRight: Math.min(count - 1, index + 1),
    ArrowUp: Math.max(0, index - 1),
    ArrowLeft: Math.max(0, index - 1),
    Home: 0,
    End: count - 1,
    ' ': index,
  };
  const to = moves[event.key];
  if (to === undefined) return null;
  event.preventDefault();
  store.look({ string: to + 1 });
  return to;
}
