/** Edits of parts soldered in anywhere, by index. */
import { USUAL_FIXED } from '../../circuit/usual.ts';
import { type Build, type Fixed, MOST, type Place } from '../build.ts';
import { changedAt, freeId, withoutAt } from './lists.ts';
import { type Edited, settle } from './settle.ts';

const edited = (build: Build, change: (fixed: Fixed[]) => Fixed[]): Edited => {
  const fixed = change(build.harness.fixed);
  return settle(build, fixed === build.harness.fixed ? build : { ...build, harness: { ...build.harness, fixed } });
};

/** A part from the selector's common contact to ground. */
export const addFixed = (build: Build, kind: Fixed['kind']): Edited =>
  edited(build, fixed => {
    if (fixed.length >= MOST.fixed) return fixed;
    const id = freeId(
      kind,
      fixed.map(f => f.id),
    ); // prettier-ignore
    const from: Place = { at: 'selector', output: build.outputs[0].id };
    return [...fixed, { id, kind, value: USUAL_FIXED[kind], from, to: { at: 'ground' } }];
  });

export const removeFixed = (build: Build, index: number): Edited => edited(build, fixed => withoutAt(fixed, index));

/** Solders one end of a part elsewhere. */
export const solder = (build: Build, index: number, end: 'from' | 'to', place: Place): Edited =>
  edited(build, fixed => changedAt(fixed, index, part => ({ ...part, [end]: place })));
