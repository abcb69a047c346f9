/** Power density of sampled signals: mean periodogram (P. Welch, IEEE Trans. AU 15 (1967) 70). Pure. */
import { RealFft } from '../../shared/audio/fft.ts';

export interface Density {
  /** 0 Hz to half the sample rate. */
  frequencies: Float64Array;
  /** Power per Hz, full scale² / Hz, one-sided. */
  power: Float64Array;
}

/** Hann windows of `size` samples. */
const windows = new Map<number, Float64Array>();
function hann(size: number): Float64Array {
  let window = windows.get(size);
  if (!window) {
    window = Float64Array.from({ length: size }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size));
    windows.set(size, window);
  }
  return window;
}

const transforms = new Map<number, RealFft>();

/** Mean over Hann-windowed, half overlapping blocks of `size` samples; a short signal is followed by silence. */
export function powerDensity(signal: ArrayLike<number>, sampleRate: number, size = 8192): Density {
  let fft = transforms.get(size);
  if (!fft) transforms.set(size, (fft = new RealFft(size)));
  const window = hann(size);
  const bins = size / 2 + 1;
  const frequencies = Float64Array.from({ length: bins }, (_, k) => (k * sampleRate) / size);
  const power = new Float64Array(bins);
  const block = new Float64Array(size);
  const spectrum = fft.spectrum();
  const blocks = Math.max(1, Math.floor((signal.length - size) / (size / 2)) + 1);
  for (let b = 0; b < blocks; b++) {
    const from = (b * size) / 2;
    for (let i = 0; i < size; i++) block[i] = from + i < signal.length ? signal[from + i] * window[i] : 0;
    fft.forward(spectrum, block);
    for (let k = 0; k < bins; k++) power[k] += spectrum.re[k] ** 2 + spectrum.im[k] ** 2;
  }
  // Σ window² = 3/8 size; both halves of the spectrum count, 0 Hz and half the sample rate stand alone
  const scale = 2 / (0.375 * size * sampleRate * blocks);
  for (let k = 0; k < bins; k++) power[k] *= k === 0 || k === bins - 1 ? scale / 2 : scale;
  return { frequencies, power };
}
