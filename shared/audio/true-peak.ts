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

/** True peak of all channels, linear; 1 is full scale. */
export function truePeak(channels: readonly Float32Array[], sampleRate: number): number {
  const factor = sampleRate < 96000 ? 4 : sampleRate < 192000 ? 2 : 1;
  let phases = rows.get(factor);
  if (!phases) rows.set(factor, (phases = between(factor)));
  let peak = 0;
  for (const x of channels) {
    for (let i = 0; i < x.length; i++) peak = Math.max(peak, Math.abs(x[i]));
  }
  for (const x of channels) {
    for (let n = 0; n + 1 - TAPS / 2 < x.length; n++) {
      const first = n - TAPS / 2 + 1;
      // A value between samples exceeds the larger neighbour's size by little; far below the peak it cannot matter.
      if (Math.abs(x[n] ?? 0) < peak / 4 && Math.abs(x[n + 1] ?? 0) < peak / 4) continue;
      const start = Math.max(0, -first);
      const end = Math.min(TAPS, x.length - first);
      for (const row of phases) {
        let sum = 0;
        for (let i = start; i < end; i++) sum += x[first + i] * row[i];
        peak = Math.max(peak, Math.abs(sum));
      }
    }
  }
  return peak;
}
