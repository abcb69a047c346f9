/** Ready wirings and configurations put into a build: what was set stays where it has a place, what is new is said. */

import { fromNotation, wire } from '../../circuit/schemes.ts';
import { controlName } from '../../circuit/solder-places.ts';
import type { Build, Control, Harness, Pot } from '../build.ts';
import { firstTone, firstVolume } from '../first-volume.ts';
import { freeId } from './lists.ts';
import { type Edited, settle, type Went } from './settle.ts';

/** A pot like `own` where there is one; else as new, in value and taper like the build's others. */
const potLike = <T extends Pot>(fresh: T, own: T | null | undefined, other: T | null | undefined): T =>
  own ?? (other ? { ...fresh, ...other, setting: 1 } : fresh);

/** The wiring's controls with what the build's own were set to: one over the same pickups keeps everything but its kind. */
function keptControls(build: Build, fresh: readonly Control[]): { controls: Control[]; added: Control[] } {
  const old = build.harness.controls;
  const volume = firstVolume(old);
  const tone = firstTone(old);
  const left = [...old];
  const ids: string[] = [];
  const added: Control[] = [];
  const controls = fresh.map(control => {
    const fits = (c: Control): boolean =>
      c.pickup === control.pickup && (c.pickup !== null || c.output === control.output);
    const at = left.findIndex(
      c =>
        fits(c) && (c.volume !== null) === (control.volume !== null) && (c.tone !== null) === (control.tone !== null),
    );
    const found = at >= 0 ? at : left.findIndex(fits);
    const [own] = found >= 0 ? left.splice(found, 1) : [];
    const id = own?.id ?? freeId(control.id, [...old.map(c => c.id), ...ids]);
    ids.push(id);
    const one: Control = {
      ...control,
      id,
      volume: control.volume && potLike(control.volume, own?.volume, volume),
      tone: control.tone && potLike(control.tone, own?.tone, tone),
      toneAt: own?.toneAt ?? control.toneAt,
    };
    if (!own) added.push(one);
    return one;
  });
  return { controls, added };
}

/** The build with pickups and outputs as they are now and a ready wiring between them. */
function wired(before: Build, build: Build, scheme: string | undefined): Edited {
  const ready = wire(build.pickups, scheme, build.outputs);
  const { controls, added } = keptControls(build, ready.harness.controls);
  const { blend } = build.harness;
  const harness: Harness = {
    ...ready.harness,
    controls,
    blend: ready.harness.blend && {
      ...ready.harness.blend,
      ...(blend && { ...blend, from: ready.harness.blend.from, to: ready.harness.blend.to }),
    }, // prettier-ignore
    fixed: build.harness.fixed,
  };
  const changed = { ...build, outputs: ready.outputs, harness };
  const { build: settled, went } = settle(before, changed);
  const gone = before.harness.controls
    .filter(c => !settled.harness.controls.some(d => d.id === c.id))
    .map((c): Went => ({ kind: 'control', name: controlName(before, c) }));
  const news = added.map((c): Went => ({ kind: 'added', name: controlName(settled, c) }));
  return { build: settled, went: [...gone, ...went.filter(one => one.kind !== 'control'), ...news] };
}

/** A ready wiring for the pickups that are there. @throws when the scheme does not fit them */
export const applyScheme = (build: Build, scheme: string): Edited => wired(build, build, scheme);

/**
 * Pickups from the letters of a configuration with their usual wiring; a pickup of the same letter in the same place stays
 * as it is. Unchanged when the text is no configuration.
 */
export function applyConfiguration(build: Build, letters: string): Edited {
  const made = fromNotation(letters, build.instrument);
  if (!made) return settle(build, build);
  const pickups = made.pickups.map(
    p => build.pickups.find(own => own.id === p.id && own.kind === p.kind && own.coils.length === p.coils.length) ?? p,
  );
  return wired(build, { ...build, pickups, outputs: build.outputs.slice(0, 1) }, undefined);
}
