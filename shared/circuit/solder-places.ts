/**
 * Places of a build where a part can be soldered: what the document calls them, which node of the network each is, and
 * what stands there in words.
 *
 * Nodes of the network have stable names:
 *
 *   ground                         the common ground
 *   p.hot, p.cold                  the two ends of pickup p; the cold end is on ground, or on the pickup before it in series
 *   p.a.hot, p.a.cold              the two ends of coil a of pickup p
 *   p.out                          pickup p behind its own controls, where the selector takes it
 *   hot, hot-2                     the common contact of the selector, per output
 *   control:c.out, control:c.tone  behind control c; between its tone pot and its tone capacitor
 *   jack, jack-2                   the output jacks
 *   chain:1.out, chain:1-2.out …   behind the first stage plugged in, …
 *   end, end-2                     the end of the chain
 *
 * (Ids have no colon, so no pickup can be called like one of these.)
 */
import type { Build, Control, Place } from '../document/build.ts';
import { GROUND } from './elements.ts';

/** The parts of a build that its circuit depends on. */
export type Wired = Pick<Build, 'pickups' | 'harness' | 'outputs'>;

/** Suffix of names that exist once per output: nothing for the first, `-2` for the second. */
export const nth = (output: number): string => (output === 0 ? '' : `-${output + 1}`);

/** A place where a part can be soldered. */
export interface SolderPlace {
  /** As the document refers to it. */
  place: Place;
  /** Its node in the network. */
  name: string;
  /** What is there, in words. */
  meaning: string;
}

/** A control by what it stands over, told apart by number where several stand over the same. */
export function controlName({ pickups, harness, outputs }: Wired, control: Control): string {
  const alike = harness.controls.filter(c => c.pickup === control.pickup && c.output === control.output);
  const number = alike.length > 1 ? ` ${alike.indexOf(control) + 1}` : '';
  if (control.pickup !== null)
    return `the control${number} of ${pickups.find(p => p.id === control.pickup)?.name ?? control.pickup}`;
  const output = outputs.find(o => o.id === control.output);
  return `the master control${number}${outputs.length > 1 && output ? ` of ${output.name}` : ''}`;
}

/** All places of a build where a part can be soldered, whatever position is selected. */
export function solderPlaces(wired: Wired): SolderPlace[] {
  const { pickups, harness, outputs } = wired;
  const list: SolderPlace[] = [{ place: { at: 'ground' }, name: GROUND, meaning: 'common ground' }];
  const add = (place: Place, name: string, meaning: string) => list.push({ place, name, meaning });
  for (const { id: pickup, name, coils } of pickups) {
    const own = harness.controls.some(c => c.pickup === pickup);
    add({ at: 'pickup', pickup, end: 'hot' }, `${pickup}.hot`, `${name}, hot end`);
    add({ at: 'pickup', pickup, end: 'cold' }, `${pickup}.cold`, `${name}, cold end`);
    const behind = own ? `${name}, behind its own controls` : `${name}, at the selector`;
    add({ at: 'pickup', pickup, end: 'out' }, `${pickup}.out`, behind);
    if (coils.length > 1)
      for (const { id: coil } of coils)
        for (const end of ['hot', 'cold'] as const)
          add({ at: 'coil', pickup, coil, end }, `${pickup}.${coil}.${end}`, `${name}, coil ${coil}, ${end} end`);
  }
  for (const control of harness.controls) {
    const { id } = control;
    const what = controlName(wired, control);
    add({ at: 'control', control: id, end: 'out' }, `control:${id}.out`, `behind ${what}`);
    if (control.tone)
      add(
        { at: 'control', control: id, end: 'tone' },
        `control:${id}.tone`,
        `${what}, between tone pot and tone capacitor`,
      );
  }
  outputs.forEach(({ id: output, name, chain }, o) => {
    const many = outputs.length > 1 ? ` of ${name}` : '';
    add({ at: 'selector', output }, `hot${nth(o)}`, `common contact of the selector${many}`);
    add({ at: 'jack', output }, `jack${nth(o)}`, `tip of the jack${many}`);
    chain.forEach((stage, s) => {
      const what = stage.kind === 'cable' ? 'cable' : stage.name;
      add({ at: 'stage', output, stage: s }, `chain:${s + 1}${nth(o)}.out`, `behind the ${what}${many}`);
    });
    add({ at: 'end', output }, `end${nth(o)}`, `end of the chain${many}`);
  });
  return list;
}

/** Text that two references share exactly when they mean the same place. */
export const placeKey = (place: Place): string =>
  JSON.stringify(Object.entries(place).sort(([a], [b]) => (a < b ? -1 : 1)));

/** The place of a build that a reference means; undefined: there is none. */
export const findPlace = (wired: Wired, place: Place): SolderPlace | undefined => {
  const key = placeKey(place);
  return solderPlaces(wired).find(p => placeKey(p.place) === key);
};

/** A reference in words; where it leads nowhere, what it says itself. */
export const placeMeaning = (wired: Wired, place: Place): string =>
  findPlace(wired, place)?.meaning ?? Object.values(place).join(' ');
