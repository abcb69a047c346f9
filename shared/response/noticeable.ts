/** What listeners just notice: limits below which a difference is probably not heard, each with its source. Pure. */
import { dbOfPower, powerOfDb } from '../decibels.ts';

/**
 * Difference in level that is just noticed, dB: a Weber fraction of −10 dB for broadband sound above 30 dB SPL,
 * 10 log10(1 + 0.1) (Handbook for Sound Engineers, 3.8.6).
 */
export const LEVEL_STEP = dbOfPower(1 + powerOfDb(-10));

/**
 * Change in one of the ear's bands that is just noticed, dB of excitation (Zwicker and Fastl, Psychoacoustics, chapter 7:
 * variations are heard once the excitation changes by 1 dB somewhere; from memory).
 */
export const BAND_STEP = 1;

/** Width of the ear's band around `f`, Hz: ERB = 24.7 (4.37 f/1000 + 1) (Glasberg and Moore, Hearing Research 47, 1990). */
export const auditoryBand = (f: number): number => 24.7 * ((4.37 * f) / 1000 + 1);

/** Whether a change reaches a limit as both are shown, with one decimal: nothing that reads as the limit is below it. */
export const reaches = (change: number, limit: number): boolean =>
  Math.round(Math.abs(change) * 10) >= Math.round(limit * 10);

/** Range of the measurements behind `resonanceStep`. */
export const RESONANCE_MEASURED = { frequency: [300, 2000], q: [1, 36] } as const;

/**
 * Shift of a resonance that is just noticed, Hz: ΔF = 0.079 F/√Q (Gagné and Zurek, JASA 83, 1988). Measured from 300 to
 * 2000 Hz and for Q from 1 to 36; an extrapolation elsewhere.
 */
export const resonanceStep = (frequency: number, q: number): number => (0.079 * frequency) / Math.sqrt(q);

/**
 * Quality factor of a second-order low-pass whose peak stands `height` dB above its level at low frequencies:
 * the root of height = Q/√(1 − 1/(4Q²)); 1/√2 where there is no peak.
 */
export function qOfHeight(height: number): number {
  const square = powerOfDb(Math.max(0, height));
  return Math.sqrt((square + Math.sqrt(square * square - square)) / 2);
}

/** A resonance and how far it stands over the low frequencies. */
export interface Peak {
  /** Hz. */
  resonance: number;
  /** dB. */
  peak: number;
}

/**
 * By how many times what is just noticed two resonances lie apart, whichever is looked at first: the limit is that of a
 * resonance half way between them. `extrapolated`: the measurements behind it do not reach so far.
 */
export function resonanceShift(a: Peak, b: Peak): { times: number; extrapolated: boolean } {
  const step = resonanceStep((a.resonance + b.resonance) / 2, qOfHeight((a.peak + b.peak) / 2));
  const [low, high] = RESONANCE_MEASURED.frequency;
  return {
    times: Math.abs(b.resonance - a.resonance) / step,
    extrapolated: [a, b].some(one => one.resonance < low || one.resonance > high),
  };
}
