/**
 * Aperture windows: how much string a coil senses at once.
 *
 * A coil weighs the string's motion along its length with a sensitivity S(x), centred on the coil. For a wave of wave
 * number k its output is that of a point sensor times the window's normalised Fourier transform
 *
 *     W(k) = ∫ S(x) cos(kx) dx / ∫ S(x) dx,   W(0) = 1,
 *
 * for a symmetric one. The pole window comes from the field over the pole pieces (`field.ts`) and may have an odd part,
 * ∫ S(x) sin(kx) dx / ∫ S(x) dx, as well: turned to e^(jkx) it is W + jV. The others are closed forms.
 */
import type { ApertureWindow } from '../document/build.ts';
import type { FieldWindow } from './field.ts';

/** Full width at half maximum of a Gaussian over its standard deviation: 2 √(2 ln 2). */
export const FWHM_PER_SIGMA = 2 * Math.sqrt(2 * Math.LN2);
/** sin(πx)/(πx). */
const sinc = (x: number): number => (Math.abs(x) < 1e-9 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x));

/** Rectangle of whole width w: sin(kw/2)/(kw/2). */
export const rectangleWindow = (kw: number): number => sinc(kw / (2 * Math.PI));

/** Raised cosine (Hann) of whole width w: sinc(v)/(1 − v²), v = kw/2π, written as three sincs so that v = 1 is exact. */
export const raisedCosineWindow = (kw: number): number => {
  const v = kw / (2 * Math.PI);
  return sinc(v) + 0.5 * (sinc(v - 1) + sinc(v + 1));
};

/** Gaussian of standard deviation σ: e^(−(kσ)²/2). */
export const gaussianWindow = (ks: number): number => Math.exp(-0.5 * ks * ks);

/** Even part of a window's factor at wave number `k` (rad/m, not negative), about where the coil crosses the string. */
export function windowGain(window: ApertureWindow, field: FieldWindow, k: number): number {
  switch (window.shape) {
    case 'pole':
      return field.even(k);
    case 'rectangle':
      return rectangleWindow(k * window.width);
    case 'raised-cosine':
      return raisedCosineWindow(k * window.width);
    case 'gaussian':
      return gaussianWindow((k * window.width) / FWHM_PER_SIGMA);
  }
}

/** Odd part: where the pickup is turned and the string misses its poles, the pole window is not symmetric. */
export const windowSkew = (window: ApertureWindow, field: FieldWindow, k: number): number =>
  window.shape === 'pole' ? field.odd(k) : 0;

/** Both parts over a list of wave numbers; `odd` null: the window is symmetric. */
export const windowOver = (
  window: ApertureWindow,
  field: FieldWindow,
  k: Float64Array,
): { even: Float64Array; odd: Float64Array | null } =>
  window.shape === 'pole' ? field.over(k) : { even: k.map(one => windowGain(window, field, one)), odd: null };

/** Full width at half maximum of the sensitivity along the string, m: one figure to compare windows of any shape by. */
export function windowExtent(window: ApertureWindow, field: FieldWindow): number {
  switch (window.shape) {
    case 'pole':
      return field.extent;
    case 'raised-cosine':
      return window.width / 2;
    default:
      return window.width;
  }
}

/** Sensitivity along the string at distance `u` m from where the coil crosses it, 1 at its maximum: for drawing. */
export function windowSensitivity(window: ApertureWindow, field: FieldWindow, u: number): number {
  const half = window.width / 2;
  switch (window.shape) {
    case 'pole':
      return field.sensitivity(u);
    case 'rectangle':
      return Math.abs(u) <= half ? 1 : 0;
    case 'raised-cosine':
      return Math.abs(u) <= half ? 0.5 + 0.5 * Math.cos((Math.PI * u) / half) : 0;
    case 'gaussian':
      return Math.exp(-0.5 * ((u * FWHM_PER_SIGMA) / window.width) ** 2);
  }
}
