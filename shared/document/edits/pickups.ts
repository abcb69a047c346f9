/** Edits of the pickups as bodies: put in, taken out, named, moved, turned. */
import { usualTap } from '../../circuit/usual.ts';
import { clamp, positionLimits, slantLimits } from '../../sensor/limits.ts';
import { makePickup } from '../../sensor/typical.ts';
import { type Build, MOST, type Pickup } from '../build.ts';
import { freeId, moved } from './lists.ts';
import { type Edited, settle } from './settle.ts';

/** Free place along the strings, m: the middle of the widest gap between saddle, pickups and 0.25 of the scale. */
function freePlace(build: Build): number {
  const scale = Math.min(...build.instrument.strings.map(s => s.scale));
  const stops = [0.02, ...build.pickups.map(p => p.position), 0.27 * scale].sort((a, b) => a - b);
  let best = 0.16 * scale;
  let gap = 0;
  for (let i = 1; i < stops.length; i++)
    if (stops[i] - stops[i - 1] > gap) {
      gap = stops[i] - stops[i - 1];
      best = (stops[i] + stops[i - 1]) / 2;
    }
  return Math.round(best * 1000) / 1000;
}

const placeName = (x: number, scale: number): string =>
  x < 0.1 * scale ? 'Bridge' : x < 0.19 * scale ? 'Middle' : 'Neck';

/**
 * One more pickup of a kind (`sensor/typical.ts`) in a free place, and a selector position that connects it alone; its id
 * is that of the last pickup then.
 */
export function addPickup(build: Build, type: string): Edited {
  if (build.pickups.length >= MOST.pickups) return settle(build, build);
  const scale = Math.min(...build.instrument.strings.map(s => s.scale));
  const position = freePlace(build);
  const name = placeName(position, scale);
  const taken = build.pickups.map(p => p.name);
  const id = freeId(
    name,
    build.pickups.map(p => p.id),
  ); // prettier-ignore
  let shown = name;
  for (let n = 2; taken.includes(shown); n++) shown = `${name} ${n}`;
  const pickup = makePickup(type, build.instrument, { id, name: shown, position });
  const { harness } = build;
  const alone = { label: shown.toLowerCase(), join: 'parallel' as const, taps: [usualTap(id, build.outputs[0].id)] };
  return settle(build, {
    ...build,
    pickups: [...build.pickups, pickup],
    harness: { ...harness, positions: [...harness.positions, alone].slice(0, MOST.positions) },
  });
}

/** Without a pickup, and with it everything in the harness that speaks of it; the last one stays. */
export function removePickup(build: Build, id: string): Edited {
  const pickups = build.pickups.filter(p => p.id !== id);
  const changes = pickups.length > 0 && pickups.length < build.pickups.length;
  return settle(build, changes ? { ...build, pickups } : build);
}

export function movePickupInList(build: Build, index: number, by: number): Edited {
  const pickups = moved(build.pickups, index, by);
  return settle(build, pickups === build.pickups ? build : { ...build, pickups });
}

/** Changes one pickup; the same object: nothing changes. */
export function setPickup(build: Build, id: string, change: (pickup: Pickup) => Pickup): Edited {
  const pickups = build.pickups.map(p => (p.id === id ? change(p) : p));
  return settle(build, pickups.every((p, i) => p === build.pickups[i]) ? build : { ...build, pickups });
}

/** The centre of a pickup to `position` m from the saddle line, or as near as it can go. */
export const placePickup = (build: Build, id: string, position: number): Edited =>
  setPickup(build, id, pickup => {
    const to = clamp(position, positionLimits(build, pickup));
    return to === pickup.position ? pickup : { ...pickup, position: to };
  });

/** A pickup turned to `slant` rad, or as far as it can turn. */
export const turnPickup = (build: Build, id: string, slant: number): Edited =>
  setPickup(build, id, pickup => {
    const to = clamp(slant, slantLimits(build, pickup));
    return to === pickup.slant ? pickup : { ...pickup, slant: to };
  });
