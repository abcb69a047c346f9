/**
 * A single note taken apart: where it starts, fundamental and inharmonicity, and the level of every partial.
 *
 * Partials are followed from the lowest up: each new one is looked for where the fit so far has it, and (f_n/n)² =
 * f0² (1 + B n²) is fitted anew by weighted least squares, so stiffness drops out of the partial numbers.
 */

import { powerOfTwo, RealFft } from '../../audio/fft.ts';
import { magnitudes } from '../../complex.ts';
import { amplitudeOfDb, dbOfAmplitude } from '../../decibels.ts';
import { partial } from '../../string/stiff.ts';

export interface NoteHint {
  /** Expected fundamental, Hz; null: found from the signal. */
  pitch: number | null;
  /** Expected inharmonicity coefficient of the sounding length; null: unknown. */
  inharmonicity: number | null;
}

export interface NotePartials {
  /** Where the note starts, s. */
  onset: number;
  /** Fundamental without stiffness, Hz. */
  f0: number;
  B: number;
  /** Level of partials 1, 2, …, dB. */
  level: Float64Array;
  /** Level of what is no partial, beside each, dB. */
  floor: Float64Array;
}

export class NoteError extends Error {
  override name = 'NoteError';
}

const TOO_SHORT = 'the note is too short: at least five periods are needed';
/** Highest partial looked at, and highest frequency: beyond, partials of most pickups drown. */
const MOST = 48;
const HIGHEST = 9000;
/** Times after the onset at which the analysis may begin: the pluck itself is over; a hard one rattles for longer, s. */
const SETTLES = [4e-3, 20e-3, 40e-3];
/** A later beginning loses high partials of its own; it must show this much more than an earlier one. */
const MORE = 1.25;
/** Inharmonicity from which partials are followed when none is known: plain, wound, stopped high up on a bass. */
const STIFFNESSES = [5e-5, 2e-5, 2e-4, 6e-4];

/** Start of the loudest note: where the differenced signal first comes near its greatest short-time energy, s. */
export const findOnset = (x: Float32Array, sampleRate: number): number => {
  const frame = Math.max(8, Math.round(1e-3 * sampleRate));
  const energy: number[] = [];
  for (let i = 1; i + frame <= x.length; i += frame) {
    let sum = 0;
    for (let j = i; j < i + frame; j++) sum += (x[j] - x[j - 1]) ** 2;
    energy.push(sum);
  }
  const most = Math.max(0, ...energy);
  if (!(most > 0)) throw new NoteError('there is silence only; a single note is needed');
  return (energy.findIndex(e => e > 0.1 * most) * frame) / sampleRate;
};

/**
 * Fundamental by the normalised square difference of the first quarter second (P. McLeod and G. Wyvill, ICMC 2005): the
 * first peak that comes near the greatest one, Hz.
 */
export const coarsePitch = (x: Float32Array, sampleRate: number): number => {
  const length = Math.min(x.length, Math.round(0.25 * sampleRate));
  const longest = Math.min(Math.floor(length / 2), Math.round(sampleRate / 25));
  const shortest = Math.round(sampleRate / 1500);
  if (longest < shortest + 2) throw new NoteError(TOO_SHORT);
  const window = length - longest;
  // Σ x(i) x(i + lag) over the window by way of spectra: i + lag stays below `length`, so nothing wraps round.
  const fft = new RealFft(powerOfTwo(length));
  const [all, head] = [fft.spectrum(), fft.spectrum()];
  fft.forward(all, x.subarray(0, length));
  fft.forward(head, x.subarray(0, window));
  const crossed = fft.spectrum();
  for (let k = 0; k < fft.bins; k++) {
    crossed.re[k] = head.re[k] * all.re[k] + head.im[k] * all.im[k];
    crossed.im[k] = head.re[k] * all.im[k] - head.im[k] * all.re[k];
  }
  const products = new Float64Array(fft.size);
  fft.inverse(products, crossed);
  const energyTo = new Float64Array(length + 1);
  for (let i = 0; i < length; i++) energyTo[i + 1] = energyTo[i] + x[i] * x[i];
  const nsdf = Float64Array.from(
    { length: longest },
    (_, lag) => (2 * products[lag]) / (1e-30 + energyTo[window] + energyTo[lag + window] - energyTo[lag]),
  );
  const peaks: number[] = [];
  for (let lag = shortest; lag + 1 < longest; lag++)
    if (nsdf[lag] > nsdf[lag - 1] && nsdf[lag] >= nsdf[lag + 1] && nsdf[lag] > 0) peaks.push(lag);
  const best = Math.max(0, ...peaks.map(lag => nsdf[lag]));
  const found = peaks.find(lag => nsdf[lag] > 0.9 * best);
  if (found === undefined || best < 0.5)
    throw new NoteError('no steady pitch was found; a single clean note is needed');
  const [a, b, c] = [nsdf[found - 1], nsdf[found], nsdf[found + 1]];
  return sampleRate / (found + (0.5 * (a - c)) / (a - 2 * b + c));
};

interface PieceSpectrum {
  magnitude: Float64Array;
  /** Hz. */
  perBin: number;
  strongest: number;
}

/**
 * Magnitude spectrum of the beginning of a note from sample `from` on, Hann-windowed, zero-padded at least fourfold.
 * @throws NoteError when there are fewer than five periods
 */
const spectrumOf = (x: Float32Array, from: number, sampleRate: number, pitch: number): PieceSpectrum => {
  const length = Math.min(x.length - from, Math.round(Math.max(0.3, 14 / pitch) * sampleRate));
  if (length * pitch < 5 * sampleRate) throw new NoteError(TOO_SHORT);
  const size = powerOfTwo(4 * length);
  const fft = new RealFft(size);
  const piece = new Float64Array(size);
  for (let i = 0; i < length; i++) piece[i] = (x[from + i] ?? 0) * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length));
  const spectrum = fft.spectrum();
  fft.forward(spectrum, piece);
  const magnitude = magnitudes(spectrum);
  return { magnitude, perBin: sampleRate / size, strongest: magnitude.reduce((most, v) => Math.max(most, v), 0) };
};

/** Frequency and height of the greatest peak within `span` Hz of `f`, by a parabola through log magnitudes; null: none. */
const peakNear = (magnitude: Float64Array, perBin: number, f: number, span: number): [number, number] | null => {
  const low = Math.max(1, Math.ceil((f - span) / perBin));
  const high = Math.min(magnitude.length - 2, Math.floor((f + span) / perBin));
  let best = -1;
  for (let i = low; i <= high; i++)
    if (
      magnitude[i] >= magnitude[i - 1] &&
      magnitude[i] > magnitude[i + 1] &&
      (best < 0 || magnitude[i] > magnitude[best])
    )
      best = i;
  if (best < 0) return null;
  const [a, b, c] = [best - 1, best, best + 1].map(i => Math.log(magnitude[i] + 1e-300));
  const curve = a - 2 * b + c;
  const shift = curve < 0 ? (0.5 * (a - c)) / curve : 0;
  return [(best + shift) * perBin, Math.exp(b - 0.25 * (a - c) * shift)];
};

interface Found {
  n: number;
  f: number;
  weight: number;
}

/** Least squares of (f_n/n)² = u + v n²; B is held at `guess` (weakly) while few partials are known. */
const fitStiff = (found: readonly Found[], guess: number): { f0: number; B: number } => {
  let [s0, s1, s2, t0, t1] = [0, 0, 0, 0, 0];
  for (const { n, f, weight } of found) {
    // An error of one unit of f is an error of 2 f/n² here.
    const w = weight * ((n * n) / f) ** 2;
    const [x, y] = [n * n, (f / n) ** 2];
    s0 += w;
    s1 += w * x;
    s2 += w * x * x;
    t0 += w * y;
    t1 += w * x * y;
  }
  const determinant = s0 * s2 - s1 * s1;
  if (found.length < 5 || determinant <= 1e-12 * s0 * s2) {
    const u = found.reduce((sum, { n, f, weight }) => sum + (weight * (f / n) ** 2) / (1 + guess * n * n), 0);
    return { f0: Math.sqrt(u / found.reduce((sum, { weight }) => sum + weight, 0)), B: guess };
  }
  const u = (t0 * s2 - t1 * s1) / determinant;
  const v = (s0 * t1 - s1 * t0) / determinant;
  return { f0: Math.sqrt(u), B: Math.min(0.02, Math.max(0, v / u)) };
};

/** f0 and B of the note in `x` from sample `from` on. */
export const fitPartials = (
  x: Float32Array,
  from: number,
  sampleRate: number,
  hint: NoteHint,
): { f0: number; B: number } => {
  const pitch = hint.pitch ?? coarsePitch(x.subarray(from), sampleRate);
  return follow(spectrumOf(x, from, sampleRate, pitch), sampleRate, pitch, hint.inharmonicity ?? STIFFNESSES[0]);
};

/** f0 and B from the partials of a spectrum, followed from `pitch` up along a guess of B. */
const follow = (
  { magnitude, perBin, strongest }: PieceSpectrum,
  sampleRate: number,
  pitch: number,
  guess: number,
): { f0: number; B: number } => {
  let [f0, B] = [pitch, guess];
  let found: Found[] = [];
  for (let n = 1; n <= MOST; n++) {
    const f = partial({ f0, B }, n);
    if (f > Math.min(HIGHEST, 0.45 * sampleRate)) break;
    const span = n === 1 ? 0.06 * pitch : Math.min(0.3 * pitch, 0.04 * pitch + 0.0015 * f);
    const peak = peakNear(magnitude, perBin, f, span);
    if (!peak || peak[1] < amplitudeOfDb(-65) * strongest) continue;
    // Beside the peak there must be less: a partial, not noise.
    const beside = Math.max(...[-0.45, 0.45].map(d => magnitude[Math.round((peak[0] + d * pitch) / perBin)] ?? 0));
    if (peak[1] < 4 * beside) continue;
    found.push({ n, f: peak[0], weight: Math.min(1, (peak[1] / strongest) * 30) });
    ({ f0, B } = fitStiff(found, guess));
  }
  if (found.length < 3)
    throw new NoteError('fewer than three partials stand out; a louder, cleaner single note is needed');
  // Once more without what lies off the curve.
  for (let round = 0; round < 2; round++) {
    const errors = found.map(({ n, f }) => Math.abs(f - partial({ f0, B }, n)));
    const middle = [...errors].sort((a, b) => a - b)[Math.floor(errors.length / 2)];
    const kept = found.filter((_, i) => errors[i] <= Math.max(5 * middle, 0.05));
    if (kept.length < 3) break;
    found = kept;
    ({ f0, B } = fitStiff(found, guess));
  }
  return { f0, B };
};

/** A partial is heard when it stands this far above what lies between partials, dB. */
const CLEAR = 10;

/** Number of partials until they drown: from there on fewer than half of the next six stand out. */
const audible = (level: readonly number[], floor: readonly number[]): number => {
  const clear = level.map((v, i) => v - floor[i] > CLEAR);
  for (let n = 0; n < clear.length; n++) {
    const next = clear.slice(n, n + 6);
    if (next.filter(Boolean).length < next.length / 2) return n;
  }
  return clear.length;
};

/** Levels of the partials of a note of known f0 and B, and between them, from sample `from` on, until they drown. */
const levelsFrom = (x: Float32Array, from: number, sampleRate: number, f0: number, B: number) => {
  // Eight periods hold neighbours apart; longer would lose the high partials, which die first.
  const length = Math.min(x.length - from, Math.round(Math.max(0.06, 8 / f0) * sampleRate));
  const windowed = new Float64Array(length);
  let total = 0;
  for (let i = 0; i < length; i++) {
    const window = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length);
    windowed[i] = window * x[from + i];
    total += window;
  }
  const dbAt = (f: number): number => {
    const [c, s] = [Math.cos((2 * Math.PI * f) / sampleRate), Math.sin((2 * Math.PI * f) / sampleRate)];
    let [re, im, pc, ps] = [0, 0, 1, 0];
    for (let i = 0; i < length; i++) {
      re += windowed[i] * pc;
      im += windowed[i] * ps;
      const next = pc * c - ps * s;
      ps = pc * s + ps * c;
      pc = next;
    }
    return dbOfAmplitude((2 * Math.hypot(re, im)) / total + 1e-15);
  };
  const level: number[] = [];
  const floor: number[] = [];
  let below = dbAt(partial({ f0, B }, 0.5));
  for (let n = 1; n <= MOST; n++) {
    const f = partial({ f0, B }, n);
    if (f > Math.min(HIGHEST, 0.45 * sampleRate)) break;
    const above = dbAt(partial({ f0, B }, n + 0.5));
    level.push(dbAt(f));
    floor.push(Math.min(below, above));
    below = above;
  }
  const count = audible(level, floor);
  return { level: Float64Array.from(level.slice(0, count)), floor: Float64Array.from(floor.slice(0, count)) };
};

/**
 * Onset, f0, B and the levels of the partials of the loudest note in `x`: of the beginnings and stiffnesses tried, the one
 * under which most partials stand out.
 * @throws NoteError with a sentence
 */
export const notePartials = (x: Float32Array, sampleRate: number, hint: NoteHint): NotePartials => {
  const onset = findOnset(x, sampleRate);
  const starts = hint.inharmonicity === null ? STIFFNESSES : [hint.inharmonicity, ...STIFFNESSES];
  let best: NotePartials | null = null;
  let refusal: unknown;
  for (const settle of SETTLES) {
    const from = Math.round((onset + settle) * sampleRate);
    let here: NotePartials | null = null;
    try {
      const pitch = hint.pitch ?? coarsePitch(x.subarray(from), sampleRate);
      const spectrum = spectrumOf(x, from, sampleRate, pitch);
      for (const inharmonicity of starts) {
        const { f0, B } = follow(spectrum, sampleRate, pitch, inharmonicity);
        if (here && Math.abs(here.f0 / f0 - 1) < 1e-4 && Math.abs(here.B - B) < 0.01 * B) continue;
        const found = { onset, f0, B, ...levelsFrom(x, from, sampleRate, f0, B) };
        if (!here || found.level.length > here.level.length) here = found;
      }
    } catch (error) {
      if (!(error instanceof NoteError)) throw error;
      refusal ??= error;
      continue;
    }
    if (here && (!best || here.level.length > MORE * best.level.length)) best = here;
  }
  if (!best) throw refusal;
  return best;
};
