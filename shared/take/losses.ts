/**
 * How fast the modes of a string die away.
 *
 * Loss factor of mode n (J. Woodhouse, Acta Acustica 90 (2004) 928): η = [T(η_F + η_A/ω) + EI η_B k²] / [T + EI k²],
 * with friction, air and bending parts. Amplitude falls as e^(−t/τ), τ = 2/(ηω).
 *
 * The three coefficients are middling values from memory, chosen so that open strings ring as such instruments do:
 * low fundamentals of a solid body for 15 s or more, high ones about 9 s, partials above 3 kHz one to three seconds.
 */
import type { StringSpec } from '../document/build.ts';
import type { Family } from '../string/sets.ts';
import type { StringModel } from '../string/stiff.ts';

export interface Losses {
  friction: number;
  /** 1/s. */
  air: number;
  bending: number;
}

/** Coefficients for a string of an instrument of this family, open or stopped. */
export const lossesOf = (spec: StringSpec, family: Family, fret: number): Losses => {
  const wound = spec.core !== null;
  const string = wound
    ? { friction: 2.6e-4, air: 0.85, bending: 2.5e-3 }
    : { friction: 1.4e-4, air: 1.5, bending: 2e-3 };
  // A stopping finger and the fret take a little; a light body takes more, a violin's most of all.
  const friction = string.friction * (fret > 0 && family !== 'bowed' ? 1.25 : 1);
  if (family === 'flat-top') return { ...string, friction: friction + 2.5e-4, air: string.air + 1 };
  if (family === 'bowed') return { ...string, friction: friction + 1.5e-3, air: string.air + 6 };
  return { ...string, friction };
};

/** Amplitude time constant of the mode at `omega` rad/s with wave number `k`, s. */
export const timeConstant = (s: StringModel, losses: Losses, omega: number, k: number): number => {
  const bent = s.bending * k * k;
  const eta = (s.tension * (losses.friction + losses.air / omega) + bent * losses.bending) / (s.tension + bent);
  return 2 / (eta * omega);
};
