/**
 * Change of sample rate by a polyphase windowed sinc: Kaiser window of 125 dB (J. F. Kaiser, "Nonrecursive digital filter
 * design using the I0-sinh window function", Proc. IEEE ISCAS, 1974), flat to 0.9 of the lower rate's Nyquist frequency
 * and closed at it, so nothing folds. Zero delay: sample 0 stays at time 0.
 */

/** dB, of images and aliases against the signal. */
const REJECTION = 125;
/** Passband edge as a part of the lower rate's Nyquist frequency. */
const PASS = 0.9;
/** Most table entries for phases held exactly; odd ratios interpolate between two of a finer table instead. */
const EXACT_ENTRIES = 400_000;
/** Phases a sample of the lower rate in that table: straight lines between them err by less than −130 dB. */
const FINE_PHASES = 8192;

interface Phases {
  /** Phases; row p holds the taps for a fraction p/count of an input sample. */
  count: number;
  rows: Float64Array;
}

const tables = new Map<string, Phases>();

/** `input` at rate `from` (Hz) as it would have been sampled at rate `to`; length input.length·to/from, rounded. */
export function resample(input: Float32Array, from: number, to: number): Float32Array {
  for (const rate of [from, to]) {
    if (!Number.isInteger(rate) || rate < 1) throw new RangeError(`a sample rate is a whole number of Hz, got ${rate}`);
  }
  if (from === to) return input.slice();
  const common = gcd(from, to);
  const up = to / common;
  const down = from / common;
  const limit = Math.min(1, to / from);
  const taps = tapsFor(limit);
  const exact = up * taps <= EXACT_ENTRIES;
  const { count, rows } = phases(limit, exact ? up : Math.ceil(FINE_PHASES * limit));
  const length = Math.round((input.length * to) / from);
  const out = new Float32Array(length);
  const half = taps / 2;
  // Time of output n is n·down/up input samples: whole part and remainder, kept as integers so that no error grows.
  let whole = 0;
  let rest = 0;
  for (let n = 0; n < length; n++) {
    const first = whole - half + 1;
    const start = Math.max(0, -first);
    const end = Math.min(taps, input.length - first);
    let sum = 0;
    if (exact) {
      const row = rest * taps;
      for (let i = start; i < end; i++) sum += input[first + i] * rows[row + i];
    } else {
      const place = (rest / up) * count;
      const p = Math.floor(place);
      const mix = place - p;
      const row = p * taps;
      for (let i = start; i < end; i++) {
        const a = rows[row + i];
        sum += input[first + i] * (a + mix * (rows[row + taps + i] - a));
      }
    }
    out[n] = sum;
    whole += Math.floor(down / up);
    rest += down % up;
    if (rest >= up) {
      rest -= up;
      whole++;
    }
  }
  return out;
}

function phases(limit: number, count: number): Phases {
  const key = `${limit}/${count}`;
  let table = tables.get(key);
  if (!table) tables.set(key, (table = makePhases(limit, count)));
  return table;
}

/** Taps at input spacing for a band limit at `limit` of the input's Nyquist frequency (Kaiser's estimate). */
const tapsFor = (limit: number): number =>
  2 * Math.ceil(((REJECTION - 7.95) / (2.285 * Math.PI * limit * (1 - PASS)) + 1) / 2);

function makePhases(limit: number, count: number): Phases {
  const taps = tapsFor(limit);
  const beta = 0.1102 * (REJECTION - 8.7);
  const cutoff = (limit * (1 + PASS)) / 2;
  const half = taps / 2;
  const full = besselI0(beta);
  // One row more than there are phases, so that interpolation finds its upper neighbour.
  const rows = new Float64Array((count + 1) * taps);
  for (let p = 0; p <= count; p++) {
    let sum = 0;
    for (let i = 0; i < taps; i++) {
      const t = p / count + half - 1 - i;
      const r = t / half;
      const window = Math.abs(r) >= 1 ? 0 : besselI0(beta * Math.sqrt(1 - r * r)) / full;
      sum += rows[p * taps + i] = window * sinc(cutoff * t);
    }
    for (let i = 0; i < taps; i++) rows[p * taps + i] /= sum;
  }
  return { count, rows };
}

const sinc = (x: number): number => (x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x));
const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

/** Modified Bessel function of the first kind, order 0, by its power series. */
export function besselI0(x: number): number {
  const q = (x * x) / 4;
  let term = 1;
  let sum = 1;
  for (let n = 1; term > sum * 1e-17; n++) sum += term *= q / (n * n);
  return sum;
}
