/**
 * One plucked note as the force of the string on the bridge, by modal synthesis.
 *
 * Each mode of the pinned stiff string is a damped oscillator driven by the pluck, a force f(t) spread over a short
 * stretch of string at x:  q̈ + (2/τ) q̇ + ω² q = 2/(μL) sin(kx) W(k) f(t).  The force pulls the string aside slowly,
 * then leaves along a raised cosine. While it acts the oscillator's exact solution is used; afterwards it rings freely by a
 * two-term recursion. Force on the bridge: Σ k(T + EI k²) q.
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
/** A mode ends when it has fallen to this force, N. */
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

/** A ringing mode: y[i] = a y[i−1] − b y[i−2], the first two values, and how many samples it lasts. */
interface Ringing {
  a: number;
  b: number;
  y0: number;
  y1: number;
  length: number;
}

/** One ramp of the pluck's force, ½ ± ½ cos(Ωt), with its cosine and sine at the samples that fall into it. */
interface Ramp {
  /** −1 rising, 1 falling. */
  sign: number;
  /** Ω, rad/s. */
  rate: number;
  duration: number;
  /** Time of its first sample after its start, s. */
  offset: number;
  cos: Float64Array;
  sin: Float64Array;
}

const ramp = (sign: number, start: number, duration: number, sampleRate: number): Ramp => {
  const rate = Math.PI / duration;
  const first = Math.ceil(start * sampleRate);
  const count = Math.ceil((start + duration) * sampleRate) - first;
  const at = (i: number) => rate * ((first + i) / sampleRate - start);
  return {
    sign,
    rate,
    duration,
    offset: first / sampleRate - start,
    cos: Float64Array.from({ length: count }, (_, i) => Math.cos(at(i))),
    sin: Float64Array.from({ length: count }, (_, i) => Math.sin(at(i))),
  };
};

/**
 * Adds one direction of one mode while the pluck acts, and returns how it rings on. Exact: with s = −1/τ + jω the
 * oscillator z′ = s z + g (½ ± ½ cos Ωt) is solved by −g/2s ± (g/2)(−s cos Ωt + Ω sin Ωt)/(s² + Ω²) + h e^(st); its
 * displacement is Im z. `gain` is bridge force per unit of ∫ e^(st) f dt.
 */
const drive = (
  out: Float64Array,
  ramps: readonly Ramp[],
  omega: number,
  tau: number,
  gain: number,
  sampleRate: number,
): Ringing => {
  const sr = -1 / tau;
  const decay = Math.exp(sr / sampleRate);
  const er = decay * Math.cos(omega / sampleRate);
  const ei = decay * Math.sin(omega / sampleRate);
  // −g/2s
  const square = sr * sr + omega * omega;
  const stillRe = (-gain * sr) / (2 * square);
  const stillIm = (gain * omega) / (2 * square);
  let [zr, zi] = [0, 0];
  let index = 0;
  let rest = 0;
  for (const { sign, rate, duration, offset, cos, sin } of ramps) {
    // ±(g/2)/(s² + Ω²), then times −s for the cosine and Ω for the sine.
    const [dr, di] = [sr * sr - omega * omega + rate * rate, 2 * sr * omega];
    const size = (sign * gain) / (2 * (dr * dr + di * di));
    const [qr, qi] = [dr * size, -di * size];
    const [cosRe, cosIm] = [-(qr * sr - qi * omega), -(qr * omega + qi * sr)];
    const sinIm = qi * rate;
    // What the smooth part does not account for at the ramp's start rings freely.
    const [hr, hi] = [zr - stillRe - cosRe, zi - stillIm - cosIm];
    const lead = Math.exp(sr * offset);
    let re = lead * (hr * Math.cos(omega * offset) - hi * Math.sin(omega * offset));
    let im = lead * (hr * Math.sin(omega * offset) + hi * Math.cos(omega * offset));
    for (let i = 0; i < cos.length; i++, index++) {
      if (index < out.length) out[index] += stillIm + cosIm * cos[i] + sinIm * sin[i] + im;
      const next = re * er - im * ei;
      im = re * ei + im * er;
      re = next;
    }
    // At its end the cosine is −1.
    const fall = Math.exp(sr * duration);
    const [c, d] = [fall * Math.cos(omega * duration), fall * Math.sin(omega * duration)];
    zr = stillRe - cosRe + hr * c - hi * d;
    zi = stillIm - cosIm + hr * d + hi * c;
    rest = offset + cos.length / sampleRate - duration;
  }
  // From the end of the pluck to the next sample.
  const wait = Math.exp(sr * rest);
  const y0r = wait * (zr * Math.cos(omega * rest) - zi * Math.sin(omega * rest));
  const y0 = wait * (zr * Math.sin(omega * rest) + zi * Math.cos(omega * rest));
  const size = Math.hypot(y0r, y0);
  return {
    a: 2 * er,
    b: decay * decay,
    y0,
    y1: y0r * ei + y0 * er,
    length: size > FLOOR ? Math.ceil(Math.log(size / FLOOR) * tau * sampleRate) : 0,
  };
};

/** Adds ringing modes to `out` from sample `from` on, four at a time, so that one's arithmetic hides another's delay. */
const ring = (out: Float64Array, modes: Ringing[], from: number): void => {
  modes.sort((p, q) => q.length - p.length);
  const silent: Ringing = { a: 0, b: 0, y0: 0, y1: 0, length: 0 };
  for (let m = 0; m < modes.length; m += 4) {
    const [p, q, r, s] = [modes[m], modes[m + 1] ?? silent, modes[m + 2] ?? silent, modes[m + 3] ?? silent];
    const end = Math.min(out.length, from + p.length);
    let [p0, p1, q0, q1, r0, r1, s0, s1] = [p.y0, p.y1, q.y0, q.y1, r.y0, r.y1, s.y0, s.y1];
    const [pa, pb, qa, qb, ra, rb, sa, sb] = [p.a, p.b, q.a, q.b, r.a, r.b, s.a, s.b];
    for (let i = from; i < end; i++) {
      out[i] += p0 + q0 + (r0 + s0);
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
  const ramps = [ramp(-1, 0, pluck.pull, sampleRate), ramp(1, pluck.pull, pluck.release, sampleRate)];
  const acting = ramps[0].cos.length + ramps[1].cos.length;
  const modes: Ringing[] = [];
  // At rest the bridge takes F (1 − x/L); what the modes do not add up to belongs to those above the top, which follow
  // the force without delay.
  let missing = pluck.force * (1 - at / speaking);
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
    missing -= still;
    const tau = timeConstant(s, losses, omega, k);
    const { share, detune, decay } = pluck.second;
    modes.push(drive(out, ramps, omega, tau, (1 - share) * still * omega, sampleRate));
    if (share > 0) {
      const other = omega * (1 + detune);
      modes.push(drive(out, ramps, other, tau * decay, share * still * other, sampleRate));
    }
  }
  let index = 0;
  for (const { sign, cos } of ramps)
    for (let i = 0; i < cos.length; i++, index++)
      if (index < length) out[index] += missing * (0.5 + 0.5 * sign * cos[i]);
  ring(out, modes, acting);
  return out;
};
