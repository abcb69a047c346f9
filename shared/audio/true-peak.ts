/**
 * True peak: the highest level between the samples too, from four-fold oversampling (ITU-R BS.1770-5, annex 2); two-fold
 * from 96 kHz, none from 192 kHz.
 */
import { besselI0 } from './resample.ts';

const TAPS = 24;
/** Kaiser window of about 70 dB. */
const BETA = 6.76;

/** Row p: values at p/factor of a sample after the middle; the row of the samples themselves is left out. */
function between(factor: number): Float64Array[] {
  return Array.from({ length: factor - 1 }, (_, p) => {
    const row = new Float64Array(TAPS);
    let sum = 0;
    for (let i = 0; i < TAPS; i++) {
      const t = (p + 1) / factor + TAPS / 2 - 1 - i;
      const r = t / (TAPS / 2);
      const window = besselI0(BETA * Math.sqrt(Math.max(0, 1 - r * r))) / besselI0(BETA);
      sum += row[i] = (window * Math.sin(Math.PI * t)) / (Math.PI * t);
    }
    return row.map(v => v / sum);
  });
}

const rows = new Map<number, Float64Array[]>();

/** Places between samples that are looked at, or passed over, together. */
const STRETCH = 32;

/** True peak of all channels, linear; 1 is full scale. */
export function truePeak(channels: readonly Float32Array[], sampleRate: number): number {
  const factor = sampleRate < 96000 ? 4 : sampleRate < 192000 ? 2 : 1;
  let phases = rows.get(factor);
  if (!phases) rows.set(factor, (phases = between(factor)));
  // no value between samples exceeds the largest of those it is made of by more than this
  const most = Math.max(0, ...phases.map(row => row.reduce((sum, v) => sum + Math.abs(v), 0)));
  let peak = 0;
  for (const x of channels) peak = Math.max(peak, largest(x, 0, x.length));
  const near = new Float64Array(STRETCH + TAPS - 1);
  for (const x of channels) {
    for (let first = 1 - TAPS / 2; first + TAPS / 2 <= x.length; first += STRETCH) {
      const from = Math.max(0, first);
      const to = Math.min(x.length, first + near.length);
      if (largest(x, from, to) * most <= peak) continue;
      near.fill(0);
      for (let i = from; i < to; i++) near[i - first] = x[i];
      for (const row of phases) peak = Math.max(peak, largestBetween(near, row));
    }
  }
  return peak;
}

/** The largest size of what a row makes of the samples of a stretch; four sums at once, since each waits for its last. */
function largestBetween(near: Float64Array, row: Float64Array): number {
  let most = 0;
  for (let at = 0; at < STRETCH; at += 4) {
    let [a, b, c, d] = [0, 0, 0, 0];
    for (let i = 0; i < TAPS; i++) {
      const v = row[i];
      a += near[at + i] * v;
      b += near[at + i + 1] * v;
      c += near[at + i + 2] * v;
      d += near[at + i + 3] * v;
    }
    most = Math.max(most, Math.abs(a), Math.abs(b), Math.abs(c), Math.abs(d));
  }
  return most;
}

/** The largest size of x[from … to). */
function largest(x: Float32Array, from: number, to: number): number {
  let most = 0;
  for (let i = from; i < to; i++) {
    const size = Math.abs(x[i]);
    if (size > most) most = size;
  }
  return most;
}
