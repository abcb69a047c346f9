/** Edits of the blend pot between two pickups. */
import { usualBlend } from '../../circuit/usual.ts';
import type { Build } from '../build.ts';
import { type Edited, settle } from './settle.ts';

const edited = (build: Build, blend: Build['harness']['blend']): Edited =>
  settle(build, blend === build.harness.blend ? build : { ...build, harness: { ...build.harness, blend } });

/** Puts a blend pot between the first two pickups, or takes it out; needs two pickups. */
export function setBlend(build: Build, on: boolean): Edited {
  const [a, b] = build.pickups;
  if (on === (build.harness.blend !== null) || (on && !b)) return edited(build, build.harness.blend);
  return edited(build, on ? usualBlend(a.id, b.id) : null);
}

/** One end of the blend to another pickup; to that of the other end: they change places. */
export function setBlendEnd(build: Build, end: 'from' | 'to', pickup: string): Edited {
  const { blend } = build.harness;
  if (!blend) return edited(build, blend);
  const other = end === 'from' ? 'to' : 'from';
  return edited(build, { ...blend, [end]: pickup, [other]: blend[other] === pickup ? blend[end] : blend[other] });
}
