/** A complex-valued curve over a list of frequencies: real and imaginary parts side by side. */
export interface Spectrum {
  re: Float64Array;
  im: Float64Array;
}

/** A spectrum of `n` zeros. */
export const spectrum = (n: number): Spectrum => ({ re: new Float64Array(n), im: new Float64Array(n) });

/** Squared magnitude at index `i`. */
export const power = (s: Spectrum, i: number): number => s.re[i] * s.re[i] + s.im[i] * s.im[i];

/** Magnitudes of every value. */
export const magnitudes = (s: Spectrum): Float64Array => Float64Array.from(s.re, (_, i) => Math.sqrt(power(s, i)));
