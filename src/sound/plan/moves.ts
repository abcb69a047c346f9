/** Edits that the plan makes: each is one step of undo, named after what it does. */
import type { Build, Pickup } from '../../../shared/document/build.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { editHeard, heard, store } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { clamp, positionLimits, slantLimits } from './plan-limits.ts';
import { pluckRange } from './pluck.ts';

/** The build with its pickup `id` changed. */
function withPickup(build: Build, id: string, change: (pickup: Pickup, build: Build) => Pickup): Build {
  const before = build.pickups.find(p => p.id === id);
  if (!before) return build;
  const after = change(before, build);
  return after === before ? build : { ...build, pickups: build.pickups.map(p => (p.id === id ? after : p)) };
}

const pickupName = (id: string): string => heard.peek().pickups.find(p => p.id === id)?.name ?? '';

/** Changes one pickup of the heard build. */
export function editPickup(
  step: (name: string) => string,
  id: string,
  change: (pickup: Pickup, build: Build) => Pickup,
  gesture: string | null = null,
): void {
  editHeard(step(pickupName(id)), build => withPickup(build, id, change), gesture);
}

/** Moves the centre of a pickup to `position` m from the saddle line, or as near as it can go. */
export function movePickup(id: string, position: number, gesture: string | null = null): void {
  editPickup(
    words.steps.move,
    id,
    (pickup, build) => {
      const to = clamp(position, positionLimits(build, pickup));
      return to === pickup.position ? pickup : { ...pickup, position: to };
    },
    gesture,
  );
}

/** Turns a pickup to `slant` rad, or as far as it can turn. */
export function slantPickup(id: string, slant: number, gesture: string | null = null): void {
  editPickup(
    words.steps.slant,
    id,
    (pickup, build) => {
      const to = clamp(slant, slantLimits(build, pickup));
      return to === pickup.slant ? pickup : { ...pickup, slant: to };
    },
    gesture,
  );
}

/** Moves the pluck point of modelled takes, m from the saddle line; null: as the score says. */
export function movePluck(position: number | null, gesture: string | null = null): void {
  const to = position === null ? null : clamp(position, pluckRange(heard.peek().instrument));
  store.edit(words.steps.pluck, sheet => (sheet.pluck === to ? sheet : { ...sheet, pluck: to }), gesture);
}

/** Makes a build heard with one of its pickups selected. */
export function hear(letter: Letter, pickup: string): void {
  store.look({ heard: letter, pickup });
}
