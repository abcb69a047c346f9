/** Seeded random numbers and random builds: the same every time. */

import { solderPlaces } from '../../shared/circuit/solder-places.ts';
import type {
  Build,
  Coil,
  Control,
  Fixed,
  Loss,
  Pickup,
  Position,
  Pot,
  Stage,
  Tap,
} from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { pickupOf } from './fixtures.ts';

export interface Dice {
  /** 0 ≤ x < 1 */
  (): number;
  between(low: number, high: number): number;
  /** Logarithmically even. */
  decade(low: number, high: number): number;
  chance(p: number): boolean;
  of<T>(list: readonly T[]): T;
  whole(low: number, high: number): number;
}

/** A 32-bit generator (T. Ettinger's public-domain "mulberry32"). */
export function dice(seed: number): Dice {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return Object.assign(next, {
    between: (low: number, high: number) => low + (high - low) * next(),
    decade: (low: number, high: number) => low * (high / low) ** next(),
    chance: (p: number) => next() < p,
    of: <T>(list: readonly T[]): T => list[Math.floor(next() * list.length)],
    whole: (low: number, high: number) => low + Math.floor(next() * (high - low + 1)),
  });
}

export const setting = (d: Dice): number => d.of([d.of([0, 1]), 1, 0.5, d(), d(), d(), d(), d()]);

export const pot = (d: Dice): Pot => ({
  value: d.of([100e3, 250e3, 500e3, 1e6]),
  deviation: d.between(-0.2, 0.2),
  taper: d.of(['linear', 'audio-10', 'audio-15', 'audio-20', 'reverse-audio-10']),
  setting: setting(d),
});

const loss = (d: Dice): Loss =>
  d.chance(0.4)
    ? { kind: 'none' }
    : d.chance(0.5)
      ? { kind: 'eddy', resistance: d.decade(50e3, 2e6) }
      : {
          kind: 'ladder',
          sections: Array.from({ length: d.whole(1, 4) }, () => ({
            inductance: d.decade(0.05, 2),
            resistance: d.decade(2e3, 500e3),
          })),
        };

export const coil = (d: Dice, id: string): Coil => ({
  id,
  along: 0,
  strings: null,
  window: { shape: 'pole', width: 0.012, depth: 0.0035 },
  resistance: d.between(1500, 15e3),
  inductance: d.between(0.5, 8),
  capacitance: d.decade(20e-12, 400e-12),
  loss: loss(d),
  cover: d.chance(0.3) ? d.decade(2e3, 20e3) : null,
  sensitivity: 0.15,
  polarity: d.of([1, -1]),
  winding: d.of([1, -1]),
  origin: 'entered',
});

const pickup = (d: Dice, id: string): Pickup =>
  pickupOf(id, ...Array.from({ length: d.of([1, 1, 2, 2, 2, 3]) }, (_, i) => coil(d, 'abc'[i])));

const tap = (d: Dice, p: Pickup, output: string): Tap => {
  const some = p.coils.filter(() => d.chance(0.6)).map(c => c.id);
  return {
    pickup: p.id,
    coils: d.chance(0.3) && some.length > 0 ? some : null,
    join: d.of(['series', 'parallel']),
    antiphase: d.chance(0.3),
    reverse: d.chance(0.3),
    output,
  };
};

const control = (d: Dice, id: string, p: string | null, output: string): Control => ({
  id,
  pickup: p,
  output,
  volume: d.chance(0.85)
    ? {
        ...pot(d),
        bleed: d.chance(0.4)
          ? {
              kind: d.of(['capacitor', 'parallel', 'series']),
              capacitance: d.decade(200e-12, 3e-9),
              resistance: d.decade(50e3, 300e3),
            }
          : null,
      }
    : null,
  tone: d.chance(0.7) ? { ...pot(d), capacitance: d.of([10e-9, 22e-9, 47e-9, 100e-9]) } : null,
  toneAt: d.of(['before', 'after']),
  volumeWiring: d.of(['normal', 'independent']),
});

const stage = (d: Dice): Stage =>
  d.chance(0.5)
    ? {
        kind: 'cable',
        length: d.of([0, 1, 3, 6, 10, 30]),
        capacitancePerMetre: d.between(60e-12, 180e-12),
        measured: d.chance(0.2) ? d.between(0, 3e-9) : null,
        resistancePerMetre: d.of([0, 0.05, 0.2]),
        leakage: d.chance(0.2) ? d.decade(1e6, 1e9) : null,
      }
    : d.chance(0.4)
      ? {
          kind: 'buffer',
          name: 'buffer',
          resistance: d.decade(1e5, 1e7),
          capacitance: d.of([0, 5e-12, 20e-12]),
          gain: d.of([1, 0.98, 2, -3]),
          output: d.of([0, 100, 1000, 10e3]),
        }
      : {
          kind: 'input',
          name: 'input',
          resistance: d.decade(10e3, 1e7),
          capacitance: d.of([0, 50e-12, 100e-12, 500e-12]),
          series: d.of([0, 34e3, 68e3]),
        };

/** A random build with everything a harness can have. */
export function randomBuild(d: Dice): Build {
  const [base] = demoBuilds();
  const outputs = (d.chance(0.25) ? ['out', 'out-2'] : ['out']).map(id => ({
    id,
    name: id,
    chain: Array.from({ length: d.whole(0, 4) }, () => stage(d)),
  }));
  const pickups = Array.from({ length: d.whole(1, 4) }, (_, i) => pickup(d, `p${i + 1}`));
  const anyOutput = () => d.of(outputs).id;
  const positions = Array.from({ length: d.whole(1, 5) }, (_, i): Position => {
    const used = pickups.filter(() => d.chance(0.6));
    return {
      label: `${i + 1}`,
      join: d.of(['parallel', 'parallel', 'series']),
      taps: (used.length > 0 ? used : [pickups[0]]).map(p => tap(d, p, anyOutput())),
    };
  });
  const controls = [
    ...pickups.filter(() => d.chance(0.4)).map((p, i) => control(d, `own-${i}`, p.id, outputs[0].id)),
    ...outputs.filter(() => d.chance(0.8)).map((o, i) => control(d, `master-${i}`, null, o.id)),
  ];
  const build: Build = {
    ...base,
    pickups,
    outputs,
    harness: {
      positions,
      selected: d.whole(0, positions.length - 1),
      controls,
      blend:
        pickups.length > 1 && d.chance(0.3)
          ? { ...pot(d), gangs: d.of(['one', 'two']), from: pickups[0].id, to: pickups[1].id }
          : null,
      fixed: [],
    },
  };
  const places = solderPlaces(build).map(p => p.place);
  const fixed = Array.from({ length: d.chance(0.4) ? d.whole(1, 3) : 0 }, (_, i): Fixed => {
    const kind = d.of(['resistor', 'capacitor', 'inductor'] as const);
    const value = { resistor: d.decade(1e3, 1e6), capacitor: d.decade(50e-12, 50e-9), inductor: d.decade(0.1, 10) }[
      kind
    ];
    return { id: `f${i}`, kind, value, from: d.of(places), to: d.of(places) };
  });
  return { ...build, harness: { ...build.harness, fixed } };
}
