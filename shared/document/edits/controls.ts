/** Edits of volume and tone controls, by index. */
import { USUAL_BLEED, usualMaster, usualTone, usualVolume } from '../../circuit/usual.ts';
import { type Build, type Control, MOST, type Volume } from '../build.ts';
import { changedAt, freeId, withoutAt } from './lists.ts';
import { type Edited, settle } from './settle.ts';

const edited = (build: Build, change: (controls: Control[]) => Control[]): Edited => {
  const controls = change(build.harness.controls);
  return settle(
    build,
    controls === build.harness.controls ? build : { ...build, harness: { ...build.harness, controls } },
  );
};

/** One more master control. */
export const addControl = (build: Build): Edited =>
  edited(build, controls => {
    if (controls.length >= MOST.controls) return controls;
    const id = freeId(
      'control',
      controls.map(c => c.id),
    ); // prettier-ignore
    return [...controls, usualMaster(build.outputs[0].id, undefined, undefined, id)];
  });

export const removeControl = (build: Build, index: number): Edited =>
  edited(build, controls => withoutAt(controls, index));

export const setControl = (build: Build, index: number, change: Partial<Omit<Control, 'id'>>): Edited =>
  edited(build, controls => changedAt(controls, index, c => ({ ...c, ...change })));

export const withVolume = (build: Build, index: number, on: boolean): Edited =>
  edited(build, controls =>
    changedAt(controls, index, c => (on === (c.volume !== null) ? c : { ...c, volume: on ? usualVolume() : null })),
  );

export const withTone = (build: Build, index: number, on: boolean): Edited =>
  edited(build, controls =>
    changedAt(controls, index, c => (on === (c.tone !== null) ? c : { ...c, tone: on ? usualTone() : null })),
  );

/** The treble bleed as another kind; values that were set stay. */
export const setBleed = (build: Build, index: number, kind: NonNullable<Volume['bleed']>['kind'] | 'none'): Edited =>
  edited(build, controls =>
    changedAt(controls, index, c => {
      if (!c.volume) return c;
      const bleed = kind === 'none' ? null : { ...USUAL_BLEED[kind], ...c.volume.bleed, kind };
      return { ...c, volume: { ...c.volume, bleed } };
    }),
  );
