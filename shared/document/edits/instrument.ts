/** Edits of the instrument under the pickups, and how the pickups follow. */
import { clamp, farthest } from '../../sensor/limits.ts';
import { polePitch, withPitch } from '../../sensor/placement.ts';
import { noteNameOf } from '../../string/note-names.ts';
import { type Build, type Instrument, MOST, type Pickup, RANGE, type StringSpec } from '../build.ts';
import { type Edited, settle, type Went } from './settle.ts';

/** How pickups follow a change of the instrument. */
export type Follow = (pickup: Pickup, before: Instrument, after: Instrument) => Pickup;

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;

/** The build on another instrument, its pickups following, none beyond where a person could move it. */
export function onInstrument(build: Build, instrument: Instrument, follow: Follow = p => p): Edited {
  if (instrument === build.instrument) return settle(build, build);
  const most = farthest(instrument);
  const beyond: Pickup[] = [];
  const pickups = build.pickups.map(p => {
    const followed = follow(p, build.instrument, instrument);
    if (followed.position <= most || followed.position > farthest(build.instrument)) return followed;
    beyond.push(followed);
    return { ...followed, position: most };
  });
  const same = pickups.every((p, i) => p === build.pickups[i]);
  const settled = settle(build, { ...build, instrument, pickups: same ? build.pickups : pickups });
  const moved = beyond.map((p): Went => ({ kind: 'moved', pickup: p.name }));
  const scaled = pickups.flatMap((p, i) => {
    const { name, position } = build.pickups[i];
    return p.position === position || beyond.some(one => one.id === p.id)
      ? []
      : [{ name, from: position, to: p.position }];
  });
  const share: Went[] = scaled.length > 0 ? [{ kind: 'scaled', pickups: scaled }] : [];
  return settled.build === build ? settled : { ...settled, went: [...share, ...moved, ...settled.went] };
}

/** Coils under string numbers `numbers` of `from` strings, spread over `to` strings: a half stays a half. */
const mappedStrings = (numbers: number[], from: number, to: number): number[] | null => {
  const mapped = Array.from({ length: to }, (_, i) => i + 1).filter(n =>
    numbers.includes(Math.ceil(((n - 0.5) / to) * from)),
  );
  return mapped.length ? mapped : null;
};

/** What runs between the outer strings at `x` m from the saddle line, m. */
const spreadAt = ({ spread, strings }: Instrument, x: number): number =>
  spread.saddle + ((spread.nut - spread.saddle) * x) / mean(strings.map(s => s.scale));

/** On a whole other instrument a pickup keeps its share of the scale, its poles go under the strings. */
export const followReplaced: Follow = (pickup, before, after) => {
  const ratio = mean(after.strings.map(s => s.scale)) / mean(before.strings.map(s => s.scale));
  const position = clamp(pickup.position * ratio, RANGE.position);
  return {
    ...pickup,
    position,
    poles: withPitch(
      pickup.poles,
      after.strings.length,
      spreadAt(after, position) / Math.max(1, after.strings.length - 1),
    ),
    coils: pickup.coils.map(coil => ({
      ...coil,
      strings: coil.strings && mappedStrings(coil.strings, before.strings.length, after.strings.length),
    })),
  };
};

/** Poles keep their distance to each other when strings come or go; `numbers` renumbers the strings under a coil. */
const followCount =
  (numbers: (list: number[]) => number[]): Follow =>
  (pickup, before, after) => {
    return {
      ...pickup,
      poles: withPitch(pickup.poles, after.strings.length, polePitch(pickup.poles, before.strings.length)),
      coils: pickup.coils.map(coil => {
        if (coil.strings === null) return coil;
        const strings = numbers(coil.strings);
        return { ...coil, strings: strings.length ? strings : [after.strings.length] };
      }),
    };
  };

const FOURTH = 2 ** (5 / 12);
/** Plain steel above this gauge is rare (common practice), m. */
const THICKEST_PLAIN = 0.56e-3;

/** A core that the string's windings have room around; none under the thinnest wire. */
const thinner = (core: number | null, gauge: number): number | null => {
  if (core === null || gauge <= RANGE.gauge[0] / 0.98) return null;
  return Math.max(RANGE.gauge[0], Math.min(core, 0.98 * gauge));
};

/** A string a fourth beyond `next`, in proportion: a guess to start from. */
function neighbour(next: StringSpec, side: Side): StringSpec {
  const down = side === 'bass';
  const pitch = clamp(down ? next.pitch / FOURTH : next.pitch * FOURTH, RANGE.pitch);
  const gauge = clamp(down ? next.gauge * 1.28 : next.gauge / 1.28, RANGE.gauge);
  const wound = down ? next.core !== null || gauge > THICKEST_PLAIN : next.core !== null && gauge > THICKEST_PLAIN;
  const core = wound ? thinner(Math.min(0.7 * gauge, next.core ?? 0.45 * gauge), gauge) : null;
  return { ...next, name: noteNameOf(pitch), pitch, gauge, core, unitWeight: null, inharmonicity: null };
}

/** The instrument with `count` strings' room at both ends: neighbours keep their distance. */
const withSpreadFor = (instrument: Instrument, strings: StringSpec[]): Instrument => {
  const ratio = Math.max(1, strings.length - 1) / Math.max(1, instrument.strings.length - 1);
  const { saddle, nut } = instrument.spread;
  return { ...instrument, strings, spread: { saddle: Math.min(0.2, saddle * ratio), nut: Math.min(0.2, nut * ratio) } };
};

export type Side = 'bass' | 'treble';

/** One string more at the outside, a fourth beyond the last one there; the same instrument when it has as many as there may be. */
export function withStringAdded(instrument: Instrument, side: Side): Instrument {
  const { strings } = instrument;
  if (strings.length >= MOST.strings) return instrument;
  const next = neighbour(side === 'bass' ? strings[strings.length - 1] : strings[0], side);
  return withSpreadFor(instrument, side === 'bass' ? [...strings, next] : [next, ...strings]);
}

/** The coil under the outer string reaches under the new one too. */
export const followAdded =
  (side: Side): Follow =>
  (pickup, before, after) => {
    const count = before.strings.length;
    const numbers = (list: number[]): number[] => {
      if (side === 'bass') return list.includes(count) ? [...list, count + 1] : list;
      return [...(list.includes(1) ? [1] : []), ...list.map(n => n + 1)];
    };
    return followCount(numbers)(pickup, before, after);
  };

/** The instrument without string `index`; the same when that is its only one. */
export const withStringRemoved = (instrument: Instrument, index: number): Instrument =>
  instrument.strings.length < 2
    ? instrument
    : withSpreadFor(
        instrument,
        instrument.strings.filter((_, i) => i !== index),
      );

export const followRemoved = (index: number): Follow =>
  followCount(list => list.filter(n => n !== index + 1).map(n => (n > index + 1 ? n - 1 : n)));

/** The instrument with string `index` changed. */
export const withString = (instrument: Instrument, index: number, change: Partial<StringSpec>): Instrument => ({
  ...instrument,
  strings: instrument.strings.map((string, i) => (i === index ? { ...string, ...change } : string)),
});

/** A string tuned to `pitch` Hz; one that is called after its note is called after the new one. */
export const tuned = (string: StringSpec, pitch: number): Partial<StringSpec> =>
  string.name === noteNameOf(string.pitch) ? { pitch, name: noteNameOf(pitch) } : { pitch };

/** A string of another gauge or core; a weight that was entered stays. */
export const regauged = (
  string: StringSpec,
  change: Partial<Pick<StringSpec, 'gauge' | 'gaugeIn' | 'core' | 'coreIn'>>,
): Partial<StringSpec> => {
  const { gauge, core } = { ...string, ...change };
  return { ...change, core: thinner(core, gauge) };
};

/** A wound string made plain, or a plain one wound about a core of a usual share. */
export const rewound = (string: StringSpec, wound: boolean): Partial<StringSpec> =>
  regauged(string, {
    core: wound ? 0.45 * string.gauge : null,
  });

/** Scale lengths and saddle offsets in even steps from the first string to the last. */
export function evened(instrument: Instrument): Instrument {
  const { strings } = instrument;
  const [first, last] = [strings[0], strings[strings.length - 1]];
  const step = (key: 'scale' | 'saddle', i: number): number => {
    const even = first[key] + ((last[key] - first[key]) * i) / Math.max(1, strings.length - 1);
    // rounding must not leave the ends
    return clamp(even, [Math.min(first[key], last[key]), Math.max(first[key], last[key])]);
  };
  return {
    ...instrument,
    strings: strings.map((s, i) => ({ ...s, scale: step('scale', i), saddle: step('saddle', i) })),
  };
}
