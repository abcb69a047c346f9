/**
 * Aperture windows: how much string a coil senses at once.
 *
 * A coil weighs the string's motion along its length with a sensitivity S(x), centred on the coil. For a wave of wave
 * number k its output is that of a point sensor times the window's normalised Fourier transform
 *
 *     W(k) = ∫ S(x) cos(kx) dx / ∫ S(x) dx,   W(0) = 1,
 *
 * real because the windows are symmetric. All four are closed forms.
 */
import type { ApertureWindow } from '../document/build.ts';

/** Full width at half maximum of a Gaussian over its standard deviation: 2 √(2 ln 2). */
export const FWHM_PER_SIGMA = 2 * Math.sqrt(2 * Math.LN2);
/** Full width at half maximum of the pole window over its depth h: 2 √(2^(1/3) − 1). */
export const FWHM_PER_DEPTH = 2 * Math.sqrt(2 ** (1 / 3) - 1);

/** sin(πx)/(πx). */
const sinc = (x: number): number => (Math.abs(x) < 1e-9 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x));

/**
 * Pole window at depth h below the string: S ∝ (1 + (x/h)²)^−3, so W = e^(−kh) (1 + kh + (kh)²/3).
 *
 * Derived here, not measured: one magnetic pole's field falls as 1/r², a small linear string stores energy as field
 * squared, and its vertical force (the change of energy with height) is what a vertical motion induces. It widens with
 * distance and has no nulls. `kh` must not be negative.
 */
export const poleWindow = (kh: number): number => Math.exp(-kh) * (1 + kh + (kh * kh) / 3);

/** Rectangle of whole width w: sin(kw/2)/(kw/2). */
export const rectangleWindow = (kw: number): number => sinc(kw / (2 * Math.PI));

/** Raised cosine (Hann) of whole width w: sinc(v)/(1 − v²), v = kw/2π, written as three sincs so that v = 1 is exact. */
export const raisedCosineWindow = (kw: number): number => {
  const v = kw / (2 * Math.PI);
  return sinc(v) + 0.5 * (sinc(v - 1) + sinc(v + 1));
};

/** Gaussian of standard deviation σ: e^(−(kσ)²/2). */
export const gaussianWindow = (ks: number): number => Math.exp(-0.5 * ks * ks);

/**
 * Factor of one aperture window at wave number `k` (rad/m, not negative), for a string `height` m above the pole face.
 * Only the pole window depends on the height.
 */
export function windowGain(window: ApertureWindow, height: number, k: number): number {
  switch (window.shape) {
    case 'pole':
      return poleWindow(k * (height + window.depth));
    case 'rectangle':
      return rectangleWindow(k * window.width);
    case 'raised-cosine':
      return raisedCosineWindow(k * window.width);
    case 'gaussian':
      return gaussianWindow((k * window.width) / FWHM_PER_SIGMA);
  }
}

/** Full width at half maximum of the sensitivity along the string, m: one figure to compare windows of any shape by. */
export function windowExtent(window: ApertureWindow, height: number): number {
  switch (window.shape) {
    case 'pole':
      return FWHM_PER_DEPTH * (height + window.depth);
    case 'raised-cosine':
      return window.width / 2;
    default:
      return window.width;
  }
}

/** Sensitivity along the string at distance `u` m from the coil's centre, 1 at its maximum: for drawing a window. */
export function windowSensitivity(window: ApertureWindow, height: number, u: number): number {
  const half = window.width / 2;
  switch (window.shape) {
    case 'pole':
      return (1 + (u / (height + window.depth)) ** 2) ** -3;
    case 'rectangle':
      return Math.abs(u) <= half ? 1 : 0;
    case 'raised-cosine':
      return Math.abs(u) <= half ? 0.5 + 0.5 * Math.cos((Math.PI * u) / half) : 0;
    case 'gaussian':
      return Math.exp(-0.5 * ((u * FWHM_PER_SIGMA) / window.width) ** 2);
  }
}
