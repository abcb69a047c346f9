/**
 * Spectra of sounds. Powers are calibrated for tones: a sine of amplitude A on a bin has power A², so 0 dB is a full-scale
 * sine (as in AES17). Averages are of power (P. D. Welch, "The use of fast Fourier transform for the estimation of
 * power spectra", IEEE Trans. Audio Electroacoust. 15, 1967).
 */

import { dbOfPower } from '../decibels.ts';
import { RealFft } from './fft.ts';

export interface PowerSpectrum {
  /** Hz, from 0 to half the sample rate. */
  frequencies: Float64Array;
  /** Amplitude² of a sine at that frequency. */
  power: Float64Array;
}

/** Periodic Hann window. */
export const hann = (size: number): Float64Array =>
  Float64Array.from({ length: size }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size));

/** Windowed power spectra of blocks of one size. */
export class SpectrumAnalyser {
  readonly size: number;
  readonly frequencies: Float64Array;
  #fft: RealFft;
  #window: Float64Array;
  #scale: number;

  constructor(size: number, sampleRate: number) {
    this.size = size;
    this.#fft = new RealFft(size);
    this.#window = hann(size);
    this.#scale = (2 / this.#window.reduce((sum, w) => sum + w, 0)) ** 2;
    this.frequencies = Float64Array.from({ length: this.#fft.bins }, (_, k) => (k * sampleRate) / size);
  }

  /** Adds `weight` × the power spectrum of signal[start … start + size), silence outside it, to `power`. */
  add(power: Float64Array, signal: Float32Array, start: number, weight = 1): void {
    const last = power.length - 1;
    const [lowest, highest] = [power[0], power[last]];
    this.#fft.addPower(power, weight * this.#scale, signal, start, this.#window);
    // The bins at 0 Hz and at half the rate have no mirror image to share their power with.
    power[0] = lowest + (power[0] - lowest) / 4;
    power[last] = highest + (power[last] - highest) / 4;
  }
}

/**
 * Long-term spectrum: mean power of blocks of `size` samples, half overlapped, summed over channels. A signal shorter than
 * one block is one block followed by silence. With `most`, at most about so many blocks of each channel are taken, evenly
 * spread over it.
 */
export function longTermSpectrum(
  channels: readonly Float32Array[],
  sampleRate: number,
  size = 16384,
  most = Number.POSITIVE_INFINITY,
): PowerSpectrum {
  const analyser = new SpectrumAnalyser(size, sampleRate);
  const power = new Float64Array(analyser.frequencies.length);
  for (const signal of channels) {
    const blocks = Math.max(1, Math.floor((signal.length - size) / (size / 2)) + 1);
    const step = Math.max(1, Math.ceil(blocks / most));
    const taken = Math.ceil(blocks / step);
    for (let b = 0; b < blocks; b += step) analyser.add(power, signal, (b * size) / 2, 1 / taken);
  }
  return { frequencies: analyser.frequencies, power };
}

/** Effective width of a Hann window's main lobe for noise, in bins. */
const HANN_NOISE_BINS = 1.5;

/**
 * One-sided power density of a signal, amplitude² per Hz: its integral over frequency is the mean square. Long-term
 * average as above.
 */
export function powerDensity(signal: Float32Array, sampleRate: number, size = 16384): PowerSpectrum {
  const { frequencies, power } = longTermSpectrum([signal], sampleRate, size);
  const bin = (HANN_NOISE_BINS * sampleRate) / size;
  const last = power.length - 1;
  return { frequencies, power: power.map((p, k) => (k === 0 || k === last ? p : p / 2) / bin) };
}

/** Power to dB, no lower than `floor`. */
export const powerDecibels = (power: Float64Array, floor = -200): Float64Array =>
  power.map(p => Math.max(floor, dbOfPower(p)));

export interface PartialLevel {
  /** Partial number, from 1. */
  partial: number;
  /** Hz, found between bins. */
  frequency: number;
  /** Amplitude of the partial, linear. */
  amplitude: number;
  /** dB above the median of the bins halfway to its neighbours; below about 10 it may be noise. */
  clearance: number;
}

/**
 * Levels of the partials of one note, looked for around the frequencies where they are `expected` (rising, Hz, partial 1
 * first), in the `size` samples from `start`. Energy of the whole main lobe of the window is taken, so the level does
 * not depend on where the partial falls between bins.
 */
export function partialLevels(
  signal: Float32Array,
  sampleRate: number,
  expected: Float64Array,
  start = 0,
  size = 32768,
): PartialLevel[] {
  const { power } = blockSpectrum(signal, sampleRate, start, size);
  const bin = sampleRate / size;
  const found: PartialLevel[] = [];
  for (let n = 0; n < expected.length; n++) {
    const spacing = n > 0 ? expected[n] - expected[n - 1] : expected[0];
    const reach = Math.max(2, (0.2 * spacing) / bin);
    const middle = expected[n] / bin;
    const low = Math.max(2, Math.ceil(middle - reach));
    const high = Math.min(power.length - 4, Math.floor(middle + reach));
    if (high <= low) break;
    let peak = low;
    for (let k = low + 1; k <= high; k++) if (power[k] > power[peak]) peak = k;
    const sides: number[] = [];
    for (const side of [-0.5, 0.5]) {
      const centre = Math.round(middle + (side * spacing) / bin);
      const wide = Math.max(1, Math.round((0.15 * spacing) / bin));
      for (let k = centre - wide; k <= centre + wide; k++) if (k > 0 && k < power.length) sides.push(power[k]);
    }
    sides.sort((a, b) => a - b);
    const noise = sides[sides.length >> 1];
    let lobe = 0;
    for (let k = Math.max(0, peak - 3); k <= peak + 3; k++) lobe += power[k];
    found.push({
      partial: n + 1,
      frequency: (peak + lobeOffset(power, peak)) * bin,
      // A Hann window spreads a sine's power over bins that add up to 1.5 of the one on a bin.
      amplitude: Math.sqrt(lobe / HANN_NOISE_BINS),
      clearance: dbOfPower((power[peak] + 1e-300) / (noise + 1e-300)),
    });
  }
  return found;
}

/** Power spectrum of one block of `size` samples from `start`. */
export function blockSpectrum(signal: Float32Array, sampleRate: number, start: number, size: number): PowerSpectrum {
  const analyser = new SpectrumAnalyser(size, sampleRate);
  const power = new Float64Array(analyser.frequencies.length);
  analyser.add(power, signal, start);
  return { frequencies: analyser.frequencies, power };
}

/** Place of a sine between Hann-windowed bins from the peak's larger neighbour: δ = (2α − 1)/(α + 1), α the ratio. */
function lobeOffset(power: Float64Array, peak: number): number {
  if (!(power[peak] > 0)) return 0;
  const [below, above] = [power[peak - 1], power[peak + 1]];
  const ratio = Math.sqrt(Math.max(below, above) / power[peak]);
  const offset = (2 * ratio - 1) / (ratio + 1);
  return above >= below ? offset : -offset;
}
