/**
 * One plucked note as the force of the string on the bridge, by modal synthesis.
 *
 * Each mode of the pinned stiff string is a damped oscillator driven by the pluck, a force f(t) spread over a short
 * stretch of string at x:  q̈ + (2/τ) q̇ + ω² q = 2/(μL) sin(kx) W(k) f(t).  The force pulls the string aside slowly,
 * then leaves along a raised cosine. While it acts, the oscillator is advanced exactly for a force that is linear
 * between samples; afterwards it rings freely by a two-term recursion. Force on the bridge: Σ k(T + EI k²) q.
 *
 * The string moves in two directions. Their axes lie near, not on, the normal and the parallel of the body, with end
 * supports that differ a little, so one pluck excites two slightly detuned modes of different decay, both of which have a
 * part in the normal force. Deterministic; no mode above `TOP` of the sample rate, so nothing aliases.
 */
import { forcedAmplitude, widthFactor } from '../string/pluck.ts';
import { partial, type StringModel } from '../string/stiff.ts';
import { type Losses, timeConstant } from './losses.ts';

/** Highest mode, as a share of the sample rate. */
export const TOP = 0.46;
/** A mode ends when it has fallen to this share of the pluck force. */
const FLOOR = 1e-6;

/** How the second direction of motion differs. */
export interface Polarisation {
  /** Share of the normal bridge force that belongs to it, 0 to 1. */
  share: number;
  /** Relative detuning. */
  detune: number;
  /** Its time constants against those of the first. */
  decay: number;
}

export interface Pluck {
  fret: number;
  /** Place, m from the saddle. */
  at: number;
  /** Force, N. */
  force: number;
  /** Length of string touched, m. */
  width: number;
  /** Time in which the force leaves, s. */
  release: number;
  /** Time in which the string is drawn aside, s. */
  pull: number;
  second: Polarisation;
}

/** The pluck's force against time from first contact, 0 to 1: half a raised cosine up, another down. */
export const pluckForce = (t: number, pull: number, release: number): number => {
  if (t <= 0 || t >= pull + release) return 0;
  if (t < pull) return 0.5 - 0.5 * Math.cos((Math.PI * t) / pull);
  return 0.5 + 0.5 * Math.cos((Math.PI * (t - pull)) / release);
};

/** A ringing mode: y[i] = a y[i−1] − b y[i−2], the first two values, and how many samples it lasts. */
interface Ringing {
  a: number;
  b: number;
  y0: number;
  y1: number;
  length: number;
}

/**
 * Adds one direction of one mode while the pluck acts, and returns how it rings on.
 * `force` holds f(t) at the samples 0…acting; `gain` is bridge force per unit of ∫ e^(st) f dt.
 */
const drive = (
  out: Float64Array,
  force: Float64Array,
  omega: number,
  tau: number,
  gain: number,
  sampleRate: number,
): Ringing => {
  const h = 1 / sampleRate;
  const decay = Math.exp(-h / tau);
  const [er, ei] = [decay * Math.cos(omega * h), decay * Math.sin(omega * h)];
  // φ1 = (e^z − 1)/z and φ2 = (e^z − 1 − z)/z², z = sh: exact weights of a force linear between samples.
  const [zr, zi] = [-h / tau, omega * h];
  const norm = zr * zr + zi * zi;
  const p1r = ((er - 1) * zr + ei * zi) / norm;
  const p1i = (ei * zr - (er - 1) * zi) / norm;
  const p2r = ((p1r - 1) * zr + p1i * zi) / norm;
  const p2i = (p1i * zr - (p1r - 1) * zi) / norm;
  let [re, im] = [0, 0];
  const acting = force.length - 1;
  const scale = gain * h;
  for (let i = 0; i < acting; i++) {
    const now = force[i] * scale;
    const step = (force[i + 1] - force[i]) * scale;
    const next = re * er - im * ei + now * p1r + step * p2r;
    im = re * ei + im * er + now * p1i + step * p2i;
    re = next;
    if (i + 1 < out.length) out[i + 1] += im;
  }
  const size = Math.hypot(re, im);
  return {
    a: 2 * er,
    b: decay * decay,
    y0: im,
    y1: re * ei + im * er,
    length: size > FLOOR ? Math.ceil(Math.log(size / FLOOR) * tau * sampleRate) : 0,
  };
};

/** Adds ringing modes to `out` from sample `from` on (whose value is already there), four at a time. */
const ring = (out: Float64Array, modes: Ringing[], from: number): void => {
  modes.sort((p, q) => q.length - p.length);
  const silent: Ringing = { a: 0, b: 0, y0: 0, y1: 0, length: 0 };
  for (let m = 0; m < modes.length; m += 4) {
    const [p, q, r, s] = [modes[m], modes[m + 1] ?? silent, modes[m + 2] ?? silent, modes[m + 3] ?? silent];
    const end = Math.min(out.length, from + p.length);
    let [p0, p1, q0, q1, r0, r1, s0, s1] = [p.y0, p.y1, q.y0, q.y1, r.y0, r.y1, s.y0, s.y1];
    const [pa, pb, qa, qb, ra, rb, sa, sb] = [p.a, p.b, q.a, q.b, r.a, r.b, s.a, s.b];
    for (let i = from + 1; i < end; i++) {
      out[i] += p1 + q1 + (r1 + s1);
      const p2 = pa * p1 - pb * p0;
      const q2 = qa * q1 - qb * q0;
      const r2 = ra * r1 - rb * r0;
      const s2 = sa * s1 - sb * s0;
      p0 = p1;
      q0 = q1;
      r0 = r1;
      s0 = s1;
      p1 = p2;
      q1 = q2;
      r1 = r2;
      s1 = s2;
    }
  }
};

/** Samples from first contact until the string is let go (the middle of the release). */
export const contactSamples = (pluck: Pluck, sampleRate: number): number =>
  Math.round((pluck.pull + pluck.release / 2) * sampleRate);

/**
 * Normal force on the bridge of one note from the pluck's first contact on, N.
 * @param length samples
 * @param sampleRate Hz
 */
export const pluckedNote = (
  s: StringModel,
  losses: Losses,
  pluck: Pluck,
  length: number,
  sampleRate: number,
): Float64Array => {
  const out = new Float64Array(length);
  const speaking = s.length * 2 ** (-pluck.fret / 12);
  // A pluck beyond the middle of what is left of the string stays on it.
  const at = Math.min(pluck.at, 0.9 * speaking);
  const acting = Math.ceil((pluck.pull + pluck.release) * sampleRate);
  const force = Float64Array.from({ length: acting + 1 }, (_, i) =>
    pluckForce(i / sampleRate, pluck.pull, pluck.release),
  );
  const modes: Ringing[] = [];
  for (let n = 1; ; n++) {
    const f = partial(s, n, pluck.fret);
    if (f > TOP * sampleRate) break;
    const k = (n * Math.PI) / speaking;
    const omega = 2 * Math.PI * f;
    // Bridge force of the mode drawn aside by the whole force; times ω it is the gain per ∫ f dt.
    const still =
      k *
      (s.tension + s.bending * k * k) *
      forcedAmplitude(s, speaking, k, at, pluck.force) *
      widthFactor(k, pluck.width);
    const tau = timeConstant(s, losses, omega, k);
    const { share, detune, decay } = pluck.second;
    modes.push(drive(out, force, omega, tau, (1 - share) * still * omega, sampleRate));
    if (share > 0) {
      const other = omega * (1 + detune);
      modes.push(drive(out, force, other, tau * decay, share * still * other, sampleRate));
    }
  }
  ring(out, modes, acting);
  return out;
};
