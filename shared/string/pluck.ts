/**
 * The shape a plucked string starts from, as mode amplitudes, and how the pluck's width and release time round it off.
 *
 * A string drawn aside by h at x = pL and let go: a_n = 2h sin(nπp) / (n²π² p(1−p)) (Fletcher and Rossing, The Physics
 * of Musical Instruments, ch. 2). Drawn aside quasi-statically by a force F at one point of a stiff string, mode n of
 * wave number k has a_n = 2F sin(kx) / (L k² (T + EI k²)); the two agree for EI = 0 with h = F x(L−x)/(TL).
 */
import type { StringModel } from './stiff.ts';

/** sin(πx)/(πx). */
const sinc = (x: number): number => (Math.abs(x) < 1e-9 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x));

/** Displacement amplitude of mode `n` of an ideal string drawn aside by `height` at the fraction `p` of its length, m. */
export const pluckAmplitude = (n: number, p: number, height: number): number =>
  (2 * height * Math.sin(n * Math.PI * p)) / (n * n * Math.PI * Math.PI * p * (1 - p));

/** Lateral stiffness at `x` of a string of length `length`, T L/(x(L−x)), N/m. */
export const lateralStiffness = (tension: number, x: number, length: number): number =>
  (tension * length) / (x * (length - x));

/** Displacement amplitude of the mode with wave number `k` for a force `force` (N) at `x` from the saddle, m. */
export const forcedAmplitude = (s: StringModel, length: number, k: number, x: number, force: number): number =>
  (2 * force * Math.sin(k * x)) / (length * k * k * (s.tension + s.bending * k * k));

/** Factor of a force spread evenly over `width` m of the string: sinc(k w/2π). */
export const widthFactor = (k: number, width: number): number => sinc((k * width) / (2 * Math.PI));

/**
 * Factor at `f` Hz of a force that leaves along a raised-cosine ramp of `release` seconds instead of at once: the
 * transform of the ramp's slope. Nothing below about 0.5/release is touched.
 */
export const releaseFactor = (f: number, release: number): number => {
  const x = f * release;
  return Math.abs(2 * x - 1) < 1e-6 ? Math.PI / 4 : Math.cos(Math.PI * x) / (1 - 4 * x * x);
};

/** Time for a level to fall by 60 dB with amplitude time constant `tau`: τ ln 1000, s. */
export const t60 = (tau: number): number => tau * Math.log(1000);
