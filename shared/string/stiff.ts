/**
 * The stiff string: tension and bending from its data, wave number, impedance and partials.
 *
 * Equation of motion T y″ − EI y⁗ = μ ÿ, pinned ends (H. Fletcher, JASA 36 (1964) 203):
 *   ω² μ = T k² + EI k⁴,  f_n = n f0 √(1 + B n²),  B = π² EI / (T L²).
 * The wave number at a frequency does not depend on the fret, so neither does a pickup's comb in hertz.
 */
import type { StringSpec } from '../document/build.ts';
import { coreDiameter, massPerLength, YOUNG_STEEL } from './wire.ts';

export interface StringModel {
  /** Open speaking length, m. */
  length: number;
  /** Fundamental of the open string without stiffness, Hz. */
  f0: number;
  /** Mass per length, kg/m. */
  mass: number;
  /** N. */
  tension: number;
  /** Transverse speed of the string without stiffness, √(T/μ), m/s. */
  speed: number;
  /** EI, N m². */
  bending: number;
  /** Inharmonicity coefficient of the open string. */
  B: number;
}

/** Tension that tunes a string of mass per length `mass` and length `length` to `f0`: T = μ (2 L f0)², N. */
export const tensionOf = (mass: number, length: number, f0: number): number => mass * (2 * length * f0) ** 2;

/** Bending stiffness EI of a solid round core, I = π d⁴/64, N m². */
export const bendingOf = (core: number, young = YOUNG_STEEL): number => (young * Math.PI * core ** 4) / 64;

/** Inharmonicity coefficient B = π² EI / (T L²) (Fletcher 1964). */
export const inharmonicityOf = (bending: number, tension: number, length: number): number =>
  (Math.PI ** 2 * bending) / (tension * length ** 2);

const cache = new WeakMap<StringSpec, StringModel>();

/**
 * The mechanical model of a string. Entered values (unit weight, inharmonicity) win over computed ones; a wound string
 * bends with its core alone. Memoised on the identity of `spec`.
 */
export const stringModel = (spec: StringSpec): StringModel => {
  const known = cache.get(spec);
  if (known) return known;
  const { scale: length, pitch: f0 } = spec;
  const mass = massPerLength(spec);
  const tension = tensionOf(mass, length, f0);
  const B = spec.inharmonicity ?? inharmonicityOf(bendingOf(coreDiameter(spec)), tension, length);
  const bending = (B * tension * length ** 2) / Math.PI ** 2;
  const model = { length, f0, mass, tension, speed: 2 * length * f0, bending, B };
  cache.set(spec, model);
  return model;
};

/** Wave number at `f` Hz, rad/m: the positive real root of μω² = T k² + EI k⁴, in a form exact for EI → 0. */
export const waveNumber = (s: StringModel, f: number): number => {
  const inertia = s.mass * (2 * Math.PI * f) ** 2;
  return Math.sqrt((2 * inertia) / (s.tension + Math.sqrt(s.tension ** 2 + 4 * s.bending * inertia)));
};

/** Frequency of wave number `k`, Hz. */
export const frequencyOf = (s: StringModel, k: number): number =>
  (k * Math.sqrt((s.tension + s.bending * k * k) / s.mass)) / (2 * Math.PI);

/**
 * Characteristic impedance Z = μω/k at `f` Hz, N s/m. The force of a stiff string on a pinned end is
 * T y′ − EI y‴ = (μω²/k) A for a wave of amplitude A, so velocity over bridge force is j sin(kx)/Z.
 */
export const impedance = (s: StringModel, f: number): number =>
  f === 0 ? s.mass * s.speed : (s.mass * 2 * Math.PI * f) / waveNumber(s, f);

/** Frequency of partial `n` stopped at `fret` (0 open), Hz: f0 rises by 2^(q/12), B by 2^(q/6). */
export const partial = (s: Pick<StringModel, 'f0' | 'B'>, n: number, fret = 0): number => {
  const m = n * 2 ** (fret / 12);
  return m * s.f0 * Math.sqrt(1 + s.B * m * m);
};
