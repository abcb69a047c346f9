/** Edits of the output jacks. */
import type { Build } from '../build.ts';
import { freeId } from './lists.ts';
import { type Edited, settle } from './settle.ts';

/** A second jack like the first, or the first alone: everything that went to the second then goes to it. */
export function setStereo(build: Build, on: boolean, name: string): Edited {
  const [first] = build.outputs;
  if (on === build.outputs.length > 1) return settle(build, build);
  const second = { ...first, id: freeId('out-2', [first.id]), name };
  return settle(build, { ...build, outputs: on ? [first, second] : [first] });
}
