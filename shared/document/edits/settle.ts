/**
 * The end of every edit of a build. An edit changes what it is about; `settle` removes or ties again whatever then hangs
 * in the air, so that a valid build stays one, and says what it did.
 */
import { sameTap } from '../../circuit/harness.ts';
import { controlName, placeKey, placeMeaning, solderPlaces } from '../../circuit/solder-places.ts';
import { usualTap } from '../../circuit/usual.ts';
import { broughtIn } from '../../sensor/limits.ts';
import type { Build, Control, Fixed, Harness, Instrument, Pickup, Place, Position, Tap } from '../build.ts';
import { buildName, instrumentName } from '../starting/names.ts';

/** Something that an edit took along or put in beside what it is about; names are those from before it. */
export type Went =
  /** A soldered part whose place, in words, is gone. */
  | { kind: 'part'; part: Fixed; place: string }
  /** A control, in words, of something that is gone. */
  | { kind: 'control'; name: string }
  | { kind: 'blend' }
  /** A selector position that was left without pickups. */
  | { kind: 'position'; label: string }
  /** Coils that a position used and that are gone: it now uses all of that pickup's. */
  | { kind: 'coils'; pickup: string; position: string }
  /** A pickup moved, turned or brought together to be clear of the saddle and over the strings. */
  | { kind: 'moved'; pickup: string }
  /** Pickups that keep their share of another scale length, m from the saddle, their poles under its strings. */
  | { kind: 'scaled'; pickups: readonly { name: string; from: number; to: number }[] }
  /** Put in by a ready wiring. */
  | { kind: 'added'; name: string }
  /** A take that the instrument cannot play, and the one chosen instead. */
  | { kind: 'take'; name: string; instead: string }
  /** The edit was not done: this pickup could stand nowhere. */
  | { kind: 'nowhere'; pickup: string };

/** A build after an edit, and what went with it. */
export interface Edited {
  readonly build: Build;
  readonly went: readonly Went[];
}

/** Coils lie under strings that are there, and stand where they may; null: one pickup can stand nowhere. */
function settlePickups(build: Build, went: Went[]): Build | null {
  const count = build.instrument.strings.length;
  const pickups: Pickup[] = [];
  for (const pickup of build.pickups) {
    const coils = pickup.coils.map(coil => {
      if (!coil.strings?.some(n => n > count)) return coil;
      const strings = coil.strings.filter(n => n <= count);
      return { ...coil, strings: strings.length > 0 ? strings : null };
    });
    const under = coils.every((c, i) => c === pickup.coils[i]) ? pickup : { ...pickup, coils };
    const placed = broughtIn(under, build.instrument);
    if (!placed) {
      went.push({ kind: 'nowhere', pickup: pickup.name });
      return null;
    }
    if (placed !== under) went.push({ kind: 'moved', pickup: pickup.name });
    pickups.push(placed);
  }
  return pickups.every((p, i) => p === build.pickups[i]) ? build : { ...build, pickups };
}

/** Controls stand over pickups and outputs that are there. */
function settleControls(before: Build, build: Build, went: Went[]): readonly Control[] {
  const { controls } = build.harness;
  return controls.flatMap(control => {
    const { pickup, output } = control;
    const isThere = build.outputs.some(o => o.id === output);
    if (pickup === null ? isThere : build.pickups.some(p => p.id === pickup))
      return isThere ? [control] : [{ ...control, output: build.outputs[0].id }];
    went.push({ kind: 'control', name: controlName(before, control) });
    return [];
  });
}

/** A position's taps: of pickups, coils and outputs that are there, no coil connected in two ways. */
function settleTaps(build: Build, { label, taps }: Position, went: Went[]): Tap[] {
  const kept: Tap[] = [];
  for (const tap of taps) {
    const pickup = build.pickups.find(p => p.id === tap.pickup);
    if (!pickup) continue;
    const all = pickup.coils.map(c => c.id);
    const output = build.outputs.some(o => o.id === tap.output) ? tap.output : build.outputs[0].id;
    const named = tap.coils?.filter((id, i, list) => all.includes(id) && list.indexOf(id) === i) ?? null;
    if (tap.coils && named?.length === 0) went.push({ kind: 'coils', pickup: pickup.name, position: label });
    let coils = named?.length ? named : null;
    let one: Tap = { ...tap, output, coils };
    const mine = kept.filter(k => k.pickup === pickup.id);
    if (mine.some(k => sameTap(k, one) && k.output === output)) continue;
    if (!mine.some(k => sameTap(k, one))) {
      const used = new Set(mine.flatMap(k => k.coils ?? all));
      if (used.size > 0) coils = (coils ?? all).filter(id => !used.has(id));
      if (coils?.length === 0) continue;
      one = { ...one, coils };
    }
    kept.push(
      output === tap.output && coils?.join() === tap.coils?.join() && (coils === null) === (tap.coils === null)
        ? tap
        : one,
    );
  }
  return kept.length === taps.length && kept.every((k, i) => k === taps[i]) ? taps : kept;
}

/** Positions without what is gone; those that lose everything go, the selected one stays selected while it is there. */
function settlePositions(build: Build, went: Went[]): Pick<Harness, 'positions' | 'selected'> {
  const { positions: all, selected } = build.harness;
  const settled = all.map(position => {
    const taps = settleTaps(build, position, went);
    return taps === position.taps ? position : { ...position, taps };
  });
  const stays = settled.map((p, i) => p.taps.length > 0 || all[i].taps.length === 0);
  all.forEach((p, i) => {
    if (!stays[i]) went.push({ kind: 'position', label: p.label });
  });
  const positions = settled.filter((_, i) => stays[i]);
  const before = stays.slice(0, selected).filter(Boolean).length;
  if (positions.length === 0) {
    const [pickup] = build.pickups;
    const taps = [usualTap(pickup.id, build.outputs[0].id)];
    return { positions: [{ label: pickup.name.toLowerCase(), join: 'parallel', taps }], selected: 0 };
  }
  return { positions, selected: Math.min(before, positions.length - 1) };
}

/** Where a part's end goes when the coil it was soldered to has become the whole pickup. */
function tiedAgain(build: Build, place: Place): Place {
  if (place.at !== 'coil') return place;
  const pickup = build.pickups.find(p => p.id === place.pickup);
  const only = pickup?.coils.length === 1 && pickup.coils[0].id === place.coil;
  return only ? { at: 'pickup', pickup: place.pickup, end: place.end } : place;
}

/** Soldered parts between places that are there. */
function settleFixed(before: Build, build: Build, went: Went[]): readonly Fixed[] {
  if (build.harness.fixed.length === 0) return build.harness.fixed;
  const there = new Set(solderPlaces(build).map(({ place }) => placeKey(place)));
  return build.harness.fixed.flatMap(part => {
    const [from, to] = [tiedAgain(build, part.from), tiedAgain(build, part.to)];
    const gone = !there.has(placeKey(from)) ? 'from' : !there.has(placeKey(to)) ? 'to' : null;
    if (gone) {
      const was = before.harness.fixed.find(f => f.id === part.id) ?? part;
      went.push({ kind: 'part', part, place: placeMeaning(before, was[gone]) });
      return [];
    }
    return [from === part.from && to === part.to ? part : { ...part, from, to }];
  });
}

const kept = <T>(after: readonly T[], before: T[]): T[] =>
  after.length === before.length && after.every((item, i) => item === before[i]) ? before : [...after];

function settleHarness(before: Build, build: Build, went: Went[]): Build {
  const { harness } = build;
  const controls = kept(settleControls(before, build, went), harness.controls);
  const { positions, selected } = settlePositions(build, went);
  const ends = harness.blend && [harness.blend.from, harness.blend.to];
  const blended = ends?.every(id => build.pickups.some(p => p.id === id)) && ends[0] !== ends[1];
  if (ends && !blended) went.push({ kind: 'blend' });
  const wired: Build = {
    ...build,
    harness: {
      ...harness,
      controls,
      positions: kept(positions, harness.positions),
      selected,
      blend: blended ? harness.blend : null,
    },
  };
  const fixed = kept(settleFixed(before, wired, went), harness.fixed);
  const next: Harness = { ...wired.harness, fixed };
  const same = (Object.keys(next) as (keyof Harness)[]).every(key => next[key] === harness[key]);
  return same ? build : { ...build, harness: next };
}

/** A name that nobody chose, after what it says changed from `was` to `is`: nothing else changes what was opened. */
const followed = (name: string, was: string, is: string): string => (was === is ? name : is);

function settleInstrumentName(before: Instrument, instrument: Instrument): Instrument {
  if (instrument === before || !instrument.nameDerived) return instrument;
  const name = followed(instrument.name, instrumentName(before), instrumentName(instrument));
  return name === instrument.name ? instrument : { ...instrument, name };
}

/** Names that nobody chose follow what they say. */
function settleNames(before: Build, build: Build): Build {
  const instrument = settleInstrumentName(before.instrument, build.instrument);
  const named = instrument === build.instrument ? build : { ...build, instrument };
  if (!build.nameDerived || build.pickups === before.pickups) return named;
  const name = followed(build.name, buildName(before), buildName(build));
  return name === named.name ? named : { ...named, name };
}

/**
 * `changed` with everything in it that hangs in the air removed or tied again. `before` is what the edit began with; it
 * comes back, with the reason, when the change leaves a pickup without any place to stand.
 */
export function settle(before: Build, changed: Build): Edited {
  if (changed === before) return { build: before, went: [] };
  const went: Went[] = [];
  const placed = settlePickups(changed, went);
  if (!placed) return { build: before, went: went.slice(-1) };
  return { build: settleNames(before, settleHarness(before, placed, went)), went };
}
