/**
 * Mass of strings from their diameters, and published unit weights.
 *
 * Plain steel weighs ρ π d²/4 with ρ = 7806 kg/m³, which reproduces the published unit weights of plain strings. A
 * wound string weighs less than a solid rod of its outside diameter, because the round windings do not fill it: 0.84 of
 * it for .026 in, 0.83 for .036, 0.81 for .046 (from the same chart). Between and beyond these the packing is estimated.
 */
import type { StringSpec } from '../document/build.ts';
import { INCH, LB_PER_IN } from '../units.ts';

/** Density that makes published unit weights of plain steel strings come out, kg/m³. */
export const DENSITY_STEEL = 7806;
/** Young's modulus of steel music wire, Pa (textbook value; wire is drawn to 195 to 210 GPa). */
export const YOUNG_STEEL = 200e9;

/** Mass per length of a solid round rod, kg/m. */
export const rodMass = (diameter: number, density = DENSITY_STEEL): number => (density * Math.PI * diameter ** 2) / 4;

/** Outside diameter (m) and share of a solid steel rod's mass, from the published unit weights. */
const PACKING: readonly (readonly [number, number])[] = [
  [0.026 * INCH, 0.84],
  [0.036 * INCH, 0.83],
  [0.046 * INCH, 0.81],
];

/** Share of a solid steel rod's mass that a wound string of this outside diameter has; linear between chart points, held outside. */
export const packingFactor = (diameter: number): number => {
  const last = PACKING.length - 1;
  if (diameter <= PACKING[0][0]) return PACKING[0][1];
  if (diameter >= PACKING[last][0]) return PACKING[last][1];
  const i = PACKING.findIndex(([d]) => d > diameter);
  const [d0, p0] = PACKING[i - 1];
  const [d1, p1] = PACKING[i];
  return p0 + ((p1 - p0) * (diameter - d0)) / (d1 - d0);
};

/** Diameter that bends: the core of a wound string, the string itself when plain, m. */
export const coreDiameter = (spec: StringSpec): number => spec.core ?? spec.gauge;

/** Mass per length, kg/m: as entered, or computed from gauge and core. */
export const massPerLength = (spec: StringSpec): number =>
  spec.unitWeight ?? rodMass(spec.gauge) * (spec.core === null ? 1 : packingFactor(spec.gauge));

/**
 * Published unit weights, lb/in, by gauge in inches, as transcribed from a string maker's tension chart (nickel-plated
 * steel). Bass values marked there as derived from tension are kept as they are: older charts differ by up to 8 %.
 */
export const UNIT_WEIGHTS = {
  plain: {
    0.009: 0.00001794,
    0.01: 0.00002215,
    0.011: 0.0000268,
    0.012: 0.0000319,
    0.013: 0.00003744,
    0.014: 0.00004342,
    0.016: 0.00005671,
    0.017: 0.00006402,
    0.018: 0.00007177,
    0.02: 0.00008861,
  },
  wound: {
    0.024: 0.00010857,
    0.026: 0.00012671,
    0.032: 0.00019347,
    0.036: 0.00023964,
    0.042: 0.00032279,
    0.046: 0.00038216,
    0.049: 0.00043014,
    0.052: 0.00048109,
    0.056: 0.00057598,
    0.059: 0.00064191,
  },
  bass: {
    0.045: 0.0003698,
    0.05: 0.00043767,
    0.055: 0.00053798,
    0.065: 0.00079569,
    0.07: 0.00086188,
    0.075: 0.00104973,
    0.08: 0.00110774,
    0.085: 0.00133702,
    0.095: 0.00156031,
    0.1: 0.00179687,
    0.105: 0.00198395,
    0.11: 0.0022744,
    0.13: 0.00301941,
  },
} as const satisfies Record<string, Record<number, number>>;

export type WireTable = keyof typeof UNIT_WEIGHTS;

/** Chart unit weight of a gauge in inches, kg/m. @throws when the chart has no such gauge */
export const chartMass = (table: WireTable, inches: number): number => {
  const weight = (UNIT_WEIGHTS[table] as Record<number, number>)[inches];
  if (weight === undefined) throw new Error(`no published unit weight for a ${table} string of ${inches} in`);
  return weight * LB_PER_IN;
};

/** Whether an entered mass is the chart's for that string, within the chart's rounding. */
export const isChartMass = (spec: StringSpec): boolean => {
  const tables: WireTable[] = spec.core === null ? ['plain'] : ['wound', 'bass'];
  return tables.some(table =>
    Object.entries(UNIT_WEIGHTS[table]).some(
      ([inches, weight]) =>
        Math.abs(Number(inches) * INCH - spec.gauge) < 2e-6 &&
        Math.abs((spec.unitWeight ?? 0) / (weight * LB_PER_IN) - 1) < 1e-3,
    ),
  );
};
