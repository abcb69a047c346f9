/**
 * The discrete Fourier transform of power-of-two lengths behind one typed face: spectra of whole takes, kernels on their
 * grids. The audio thread's own transform of 256 points is in vector/transform.ts.
 */
import FFT from 'fft.js';
import { type Spectrum, spectrum } from '../complex.ts';

/** Transforms of `size` real samples to `size/2 + 1` complex values and back. The caller owns every buffer. */
export class RealFft {
  readonly size: number;
  /** Values of a half spectrum, 0 Hz to half the sample rate. */
  readonly bins: number;
  #fft: FFT;
  #time: number[];
  #complex: number[];

  constructor(size: number) {
    if (!Number.isInteger(size) || size < 4 || (size & (size - 1)) !== 0)
      throw new RangeError(`FFT size must be a power of two from 4 up, got ${size}`);
    this.size = size;
    this.bins = size / 2 + 1;
    this.#fft = new FFT(size);
    // Plain arrays: fft.js runs up to twice as fast on them as on typed ones (256 points, Node 20).
    this.#time = new Array(size * 2).fill(0);
    this.#complex = new Array(size * 2).fill(0);
  }

  /** A half spectrum of zeros for this size. */
  spectrum(): Spectrum {
    return spectrum(this.bins);
  }

  /** X[k] = Σ x[n] exp(−j2πkn/size) into `out`; a `signal` shorter than `size` is followed by zeros. */
  forward(out: Spectrum, signal: ArrayLike<number>, offset = 0): void {
    const { size, bins } = this;
    const time = this.#time;
    const complex = this.#complex;
    for (let i = 0; i < size; i++) time[i] = offset + i < signal.length ? signal[offset + i] : 0;
    this.#fft.realTransform(complex, time);
    for (let k = 0; k < bins; k++) {
      out.re[k] = complex[2 * k];
      out.im[k] = complex[2 * k + 1];
    }
  }

  /** Adds gain · |X[k]|² of window[n] · signal[start + n] to `power`, of silence outside the signal. */
  addPower(power: Float64Array, gain: number, signal: ArrayLike<number>, start: number, window: Float64Array): void {
    const { size, bins } = this;
    const time = this.#time;
    const complex = this.#complex;
    const from = Math.min(size, Math.max(0, -start));
    const to = Math.max(from, Math.min(size, signal.length - start));
    for (let i = 0; i < from; i++) time[i] = 0;
    for (let i = from; i < to; i++) time[i] = signal[start + i] * window[i];
    for (let i = to; i < size; i++) time[i] = 0;
    this.#fft.realTransform(complex, time);
    for (let k = 0; k < bins; k++) {
      const re = complex[2 * k];
      const im = complex[2 * k + 1];
      power[k] += gain * (re * re + im * im);
    }
  }

  /** The real signal whose half spectrum is `input`, scaled by 1/size so that it undoes `forward`. */
  inverse(out: Float64Array | Float32Array, input: Spectrum): void {
    const { size, bins } = this;
    const time = this.#time;
    const complex = this.#complex;
    for (let k = 0; k < bins; k++) {
      complex[2 * k] = input.re[k];
      complex[2 * k + 1] = input.im[k];
    }
    complex[1] = 0;
    complex[size + 1] = 0;
    for (let k = 1; k < bins - 1; k++) {
      complex[2 * (size - k)] = input.re[k];
      complex[2 * (size - k) + 1] = -input.im[k];
    }
    this.#fft.inverseTransform(time, complex);
    for (let i = 0; i < size; i++) out[i] = time[2 * i];
  }
}

/** The inverse transform of `size` complex values, real and imaginary parts by turns; the caller owns the buffers. */
export class ComplexInverse {
  readonly size: number;
  #fft: FFT;

  constructor(size: number) {
    this.size = size;
    this.#fft = new FFT(size);
  }

  /** x[n] = (1/size) Σ X[k] exp(+j2πkn/size). */
  inverse(out: Float64Array, input: Float64Array): void {
    this.#fft.inverseTransform(out, input);
  }
}

/** The smallest power of two not below `n`. */
export const powerOfTwo = (n: number): number => 2 ** Math.ceil(Math.log2(Math.max(1, n)));
