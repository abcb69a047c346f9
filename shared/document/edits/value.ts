/** An edit of a single value by its place in the build. */
import type { Build } from '../build.ts';
import { withValueAt } from '../pointer.ts';
import { type Edited, settle } from './settle.ts';

/** Electrical values of a coil: what is typed there is no longer typical. */
const ELECTRICAL =
  /^\/pickups\/(\d+)\/coils\/(\d+)\/(?:resistance|inductance|capacitance|cover|sensitivity|turns|loss(?:\/.*)?)$/;

/** Puts `value` at `pointer`. A name that is typed is from then on the person's own; a place that does not exist changes nothing. */
export function setValue(build: Build, pointer: string, value: unknown): Edited {
  const changed = withValueAt(build, pointer, value);
  const coil = ELECTRICAL.exec(pointer);
  if (changed === build || !coil) return settle(build, changed);
  return settle(build, withValueAt(changed, `/pickups/${coil[1]}/coils/${coil[2]}/origin`, 'entered'));
}
