/**
 * Loudness by ITU-R BS.1770-5: K-weighting, mean square in blocks of 400 ms every 100 ms, an absolute gate at −70 LUFS
 * and a relative one 10 LU below what passes it. Loudness range by EBU Tech 3342.
 */
import { amplitudeOfDb, dbOfPower, powerOfDb } from '../decibels.ts';

/** Coefficients of a second-order section, a0 = 1. */
export interface Biquad {
  b: readonly [number, number, number];
  a: readonly [number, number];
}

/** Analogue parameters from which the standard's 48 kHz coefficients come, to 1e-14 (common practice). */
const SHELF = { frequency: 1681.974450955533, gain: 3.999843853973347, q: 0.7071752369554196 };
const HIGH_PASS = { frequency: 38.13547087602444, q: 0.5003270373238773 };

/** The two sections of K-weighting for a sample rate in Hz: a high shelf for the head, a high-pass for low notes. */
export function kWeighting(sampleRate: number): [shelf: Biquad, highPass: Biquad] {
  const k = Math.tan((Math.PI * SHELF.frequency) / sampleRate);
  const high = amplitudeOfDb(SHELF.gain);
  const band = high ** 0.4996667741545416;
  const n = 1 + k / SHELF.q + k * k;
  const shelf: Biquad = {
    b: [(high + (band * k) / SHELF.q + k * k) / n, (2 * (k * k - high)) / n, (high - (band * k) / SHELF.q + k * k) / n],
    a: [(2 * (k * k - 1)) / n, (1 - k / SHELF.q + k * k) / n],
  };
  const h = Math.tan((Math.PI * HIGH_PASS.frequency) / sampleRate);
  const m = 1 + h / HIGH_PASS.q + h * h;
  return [shelf, { b: [1, -2, 1], a: [(2 * (h * h - 1)) / m, (1 - h / HIGH_PASS.q + h * h) / m] }];
}

/** Power gain of K-weighting at each frequency (Hz). */
export function kWeightingPower(frequencies: Float64Array, sampleRate: number): Float64Array {
  const sections = kWeighting(sampleRate);
  return frequencies.map(f => {
    const w = (2 * Math.PI * f) / sampleRate;
    const [c1, s1, c2, s2] = [Math.cos(w), Math.sin(w), Math.cos(2 * w), Math.sin(2 * w)];
    let gain = 1;
    for (const { b, a } of sections) {
      const top = (b[0] + b[1] * c1 + b[2] * c2) ** 2 + (b[1] * s1 + b[2] * s2) ** 2;
      gain *= top / ((1 + a[0] * c1 + a[1] * c2) ** 2 + (a[0] * s1 + a[1] * s2) ** 2);
    }
    return gain;
  });
}

/** What mean square 1 after weighting reads, so that 997 Hz in one channel at full scale reads −3.01. */
const OFFSET = -0.691;
const lufs = (meanSquare: number): number => OFFSET + dbOfPower(meanSquare);
const meanSquareAt = (loudness: number): number => powerOfDb(loudness - OFFSET);

/** Steps of 100 ms in a gating block (400 ms) and in a short-term one (3 s). */
const GATING = 4;
const SHORT_TERM = 30;

/** Channel weights of the standard: 1, and 1.41 for the two surrounds of five channels L R C Ls Rs. */
const weightsFor = (channels: number): number[] =>
  channels === 5 ? [1, 1, 1, 1.41, 1.41] : new Array<number>(channels).fill(1);

/** Weighted mean squares of consecutive 100 ms steps, summed over channels. */
function stepPowers(channels: readonly Float32Array[], sampleRate: number, weights: readonly number[]): Float64Array {
  const length = channels.reduce((most, c) => Math.max(most, c.length), 0);
  const step = sampleRate / 10;
  const steps = Math.floor(length / step);
  const powers = new Float64Array(steps);
  const [shelf, high] = kWeighting(sampleRate);
  const [b0, b1, b2] = shelf.b;
  const [a1, a2] = shelf.a;
  const [c1, c2] = high.a;
  channels.forEach((x, channel) => {
    // Direct form II transposed: two states a section, no delay line to shift.
    let [s1, s2, t1, t2] = [0, 0, 0, 0];
    let i = 0;
    for (let k = 0; k < steps; k++) {
      const from = Math.round(k * step);
      const to = Math.round((k + 1) * step);
      const end = Math.min(to, x.length);
      let sum = 0;
      for (; i < end; i++) {
        const v = x[i];
        const y = b0 * v + s1;
        s1 = b1 * v - a1 * y + s2;
        s2 = b2 * v - a2 * y;
        const z = y + t1;
        t1 = t2 - 2 * y - c1 * z;
        t2 = y - c2 * z;
        sum += z * z;
      }
      powers[k] += (weights[channel] * sum) / (to - from);
    }
  });
  return powers;
}

/** Means over `width` steps, one for each step; of what there is if it is shorter. */
function slidingMeans(steps: Float64Array, width: number): number[] {
  const means: number[] = [];
  for (let k = 0; k + width <= steps.length; k++) {
    let sum = 0;
    for (let i = k; i < k + width; i++) sum += steps[i];
    means.push(sum / width);
  }
  return means;
}

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

/** Mean squares of the standard's gating blocks: 400 ms every 100 ms, K-weighted, summed over channels. */
export const gatingBlocks = (
  channels: readonly Float32Array[],
  sampleRate: number,
  weights: readonly number[] = weightsFor(channels.length),
): number[] => slidingMeans(stepPowers(channels, sampleRate, weights), GATING);

/** Loudness of gating blocks behind an absolute gate in LUFS and the relative one; −∞ where nothing passes. */
export function gatedLoudness(blocks: readonly number[], gate: number): number {
  const absolute = blocks.filter(z => z > meanSquareAt(gate));
  if (absolute.length === 0) return Number.NEGATIVE_INFINITY;
  const relative = mean(absolute) / 10;
  return lufs(mean(absolute.filter(z => z > relative)));
}

/**
 * Integrated loudness in LUFS of channels at full scale 1; −∞ for silence and for less than 400 ms. `weights` are linear
 * power weights for each channel, by default those of the standard.
 */
export const integratedLoudness = (
  channels: readonly Float32Array[],
  sampleRate: number,
  weights?: readonly number[],
): number => gatedLoudness(gatingBlocks(channels, sampleRate, weights), -70);

/** Loudness range in LU: 10th to 95th percentile of 3 s loudness above −70 LUFS and above −20 LU relative. */
export function loudnessRange(channels: readonly Float32Array[], sampleRate: number): number {
  const blocks = slidingMeans(stepPowers(channels, sampleRate, weightsFor(channels.length)), SHORT_TERM);
  const absolute = blocks.filter(z => z >= meanSquareAt(-70));
  if (absolute.length === 0) return 0;
  const relative = mean(absolute) / 100;
  const kept = absolute.filter(z => z >= relative).sort((a, b) => a - b);
  const at = (part: number) => lufs(kept[Math.round((kept.length - 1) * part)]);
  return at(0.95) - at(0.1);
}

/**
 * Loudness in LUFS of a steady sound from its spectrum: `power[k]` is the mean square within the k-th frequency (so a sine
 * of amplitude 1 has 0.5 there). No gates.
 */
export function steadyLoudness(frequencies: Float64Array, power: Float64Array, sampleRate: number): number {
  const gains = kWeightingPower(frequencies, sampleRate);
  return lufs(power.reduce((sum, p, i) => sum + p * gains[i], 0));
}
