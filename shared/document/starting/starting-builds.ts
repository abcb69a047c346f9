/**
 * Builds to begin with. Instruments and names are invented; electrical values lie in the middle of what published tables
 * give for such coils.
 */
import { STRING_SETS } from '../../string/sets.ts';
import type { Build, Coil, Control, Harness, Instrument, Output, Pickup, Stage } from '../build.ts';

const mm = 1e-3;

/** Strings of a set under another name. */
function instrumentOf(set: string, name: string): Instrument {
  const found = STRING_SETS.find(s => s.id === set);
  if (!found) throw new Error(`no string set "${set}"`);
  return { ...found.instrument, name };
}

const cable = (length: number): Stage => ({
  kind: 'cable',
  length,
  capacitancePerMetre: 100e-12,
  measured: null,
  resistancePerMetre: 0,
  leakage: null,
});
const input: Stage = { kind: 'input', name: 'amplifier input', resistance: 1e6, capacitance: 0, series: 0 };
const output: Output = { id: 'out', name: 'jack', chain: [cable(5), input] };

/** One volume and one tone control over everything that goes to the jack. */
const master = (pot: number, capacitance: number): Control => ({
  id: 'master',
  pickup: null,
  output: 'out',
  volume: { value: pot, deviation: 0, taper: 'audio-10', setting: 1, bleed: null },
  tone: { value: pot, deviation: 0, taper: 'audio-10', setting: 1, capacitance },
  toneAt: 'before',
  volumeWiring: 'normal',
});

/** A coil of the pole window's depth and of middling sensitivity; what differs is given. */
const coil = (values: Pick<Coil, 'id'> & Partial<Coil>): Coil => ({
  along: 0,
  strings: null,
  window: { shape: 'pole', width: 12 * mm, depth: 3.5 * mm },
  resistance: 6000,
  inductance: 2.5,
  capacitance: 100e-12,
  loss: { kind: 'none' },
  cover: null,
  sensitivity: 0.15,
  polarity: 1,
  winding: 1,
  origin: 'typical',
  ...values,
});

/** A single coil with one rod magnet per string: 6.0 kΩ, 2.5 H. */
export const singleCoil = (id: string, name: string, position: number, spread: number): Pickup => ({
  id,
  name,
  kind: 'single',
  senses: 'velocity',
  position,
  slant: 0,
  height: { bass: 2.5 * mm, treble: 2 * mm },
  poles: { kind: 'one', spread },
  coils: [coil({ id: 'coil' })],
});

/** Two coils side by side, 18.5 mm apart, of opposite poles and windings: 8.0 kΩ, 4.5 H in series. */
export const doubleCoil = (id: string, name: string, position: number, spread: number): Pickup => {
  const half = { resistance: 4000, inductance: 2.25, capacitance: 240e-12 };
  return {
    id,
    name,
    kind: 'double',
    senses: 'velocity',
    position,
    slant: 0,
    height: { bass: 2.5 * mm, treble: 2 * mm },
    poles: { kind: 'one', spread },
    coils: [
      coil({ id: 'nut-side', along: 9.25 * mm, ...half }),
      coil({ id: 'saddle-side', along: -9.25 * mm, polarity: -1, winding: -1, ...half }),
    ],
  };
};

/** A bass pickup in two halves, two poles to each string, the half under the low strings nearer the nut. */
const splitCoil = (id: string, name: string, position: number, spread: number, strings: number): Pickup => {
  const numbers = Array.from({ length: strings }, (_, i) => i + 1);
  const treble = numbers.slice(0, strings >> 1);
  const half = { resistance: 5200, inductance: 3, capacitance: 150e-12 };
  return {
    id,
    name,
    kind: 'split',
    senses: 'velocity',
    position,
    slant: 0,
    height: { bass: 3 * mm, treble: 2.5 * mm },
    poles: { kind: 'two', spread },
    coils: [
      coil({ id: 'low', along: 14 * mm, strings: numbers.slice(treble.length), ...half }),
      coil({ id: 'high', along: -14 * mm, strings: treble, polarity: -1, winding: -1, ...half }),
    ],
  };
};

const tap = (pickup: string, join: 'series' | 'parallel' = 'series', coils: string[] | null = null) => ({
  pickup,
  coils,
  join,
  antiphase: false,
  reverse: false,
  output: 'out',
});

const selector = (positions: Harness['positions'], controls: Control[]): Harness => ({
  positions,
  selected: 0,
  controls,
  blend: null,
  fixed: [],
});

const build = (name: string, note: string, instrument: Instrument, pickups: Pickup[], harness: Harness): Build => ({
  format: 'comb-and-coil/build',
  version: 1,
  name,
  note,
  instrument,
  pickups,
  harness,
  outputs: [output],
});

/** Two placements for one neck: A, two coils side by side at 162 mm; B, a single coil at 38 mm. */
export function demoBuilds(): [Build, Build] {
  const heron = instrumentOf('guitar-6', 'Ostrel 648');
  const a = build(
    'Neck, two coils side by side',
    'A quarter of the scale from the saddle, where a 24th fret would be.',
    heron,
    [doubleCoil('neck', 'Neck', 162 * mm, 48.5 * mm)],
    selector(
      [
        { label: 'two coils, series', join: 'parallel', taps: [tap('neck')] },
        { label: 'two coils, parallel', join: 'parallel', taps: [tap('neck', 'parallel')] },
        { label: 'nut-side coil', join: 'parallel', taps: [tap('neck', 'series', ['nut-side'])] },
      ],
      [master(500e3, 22e-9)],
    ),
  );
  const b = build(
    'Bridge, single coil',
    'Close to the saddle: the comb opens late and the low strings lose their fundamental.',
    heron,
    [singleCoil('bridge', 'Bridge', 38 * mm, 51.5 * mm)],
    selector([{ label: 'bridge', join: 'parallel', taps: [tap('bridge')] }], [master(250e3, 22e-9)]),
  );
  return [a, b];
}

/** A four-string bass: a split pickup and a single coil, a volume for each, one tone control. */
export function demoBass(): Build {
  const volume = (pickup: string): Control => ({
    ...master(250e3, 47e-9),
    id: `${pickup}-volume`,
    pickup,
    tone: null,
    volumeWiring: 'independent',
  });
  return build(
    'Split and single',
    'Two volumes that do not load each other, one tone control.',
    instrumentOf('bass-4', 'Corvath 864'),
    [
      splitCoil('middle', 'Middle', 148 * mm, 52.5 * mm, 4),
      { ...singleCoil('bridge', 'Bridge', 62 * mm, 55 * mm), poles: { kind: 'two', spread: 55 * mm } },
    ],
    selector(
      [
        { label: 'both', join: 'parallel', taps: [tap('middle'), tap('bridge')] },
        { label: 'middle', join: 'parallel', taps: [tap('middle')] },
        { label: 'bridge', join: 'parallel', taps: [tap('bridge')] },
      ],
      [volume('middle'), volume('bridge'), { ...master(250e3, 47e-9), id: 'tone', volume: null }],
    ),
  );
}

/** Builds the command line prints as examples, and what each shows. */
export function examples(): { id: string; build: Build }[] {
  const [a, b] = demoBuilds();
  return [
    { id: 'neck-double', build: a },
    { id: 'bridge-single', build: b },
    { id: 'bass-split', build: demoBass() },
  ];
}
