/**
 * Ready wirings: the usual selector schemes for a set of pickups, and whole pickup sets from the trade's letters.
 *
 * A configuration is written from the bridge to the neck: S for a pickup of single-coil width, H for two coils side by
 * side. Selector positions are numbered from the bridge likewise. All of it is common practice.
 */
import {
  type Build,
  type Control,
  type Harness,
  type Instrument,
  MOST,
  type Output,
  type Pickup,
  type Position,
  type Tap,
} from '../document/build.ts';
import { makePickup, usualType } from '../sensor/typical.ts';
import { familyOf } from '../string/sets.ts';
import { USUAL_POT, USUAL_TONE, usualBlend, usualMaster, usualOutput, usualTap } from './usual.ts';

/** A ready wiring. */
export interface Scheme {
  readonly id: string;
  readonly name: string;
  /** Number of outputs it takes. */
  readonly outputs: 1 | 2;
}

interface Recipe extends Scheme {
  /** Whether it makes sense for these pickups, bridge first. */
  fits(pickups: readonly Pickup[]): boolean;
  positions(pickups: readonly Pickup[], outputs: readonly string[]): Position[];
  controls?(pickups: readonly Pickup[], outputs: readonly string[]): Control[];
  blend?(pickups: readonly Pickup[]): NonNullable<Harness['blend']>;
}

/** Whether a pickup has two coils side by side. */
const isDouble = (pickup: Pickup): boolean =>
  pickup.coils.length > 1 &&
  (pickup.kind === 'double' || (pickup.kind === 'free' && new Set(pickup.coils.map(c => c.along)).size > 1));

/** Two coils side by side in more than the width of a single coil. */
const isWide = (pickup: Pickup): boolean => {
  const along = pickup.coils.map(c => c.along);
  return isDouble(pickup) && Math.max(...along) - Math.min(...along) > 9.5e-3;
};

const byPlace = (pickups: readonly Pickup[]): Pickup[] => [...pickups].sort((a, b) => a.position - b.position);

const whole = (pickup: Pickup, output: string): Tap => usualTap(pickup.id, output);
/** One coil of a pickup: the one wound against `partner`, so that the two cancel hum; the first one without partner. */
const oneCoil = (pickup: Pickup, output: string, partner?: Pickup): Tap => {
  if (!isDouble(pickup)) return whole(pickup, output);
  const against = partner?.coils[0].winding;
  const chosen = pickup.coils.find(c => c.winding !== against) ?? pickup.coils[0];
  return { ...whole(pickup, output), coils: [chosen.id] };
};
const parallel = (label: string, ...taps: Tap[]): Position => ({ label, join: 'parallel', taps });
const lower = (name: string): string => name.toLowerCase();

/** Two neighbours together as five-position selectors do it: pickups with two coils give one coil only. */
const together = (a: Pickup, b: Pickup, output: string): Position =>
  parallel(
    `${lower(a.name)} + ${lower(b.name)}`,
    oneCoil(a, output, b),
    oneCoil(b, output, isDouble(a) ? undefined : a),
  );
/** Two pickups with one coil each that cancel hum. */
const coilEach = (a: Pickup, b: Pickup, output: string): Position => {
  const first = oneCoil(a, output);
  const winding = a.coils.find(c => c.id === first.coils?.[0])?.winding ?? a.coils[0].winding;
  const second = b.coils.find(c => c.winding !== winding) ?? b.coils[0];
  return parallel(
    `one coil of ${lower(a.name)} + ${lower(b.name)}`,
    first,
    isDouble(b) ? { ...whole(b, output), coils: [second.id] } : whole(b, output),
  );
};

/** A table: its entries are alike in shape. */
const RECIPES: readonly Recipe[] = [
  {
    id: 'one',
    name: 'one pickup, straight through',
    outputs: 1,
    fits: p => p.length === 1,
    positions: ([p], [out]) => [parallel(lower(p.name), whole(p, out))],
  },
  {
    id: 'one-split',
    name: 'three positions: series, one coil, parallel',
    outputs: 1,
    fits: p => p.length === 1 && isDouble(p[0]),
    positions: ([p], [out]) => [
      parallel('series', whole(p, out)),
      parallel('one coil', oneCoil(p, out)),
      parallel('parallel', { ...whole(p, out), join: 'parallel' }),
    ],
  },
  {
    id: 'three',
    name: 'three positions: bridge, both, neck',
    outputs: 1,
    fits: p => p.length === 2,
    positions: ([b, n], [out]) => [
      parallel(lower(b.name), whole(b, out)),
      parallel('both', whole(b, out), whole(n, out)),
      parallel(lower(n.name), whole(n, out)),
    ],
  },
  {
    id: 'four',
    name: 'four positions: bridge, both in parallel, neck, both in series',
    outputs: 1,
    fits: p => p.length === 2,
    positions: ([b, n], [out]) => [
      parallel(lower(b.name), whole(b, out)),
      parallel('both, parallel', whole(b, out), whole(n, out)),
      parallel(lower(n.name), whole(n, out)),
      { label: 'both, series', join: 'series', taps: [whole(b, out), whole(n, out)] },
    ],
  },
  {
    id: 'five-two',
    name: 'five positions for two pickups with two coils each',
    outputs: 1,
    fits: p => p.length === 2 && p.every(isDouble),
    positions: ([b, n], [out]) => [
      parallel(lower(b.name), whole(b, out)),
      coilEach(b, n, out),
      parallel('both', whole(b, out), whole(n, out)),
      parallel(`${lower(n.name)}, coils in parallel`, { ...whole(n, out), join: 'parallel' }),
      parallel(lower(n.name), whole(n, out)),
    ],
  },
  {
    id: 'five',
    name: 'five positions: each pickup and each pair of neighbours',
    outputs: 1,
    fits: p => p.length === 3,
    positions: ([b, m, n], [out]) => [
      parallel(lower(b.name), whole(b, out)),
      together(b, m, out),
      parallel(lower(m.name), whole(m, out)),
      together(m, n, out),
      parallel(lower(n.name), whole(n, out)),
    ],
  },
  {
    id: 'each',
    name: 'each pickup by itself',
    outputs: 1,
    fits: p => p.length > 1,
    positions: (p, [out]) => p.map(x => parallel(lower(x.name), whole(x, out))),
  },
  {
    id: 'all',
    name: 'all pickups, a volume for each that leaves the others alone',
    outputs: 1,
    fits: p => p.length > 1,
    positions: (p, [out]) => [parallel('all', ...p.map(x => whole(x, out)))],
    controls: (p, [out]) => [
      ...p.map(
        (x, i): Control => ({
          ...master(p, out),
          id: `volume-${i + 1}`,
          pickup: x.id,
          tone: null,
          volumeWiring: 'independent',
        }),
      ),
      { ...master(p, out), id: 'tone', volume: null },
    ],
  },
  {
    id: 'blend',
    name: 'both pickups through a blend control',
    outputs: 1,
    fits: p => p.length === 2,
    positions: ([b, n], [out]) => [parallel('blend', whole(b, out), whole(n, out))],
    blend: p => usualBlend(p[0].id, p[1].id, potValue(p)),
  },
  {
    id: 'stereo',
    name: 'two jacks: bridge to one, neck to the other',
    outputs: 2,
    fits: p => p.length === 2,
    positions: ([b, n], [one, two]) => [
      parallel('stereo', whole(b, one), whole(n, two)),
      parallel('both to both', whole(b, one), whole(n, one), whole(b, two), whole(n, two)),
    ],
    controls: (p, outs) => outs.map((out, i) => ({ ...master(p, out), id: `master-${i + 1}` })),
  },
];

/** 250 kΩ with single coils, 500 kΩ with two coils. */
const potValue = (pickups: readonly Pickup[]): number => USUAL_POT[pickups.some(isWide) ? 'double' : 'single'];

/** Poles two to a string, or coils made for few strings, are a bass's; its tone capacitor is larger. */
const toneCapacitor = (pickups: readonly Pickup[]): number =>
  USUAL_TONE[pickups.some(p => p.poles.kind === 'two') ? 'bass' : 'guitar'];

const master = (pickups: readonly Pickup[], output: string): Control =>
  usualMaster(output, potValue(pickups), toneCapacitor(pickups));

/** The wirings that make sense for these pickups; the first is the usual one. */
export function schemesFor(pickups: readonly Pickup[]): Scheme[] {
  const sorted = byPlace(pickups);
  return RECIPES.filter(r => r.fits(sorted));
}

/**
 * A ready wiring for these pickups, and the outputs it takes: `outputs` as they are, one more like the first when the
 * scheme needs it. Throws when the scheme does not fit.
 */
export function wire(
  pickups: readonly Pickup[],
  schemeId: string | undefined,
  outputs: readonly Output[] = [usualOutput()],
): { harness: Harness; outputs: Output[] } {
  const sorted = byPlace(pickups);
  const usual = sorted.length === 3 ? 'five' : sorted.length === 2 ? 'three' : sorted.length === 1 ? 'one' : 'each';
  const recipe = RECIPES.find(r => r.id === (schemeId ?? usual));
  if (!recipe?.fits(sorted)) throw new Error(`the wiring "${schemeId}" does not fit ${sorted.length} such pickups`);
  const taken = outputs.slice(0, recipe.outputs);
  while (taken.length < recipe.outputs) {
    const id = taken[0]?.id === 'out-2' ? 'out' : 'out-2';
    taken.push({ ...(taken[0] ?? usualOutput()), id, name: 'second jack' });
  }
  const ids = taken.map(o => o.id);
  return {
    harness: {
      positions: recipe.positions(sorted, ids),
      selected: 0,
      controls: recipe.controls?.(sorted, ids) ?? [master(sorted, ids[0])],
      blend: recipe.blend?.(sorted) ?? null,
      fixed: [],
    },
    outputs: taken,
  };
}

/** The harness of a ready wiring (the usual one when none is named) to one output called `out`, or `out` and `out-2`. */
export const defaultHarness = (pickups: readonly Pickup[], schemeId?: string): Harness =>
  wire(pickups, schemeId).harness;

/** The letters of a build's pickups from the bridge to the neck: `HSS`. */
export const notation = ({ pickups }: Pick<Build, 'pickups'>): string =>
  byPlace(pickups)
    .map(p => (isWide(p) ? 'H' : 'S'))
    .join('');

/**
 * Places from the bridge to the neck as fractions of the scale, by number of pickups. From memory; five and six, which
 * are hardly ever built, are spread evenly and stand closer than two coils side by side are wide.
 */
const PLACES: Record<'guitar' | 'bass', readonly (readonly number[])[]> = {
  guitar: [
    [],
    [0.066],
    [0.066, 0.25],
    [0.066, 0.152, 0.25],
    [0.066, 0.128, 0.19, 0.25],
    [0.066, 0.112, 0.158, 0.204, 0.25],
    [0.066, 0.103, 0.14, 0.176, 0.213, 0.25],
  ],
  bass: [
    [],
    [0.158],
    [0.072, 0.158],
    [0.072, 0.132, 0.19],
    [0.06, 0.108, 0.156, 0.204],
    [0.06, 0.096, 0.132, 0.168, 0.204],
    [0.06, 0.089, 0.118, 0.146, 0.175, 0.204],
  ],
};
/** Names from the bridge to the neck, by number of pickups; in lower case they are the ids. */
const NAMES: readonly (readonly string[])[] = [
  [],
  ['Bridge'],
  ['Bridge', 'Neck'],
  ['Bridge', 'Middle', 'Neck'],
  ['Bridge', 'Inner', 'Middle', 'Neck'],
  ['Bridge', 'Second', 'Third', 'Fourth', 'Neck'],
  ['Bridge', 'Second', 'Third', 'Fourth', 'Fifth', 'Neck'],
];
const CONFIGURATION = new RegExp(`^[SH]{1,${MOST.pickups}}$`);

/**
 * Pickups and wiring from letters, bridge first: `HSS`, `hh`, `S`. Every second pickup is reversed in pole and winding,
 * so that neighbours cancel hum. `null` when the text is no configuration of one to six letters S and H.
 */
export function fromNotation(letters: string, instrument: Instrument): { pickups: Pickup[]; harness: Harness } | null {
  const text = letters.toUpperCase().replace(/[\s-]/g, '');
  if (!CONFIGURATION.test(text)) return null;
  const family = familyOf(instrument) === 'bass' ? 'bass' : 'guitar';
  const scale = instrument.strings.reduce((sum, s) => sum + s.scale + s.saddle, 0) / instrument.strings.length;
  const pickups = [...text].map((letter, i) => {
    const name = NAMES[text.length][i];
    const position = Math.round(PLACES[family][text.length][i] * scale * 2000) / 2000;
    return makePickup(usualType(letter as 'S' | 'H', family), instrument, {
      id: name.toLowerCase(),
      name,
      position,
      reversed: i % 2 === 1 && letter === 'S',
    });
  });
  return { pickups, harness: defaultHarness(pickups) };
}
