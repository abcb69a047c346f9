/** Edits that the plan makes: each is one step of undo, named after what it does. */
import type { Pickup } from '../../../shared/document/build.ts';
import { placePickup, setPickup, turnPickup } from '../../../shared/document/edits/pickups.ts';
import { setPluck } from '../../../shared/document/edits/sheet.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { clamp } from '../../../shared/sensor/limits.ts';
import { editHeard, editSheet, heard, store, view } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { pluckRange } from './pluck.ts';

const pickupName = (id: string): string => heard.peek().pickups.find(p => p.id === id)?.name ?? '';

/** Changes one pickup of the heard build. */
export function editPickup(
  step: (name: string) => string,
  id: string,
  change: (pickup: Pickup) => Pickup,
  gesture: string | null = null,
): void {
  editHeard(step(pickupName(id)), build => setPickup(build, id, change), gesture);
}

/** Moves the centre of a pickup to `position` m from the saddle line, or as near as it can go. */
export const movePickup = (id: string, position: number, gesture: string | null = null): void =>
  editHeard(words.steps.move(pickupName(id)), build => placePickup(build, id, position), gesture);

/** Turns a pickup to `slant` rad, or as far as it can turn. */
export const slantPickup = (id: string, slant: number, gesture: string | null = null): void =>
  editHeard(words.steps.slant(pickupName(id)), build => turnPickup(build, id, slant), gesture);

/** Moves the pluck point of modelled takes, m from the saddle line; null: as the score says. */
export function movePluck(position: number | null, gesture: string | null = null): void {
  const to = position === null ? null : clamp(position, pluckRange(heard.peek().instrument));
  editSheet(words.steps.pluck, sheet => setPluck(sheet, to), gesture);
}

/** Makes a build heard with one of its pickups selected. */
export function hear(letter: Letter, pickup: string): void {
  store.look({ heard: letter, pickup });
}

/** Makes a pickup of the heard build the chosen one. */
export function selectPickup(id: string): void {
  if (view.peek().pickup !== id) store.look({ pickup: id });
}
