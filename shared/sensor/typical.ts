/**
 * Generic kinds of pickup with middling electrical values, to begin with until one's own has been measured.
 *
 * Sources: single coils 5 to 8 kΩ and 2 to 3 H, two coils in series 8 to 16 kΩ and 4 to 8 H, self-capacitance 80 to
 * 200 pF (H. Lemme's technical articles on electric guitar pickups; public wiki pages on pickups). Losses by what stands in
 * the coil (`steelLoss`, `rodLoss`). Values of bass pickups, poles of covers and sizes of pole pieces are from memory and
 * vary most: measure before trusting them. Sensitivities are an
 * estimate: 0.1 to 0.3 V s/m per coil makes 100 to 300 mV, the usual output, of the 1 m/s or so of a well-plucked
 * string. Coils side by side stand 18 to 19 mm apart (common practice).
 */
import type { Coil, Instrument, Loss, Pickup } from '../document/build.ts';
import type { Family } from '../string/sets.ts';
import { stringAt, withPitch } from './placement.ts';

const mm = 1e-3;

export interface PickupType {
  readonly id: string;
  /** What it is, as the trade says it. */
  readonly name: string;
  /** For which instruments it is made. */
  readonly family: Extract<Family, 'guitar' | 'bass'>;
  /** Its letter in a configuration: S single-coil width, H two coils side by side. */
  readonly letter: 'S' | 'H';
  /** Values for the whole pickup, in words. */
  readonly values: string;
}

interface Recipe extends PickupType {
  readonly kind: Pickup['kind'];
  readonly poles: Pickup['poles']['kind'];
  /** Diameter of the poles or width of the rail, m; 4.8 mm if not given. */
  readonly size?: number;
  coils(strings: number): Coil[];
}

/** EMF per string velocity of a middling coil, V s/m: what hotter and cooler are told against. */
export const MIDDLING_SENSITIVITY = 0.15;

const eddy = (perHenry: number, inductance: number): Loss => ({
  kind: 'eddy',
  resistance: Number((perHenry * inductance).toPrecision(2)),
});

/**
 * Loss of a coil around steel slugs, screws or blades: 120 kΩ of eddy resistance for each henry. From a published
 * measurement of one coil, 0.98 H empty and 1.74 H with six steel slugs, whose core part has its corner at 2.6 to 7 kHz
 * (a measurer's thread on a pickup makers' forum): at 4 kHz that loses what 115 to 134 kΩ/H across the coil would.
 */
export const steelLoss = (inductance: number): Loss => eddy(120e3, inductance);
/**
 * Loss of a coil around rod magnets: 500 kΩ/H, between 380 and 750. Computed: the complex permeability of a conducting
 * rod, 2 J1(ka)/(ka J0(ka)), for alnico of 4.8 mm (µr 4.5, 2.1 MS/m, from memory) at 4 kHz, in a coil whose inductance it
 * raises by 1.2 to 1.5 times (from memory).
 */
export const rodLoss = (inductance: number): Loss => eddy(500e3, inductance);
const LOSS = { rods: rodLoss, steel: steelLoss };

/** What stands in a coil: its loss goes by it. */
type Core = keyof typeof LOSS;

const coil = (
  id: string,
  core: Core,
  resistance: number,
  inductance: number,
  capacitance: number,
  rest: Partial<Coil> = {},
): Coil => ({
  id,
  along: 0,
  strings: null,
  window: { shape: 'pole', width: 12 * mm, depth: null },
  resistance,
  inductance,
  capacitance,
  loss: LOSS[core](inductance),
  cover: null,
  sensitivity: MIDDLING_SENSITIVITY,
  polarity: 1,
  winding: 1,
  origin: 'typical',
  ...rest,
});
const reversed = { polarity: -1, winding: -1 } as const;

/** Two coils `spacing` apart, the one nearer the saddle with the other pole up and the other winding. */
const pair = (spacing: number, core: Core, r: number, l: number, c: number, rest: Partial<Coil> = {}): Coil[] => [
  coil('neck-side', core, r, l, c, { ...rest, along: spacing / 2 }),
  coil('bridge-side', core, r, l, c, { ...rest, ...reversed, along: -spacing / 2 }),
];

/** Two coils end to end, each under its half of the strings, `stagger` apart along them. */
const halves = (strings: number, stagger: number, r: number, l: number, c: number): Coil[] => {
  const numbers = Array.from({ length: strings }, (_, i) => i + 1);
  const high = numbers.slice(0, Math.floor(strings / 2));
  const low = numbers.slice(high.length);
  if (high.length === 0) return [coil('low', 'rods', r, l, c, { strings: low })];
  return [
    coil('low', 'rods', r, l, c, { strings: low, along: stagger / 2 }),
    coil('high', 'rods', r, l, c, { strings: high, along: -stagger / 2, ...reversed }),
  ];
};

const RECIPES: readonly Recipe[] = [
  {
    id: 'single-rods',
    name: 'single coil, rod magnets',
    family: 'guitar',
    letter: 'S',
    kind: 'single',
    poles: 'one',
    values: '6.0 kΩ, 2.5 H, 100 pF',
    coils: () => [coil('coil', 'rods', 6000, 2.5, 100e-12)],
  },
  {
    id: 'single-bar',
    name: 'single coil, steel poles on bar magnets',
    family: 'guitar',
    letter: 'S',
    kind: 'single',
    poles: 'one',
    values: '8.0 kΩ, 5.0 H, 110 pF',
    coils: () => [coil('coil', 'steel', 8000, 5, 110e-12, { sensitivity: 0.18 })],
  },
  {
    id: 'single-stacked',
    name: 'two coils stacked, single-coil width',
    family: 'guitar',
    letter: 'S',
    kind: 'stacked',
    poles: 'one',
    values: '9.0 kΩ, 4.0 H, 100 pF',
    // the lower coil is there for the hum: far from the string, it hears little of it
    coils: () => [
      coil('upper', 'rods', 4500, 2, 200e-12),
      coil('lower', 'rods', 4500, 2, 200e-12, { winding: -1, sensitivity: 0.03 }),
    ],
  },
  {
    id: 'single-inline',
    name: 'two coils in line, single-coil width',
    family: 'guitar',
    letter: 'S',
    kind: 'split',
    poles: 'one',
    values: '7.0 kΩ, 2.8 H, 100 pF',
    coils: strings => halves(strings, 0, 3500, 1.4, 200e-12),
  },
  {
    id: 'single-rails',
    name: 'two narrow coils with rails, single-coil width',
    family: 'guitar',
    letter: 'S',
    kind: 'double',
    poles: 'rail',
    size: 2 * mm,
    values: '10 kΩ, 4.0 H, 100 pF, coils 8 mm apart',
    coils: () => pair(8 * mm, 'steel', 5000, 2, 200e-12),
  },
  {
    id: 'double',
    name: 'two coils side by side',
    family: 'guitar',
    letter: 'H',
    kind: 'double',
    poles: 'one',
    values: '8.0 kΩ, 4.5 H, 120 pF',
    coils: () => pair(18.5 * mm, 'steel', 4000, 2.25, 240e-12),
  },
  {
    id: 'double-covered',
    name: 'two coils side by side, steel poles, metal cover',
    family: 'guitar',
    letter: 'H',
    kind: 'double',
    poles: 'one',
    values: '8.0 kΩ, 4.5 H, 120 pF, cover 10 kHz',
    coils: () => pair(18.5 * mm, 'steel', 4000, 2.25, 240e-12, { cover: 10e3 }),
  },
  {
    id: 'double-overwound',
    name: 'two coils side by side, overwound',
    family: 'guitar',
    letter: 'H',
    kind: 'double',
    poles: 'one',
    values: '14 kΩ, 8.0 H, 120 pF',
    coils: () => pair(18.5 * mm, 'steel', 7000, 4, 240e-12, { sensitivity: 0.22 }),
  },
  {
    id: 'double-narrow',
    name: 'two narrow coils side by side',
    family: 'guitar',
    letter: 'H',
    kind: 'double',
    poles: 'one',
    values: '6.5 kΩ, 3.2 H, 110 pF, coils 12.5 mm apart',
    coils: () => pair(12.5 * mm, 'steel', 3250, 1.6, 220e-12, { sensitivity: 0.12 }),
  },
  {
    id: 'bass-single',
    name: 'bass single coil, two rods per string',
    family: 'bass',
    letter: 'S',
    kind: 'single',
    poles: 'two',
    values: '7.5 kΩ, 3.5 H, 120 pF',
    coils: () => [coil('coil', 'rods', 7500, 3.5, 120e-12)],
  },
  {
    id: 'bass-split',
    name: 'bass pickup in two staggered halves',
    family: 'bass',
    letter: 'S',
    kind: 'split',
    poles: 'two',
    values: '10.4 kΩ, 6.0 H, 75 pF',
    coils: strings => halves(strings, 28 * mm, 5200, 3, 150e-12),
  },
  {
    id: 'bass-double',
    name: 'bass, two coils side by side, large rods',
    family: 'bass',
    letter: 'H',
    kind: 'double',
    poles: 'one',
    size: 9.5 * mm,
    values: '8.0 kΩ, 4.4 H, 100 pF',
    coils: () => pair(19 * mm, 'rods', 4000, 2.2, 200e-12),
  },
  {
    id: 'bass-rails',
    name: 'bass, two coils in one cover, rails',
    family: 'bass',
    letter: 'H',
    kind: 'double',
    poles: 'rail',
    size: 4 * mm,
    values: '9.0 kΩ, 5.0 H, 110 pF',
    coils: () => pair(16 * mm, 'steel', 4500, 2.5, 220e-12),
  },
];

/** The kinds on offer. */
export const PICKUP_TYPES: readonly PickupType[] = RECIPES;

/** The usual kind for a letter of a configuration. */
export const usualType = (letter: 'S' | 'H', family: PickupType['family']): string =>
  ({ guitar: { S: 'single-rods', H: 'double' }, bass: { S: 'bass-single', H: 'bass-double' } })[family][letter];

export interface PickupPlace {
  id: string;
  name: string;
  /** Centre from the saddle line, m. */
  position: number;
  /** The other pole up and the other winding in every coil, so that hum cancels against an unreversed one. */
  reversed?: boolean;
}

/**
 * A pickup of the kind `type` under the strings of an instrument. Its poles are spread as the outer strings are where it
 * stands, to half a millimetre. Throws when there is no such kind.
 */
export function makePickup(type: string, instrument: Instrument, place: PickupPlace): Pickup {
  const recipe = RECIPES.find(r => r.id === type);
  if (!recipe) throw new Error(`there is no kind of pickup "${type}"`);
  const count = instrument.strings.length;
  const outer = Math.abs(stringAt(instrument, 0, place.position) - stringAt(instrument, count - 1, place.position));
  const pitch = Math.round(outer * 2000) / 2000 / Math.max(1, count - 1);
  const bare = { kind: recipe.poles, size: recipe.size ?? 4.8 * mm, spread: outer, pair: 9.5 * mm };
  const bass = recipe.family === 'bass';
  const turn = place.reversed ? -1 : 1;
  return {
    id: place.id,
    name: place.name,
    kind: recipe.kind,
    senses: 'velocity',
    position: place.position,
    slant: 0,
    height: { bass: (bass ? 3 : 2.5) * mm, treble: (bass ? 2.5 : 2) * mm },
    poles: withPitch(bare, count, pitch),
    coils: recipe.coils(count).map(c => ({
      ...c,
      polarity: (c.polarity * turn) as 1 | -1,
      winding: (c.winding * turn) as 1 | -1,
    })),
  };
}
