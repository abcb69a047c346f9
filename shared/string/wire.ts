/**
 * Mass of strings from their diameters.
 *
 * A plain string is a solid rod. On a wound one each turn of round wire of diameter w lies against the next and round a
 * core of diameter d: a ring of cross-section πw²/4 whose middle runs along π(d + w), so by Pappus's theorem of volumes
 * the winding has π²w(d + w)/4 of wire per length of string. With w = (D − d)/2 the whole string weighs
 *
 *     ρ π/4 · (d² + π/4 · (D² − d²)).
 *
 * The slope of the turns (1 % and less) is left out, as are what a winder's tension flattens and a hexagonal core (about a
 * twentieth more core than a round one of the same width across the flats); wraps of bronze or nickel weigh up to an eighth
 * more than of steel. Unit weights that are published lie within 5 % (`tests/reference/string.test.ts`); entered ones win.
 */
import type { StringSpec } from '../document/build.ts';

/** Density of steel music wire, kg/m³ (textbook value, 7.85 g/cm³). */
export const DENSITY_STEEL = 7850;
/** Young's modulus of steel music wire, Pa (textbook value; wire is drawn to 195 to 210 GPa). */
export const YOUNG_STEEL = 200e9;

/** Mass per length of a solid round rod, kg/m. */
export const rodMass = (diameter: number, density = DENSITY_STEEL): number => (density * Math.PI * diameter ** 2) / 4;

/** Mass per length of round wire wound closely on a round core to the diameter `diameter`, kg/m. */
export const woundMass = (diameter: number, core: number, density = DENSITY_STEEL): number =>
  rodMass(core, density) + (Math.PI / 4) * (rodMass(diameter, density) - rodMass(core, density));

/** Diameter that bends: the core of a wound string, the string itself when plain, m. */
export const coreDiameter = (spec: StringSpec): number => spec.core ?? spec.gauge;

/** Mass per length, kg/m: as entered, or computed from gauge and core. */
export const massPerLength = ({ unitWeight, gauge, core }: StringSpec): number =>
  unitWeight ?? (core === null ? rodMass(gauge) : woundMass(gauge, core));
