/** Signals and measurements for the audio tests. */

/** Numbers from −1 to 1, the same for the same seed (mulberry32). */
export function noise(length: number, seed: number, amplitude = 1): Float32Array {
  let state = seed >>> 0;
  return Float32Array.from({ length }, () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return amplitude * (2 * (((t ^ (t >>> 14)) >>> 0) / 4294967296) - 1);
  });
}

export const sine = (length: number, frequency: number, sampleRate: number, amplitude = 1, phase = 0): Float32Array =>
  Float32Array.from({ length }, (_, i) => amplitude * Math.sin((2 * Math.PI * frequency * i) / sampleRate + phase));

/** Σ over strings of x_s * h_s by the definition, in double precision. */
export function directConvolution(inputs: readonly Float32Array[], kernels: readonly Float32Array[]): Float64Array {
  const length = Math.max(...inputs.map(x => x.length));
  const out = new Float64Array(length);
  inputs.forEach((x, s) => {
    const h = kernels[s];
    for (let n = 0; n < length; n++) {
      let sum = 0;
      for (let t = 0; t < h.length && t <= n; t++) if (n - t < x.length) sum += h[t] * x[n - t];
      out[n] += sum;
    }
  });
  return out;
}

export function largestDifference(a: ArrayLike<number>, b: ArrayLike<number>, from = 0, to = a.length): number {
  let most = 0;
  for (let i = from; i < to; i++) most = Math.max(most, Math.abs(a[i] - b[i]));
  return most;
}

export function largest(a: ArrayLike<number>, from = 0, to = a.length): number {
  let most = 0;
  for (let i = from; i < to; i++) most = Math.max(most, Math.abs(a[i]));
  return most;
}

/**
 * True peak by a sinc interpolation of its own (Blackman window, 48 samples each side) at `factor` points a sample:
 * nothing in common with the limiter's detector. The ends are taken as silence.
 */
export function truePeak(x: ArrayLike<number>, factor = 16): number {
  const reach = 48;
  let most = 0;
  for (let phase = 0; phase < factor; phase++) {
    const part = phase / factor;
    const taps = Float64Array.from({ length: 2 * reach }, (_, i) => {
      const u = i - (reach - 1) - part;
      const w = 0.42 + 0.5 * Math.cos((Math.PI * u) / reach) + 0.08 * Math.cos((2 * Math.PI * u) / reach);
      return (u === 0 ? 1 : Math.sin(Math.PI * u) / (Math.PI * u)) * w;
    });
    for (let n = 0; n < x.length; n++) {
      let sum = 0;
      const first = n - reach + 1;
      for (let i = Math.max(0, -first); i < 2 * reach && first + i < x.length; i++) sum += taps[i] * x[first + i];
      most = Math.max(most, Math.abs(sum));
    }
  }
  return most;
}

/** A kernel like a pickup's: a comb of two taps `distance` samples apart under a resonant, decaying low-pass. */
export function pickupLike(taps: number, distance: number, resonance: number, sampleRate: number): Float32Array {
  const h = new Float32Array(taps);
  const w = (2 * Math.PI * resonance) / sampleRate;
  for (let n = 0; n < taps; n++) {
    const tail = (m: number) => (m < 0 ? 0 : Math.exp(-0.25 * w * m) * Math.sin(0.97 * w * (m + 1)) * w);
    h[n] = tail(n - 16) - 0.9 * tail(n - 16 - distance);
  }
  return h;
}

/** H(f) = Σ h[n] exp(−j2πfn/fs), magnitude. */
export function magnitudeAt(h: ArrayLike<number>, frequency: number, sampleRate: number): number {
  let re = 0;
  let im = 0;
  const w = (2 * Math.PI * frequency) / sampleRate;
  for (let n = 0; n < h.length; n++) {
    re += h[n] * Math.cos(w * n);
    im -= h[n] * Math.sin(w * n);
  }
  return Math.hypot(re, im);
}
