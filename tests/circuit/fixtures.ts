/** Builds of one or more plain coils behind plain controls, for checks against closed forms and published tables. */
import type { Build, Coil, Control, Pickup, Position, Stage, Tap } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';

export const coilOf = (id: string, resistance: number, inductance: number, capacitance: number): Coil => ({
  id,
  along: 0,
  strings: null,
  window: { shape: 'pole', width: 0.012, depth: 0.0035 },
  resistance,
  inductance,
  capacitance,
  loss: { kind: 'none' },
  cover: null,
  sensitivity: 0.15,
  polarity: 1,
  winding: 1,
  origin: 'entered',
});

export const pickupOf = (id: string, ...coils: Coil[]): Pickup => ({
  id,
  name: id,
  kind: 'free',
  senses: 'velocity',
  position: 0.1,
  slant: 0,
  height: { bass: 0.002, treble: 0.002 },
  poles: { kind: 'rail', size: 0.003, spread: 0.05, pair: 0.01 },
  coils,
});

export const tapOf = (pickup: string, rest: Partial<Tap> = {}): Tap => ({
  pickup,
  coils: null,
  join: 'series',
  antiphase: false,
  reverse: false,
  output: 'out',
  ...rest,
});

export const positionOf = (join: Position['join'], ...taps: Tap[]): Position => ({ label: 'test', join, taps });

export const linearPot = (value: number, setting = 1) => ({ value, deviation: 0, taper: 'linear' as const, setting });

export const controlOf = (rest: Partial<Control>): Control => ({
  id: 'master',
  pickup: null,
  output: 'out',
  volume: null,
  tone: null,
  toneAt: 'before',
  volumeWiring: 'normal',
  ...rest,
});

export const cableOf = (total: number): Stage => ({
  kind: 'cable',
  length: 5,
  capacitancePerMetre: 100e-12,
  measured: total,
  resistancePerMetre: 0,
  leakage: null,
});
export const inputOf = (resistance: number, capacitance = 0, series = 0): Stage => ({
  kind: 'input',
  name: 'input',
  resistance,
  capacitance,
  series,
});

/** A build of the given pickups, connected by one position. */
export const buildOf = (
  pickups: Pickup[],
  position: Position,
  controls: Control[],
  chain: Stage[],
  rest: Partial<Build['harness']> = {},
): Build => ({
  ...demoBuilds()[0],
  pickups,
  harness: { positions: [position], selected: 0, controls, blend: null, fixed: [], ...rest },
  outputs: [{ id: 'out', name: 'out', chain }],
});

/** Fixture A: 6 kΩ, 2.5 H, 100 pF; volume and tone 250 kΩ, 22 nF; 500 pF of cable; 1 MΩ. */
export const fixtureA = (
  set: { volume?: number; tone?: number; pots?: number; cable?: number; coil?: Partial<Coil> } = {},
) =>
  buildOf(
    [pickupOf('p', { ...coilOf('a', 6000, 2.5, 100e-12), ...set.coil })],
    positionOf('parallel', tapOf('p')),
    [
      controlOf({
        volume: { ...linearPot(set.pots ?? 250e3, set.volume ?? 1), bleed: null },
        tone: { ...linearPot(set.pots ?? 250e3, set.tone ?? 1), capacitance: 22e-9 },
      }),
    ],
    [cableOf(set.cable ?? 500e-12), inputOf(1e6)],
  );

/** A-simple: 6 kΩ, 2.5 H, 600 pF in all, 200 kΩ across. */
export const simpleA = buildOf(
  [pickupOf('p', coilOf('a', 6000, 2.5, 100e-12))],
  positionOf('parallel', tapOf('p')),
  [],
  [cableOf(500e-12), inputOf(200e3)],
);
