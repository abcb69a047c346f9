/**
 * Dips of a string's response: where |H| at a test point falls away and comes back.
 *
 * A dip is a minimum of |H| between two shoulders, the neighbouring maxima (the ends of the search stand for a maximum
 * that lies beyond them). Its depth is how far it lies below the straight line through its shoulders, in decibels over
 * the logarithm of frequency. A ripple is no shoulder: as long as a minimum is less than `LEAST_DEPTH` deep, the
 * shallowest one goes, together with the lower of its two shoulders, and its neighbours are measured again. Where a
 * tilted curve swallows a shoulder the depth goes to 0 without a jump.
 *
 * What makes a dip is told by what would fill it. |H| stands below three sums in which less and less may cancel:
 *
 *   |H| ≤ P = Σ |pickup|               pickups no longer cancel each other
 *   P ≤ Q = Σ (|E+| + |E−|)/2          of each pickup, the wave that comes and the one the saddle returns no longer do
 *   Q ≤ R = Σ (|e+| + |e−|)/2          of each coil by itself, sensing one point: no aperture is left
 *
 * What lies below the line through the same shoulders in R is the network's. A dip has one cause if that accounts for
 * `ONE_CAUSE` of its depth. E± = ∂H/∂x / k ± jH: a pickup's response goes with its distance x to the saddle as a pair of
 * waves of wave number k, so the change with x gives the part that is a quarter of a wave away.
 */

import { power, type Spectrum } from '../complex.ts';
import { dbOfAmplitude, dbOfPower } from '../decibels.ts';
import { type Build, type Coil, POINT, type TestPoint } from '../document/build.ts';
import { stringModel, waveNumber } from '../string/stiff.ts';
import { figureGrid } from './figure-grid.ts';
import { opposed } from './mixing.ts';
import { response } from './response.ts';

export type DipCause = 'position' | 'coils' | 'pickups' | 'aperture' | 'network';

export interface Dip {
  /** Hz. */
  frequency: number;
  /** Partial number of the fretted string that it falls on; a real number. */
  partial: number;
  /** Below the line through its shoulders, dB. */
  depth: number;
  /** As good as nothing is left there. */
  complete: boolean;
  /** `position`: a comb's node; `coils`: a pickup's coils, out of phase, cancel; `pickups`: they cancel; `aperture`; `network`; null: several together. */
  cause: DipCause | null;
  /** Id of the pickup whose comb, or aperture, it is; null: more than one is heard there, or the cause is another. */
  pickup: string | null;
  /** Frequencies of its shoulders, Hz. */
  shoulders: readonly [number, number];
}

/** Least depth of a dip, dB. */
export const LEAST_DEPTH = 6;
/** Deeper than this, dB, a dip is complete: no voice of a string is left of what stood beside it. */
export const COMPLETE_DEPTH = 60;
/** Part of a dip's depth that one cause must account for. */
const ONE_CAUSE = 2 / 3;
/** A pickup that makes this part of what is heard is the one that is heard. */
const ONE_PICKUP = 0.9;

/** Shoulders of the last dip are looked for this far beyond the limit, and up to the end of the grid. */
const BEYOND = 1.2;
/** Steps that an extremum's surroundings are cut into: at first, and once a parabola tells where it is about. */
const FIRST_LOOK = 16;
const LOOK = 4;
/** Closing in ends at steps of this, Hz: a null wants its bottom, a shoulder is flat. Rounds at most. */
const FINEST = { '-1': 1e-4, '1': 0.05 } as const;
const ROUNDS = 10;
/** Depths above this are not told apart, dB. */
const DEEPEST = 140;
/** How far a pickup is moved to learn what goes with its place, m. */
const NUDGE = 1e-5;

/** An extremum between two frequencies; `sign` 1: a maximum, −1: a minimum. */
interface Extremum {
  sign: 1 | -1;
  from: number;
  to: number;
  frequency: number;
  /** dB. */
  level: number;
}

/**
 * Extrema of a sampled curve in order, ends included as maxima. Between two samples the curve is taken as a straight line
 * in the complex plane: where that passes nearer to zero than both its ends, a minimum lies between them.
 */
function extremaOf(curve: Spectrum, f: Float64Array): Extremum[] {
  const { re, im } = curve;
  const at: number[] = [];
  const levels: number[] = [];
  for (let i = 0; i < f.length; i++) {
    at.push(f[i]);
    levels.push(power(curve, i));
    if (i + 1 === f.length) break;
    const [dr, di] = [re[i + 1] - re[i], im[i + 1] - im[i]];
    const t = -(re[i] * dr + im[i] * di) / (dr * dr + di * di);
    if (!(t > 0 && t < 1)) continue;
    at.push(f[i] + t * (f[i + 1] - f[i]));
    levels.push((re[i] + t * dr) ** 2 + (im[i] + t * di) ** 2);
  }
  const last = at.length - 1;
  const end = (i: number): Extremum => ({
    sign: 1,
    from: at[i],
    to: at[i],
    frequency: at[i],
    level: dbOfPower(levels[i]),
  });
  const found: Extremum[] = [];
  let rising = levels[1] >= levels[0];
  if (!rising) found.push(end(0));
  for (let i = 1; i < last; i++) {
    const up = levels[i + 1] > levels[i] || (levels[i + 1] === levels[i] && rising);
    if (up === rising) continue;
    found.push({ sign: up ? -1 : 1, from: at[i - 1], to: at[i + 1], frequency: at[i], level: dbOfPower(levels[i]) });
    rising = up;
  }
  if (rising) found.push(end(last));
  return found;
}

/** Level of the straight line through two shoulders, dB over the logarithm of frequency. */
const lineAt = (f: number, f1: number, y1: number, f2: number, y2: number): number =>
  f2 === f1 ? y1 : y1 + ((y2 - y1) * Math.log(f / f1)) / Math.log(f2 / f1);

const depthOf = (left: Extremum, dip: Extremum, right: Extremum): number =>
  lineAt(dip.frequency, left.frequency, left.level, right.frequency, right.level) - dip.level;

/** Takes minima that are less than `least` deep out of the list, the shallowest first, each with its lower shoulder. */
function withoutRipples(all: readonly Extremum[], least: number): Extremum[] {
  const list = [...all];
  for (;;) {
    let [shallowest, at] = [least, -1];
    for (let i = 1; i + 1 < list.length; i += 2) {
      const depth = depthOf(list[i - 1], list[i], list[i + 1]);
      if (depth < shallowest) [shallowest, at] = [depth, i];
    }
    if (at < 0) return list;
    list.splice(list[at - 1].level < list[at + 1].level ? at - 1 : at, 2);
  }
}

/** Where the parabola through three values at equal steps has its vertex, in steps from the middle one; at most half a one. */
function vertex(before: number, middle: number, after: number): number {
  const bend = before - 2 * middle + after;
  return bend === 0 ? 0 : Math.max(-0.5, Math.min(0.5, (before - after) / (2 * bend)));
}

/** Closes in on extrema, all at once, with the exact curve. */
function closeIn(list: readonly Extremum[], curveAt: (f: Float64Array) => Spectrum): Extremum[] {
  const now = [...list];
  let open = now.map((_, n) => n);
  for (let round = 0; round < ROUNDS && open.length > 0; round++) {
    const steps = round === 0 ? FIRST_LOOK : LOOK;
    const f = new Float64Array(open.length * (steps + 1));
    open.forEach((n, at) => {
      const { from, to } = now[n];
      for (let i = 0; i <= steps; i++) f[at * (steps + 1) + i] = from + ((to - from) * i) / steps;
    });
    const curve = curveAt(f);
    open = open.filter((n, at) => {
      const { from, to, sign } = now[n];
      const base = at * (steps + 1);
      let best = 0;
      for (let i = 1; i <= steps; i++) if (sign * power(curve, base + i) > sign * power(curve, base + best)) best = i;
      const step = (to - from) / steps;
      const frequency = f[base + best];
      const found = { sign, frequency, level: dbOfPower(power(curve, base + best)) };
      if (best === 0 || best === steps) {
        // where it was looked for was a guess: the true one lies beyond an end
        const far = (to - from) * (round === 0 ? 0.5 : 1);
        now[n] = { ...found, from: Math.max(f[0] / 2, frequency - far), to: frequency + far };
        return to > from;
      }
      const [p, q, r] = [-1, 0, 1].map(i => power(curve, base + best + i));
      // |H|² of a straight passage by zero is a parabola, and a shoulder's is one close by
      const middle = frequency + step * vertex(p, q, r);
      now[n] = { ...found, from: middle - step / 4, to: middle + step / 4 };
      return step > FINEST[sign];
    });
  }
  return now;
}

/** The build with what is not `coil` put out of the strings' reach, moved and, if asked for, sensing one point only. */
function alone(build: Build, pickup: string, coil: string, along: number, point: boolean): Build {
  const sole = (c: Coil): Coil =>
    point ? { ...c, window: { shape: 'gaussian', width: 1e-6, depth: c.window.depth } } : c;
  return {
    ...build,
    pickups: build.pickups.map(p => ({
      ...p,
      position: p.id === pickup ? p.position + along : p.position,
      coils: p.coils.map(c => (p.id === pickup && c.id === coil ? sole(c) : { ...c, strings: [] })),
    })),
  };
}

/** Response of one coil at some frequencies and its change with the pickup's place over k: two parts a quarter wave apart. */
interface Pair {
  pickup: string;
  here: Spectrum;
  beside: Spectrum;
}

const nothing = (s: Spectrum): boolean => s.re.every((x, i) => x === 0 && s.im[i] === 0);

/** Sums over some coils: |Σ here|, or (|E+| + |E−|)/2. */
const magnitude = (pairs: readonly Pair[], i: number): number =>
  Math.hypot(
    pairs.reduce((sum, p) => sum + p.here.re[i], 0),
    pairs.reduce((sum, p) => sum + p.here.im[i], 0),
  );
function envelope(pairs: readonly Pair[], i: number): number {
  let [a, b, c, d] = [0, 0, 0, 0];
  for (const { here, beside } of pairs) {
    a += here.re[i];
    b += here.im[i];
    c += beside.re[i];
    d += beside.im[i];
  }
  return (Math.hypot(c - b, d + a) + Math.hypot(c + b, d - a)) / 2;
}

type Found = Omit<Dip, 'cause' | 'pickup'>;

/** Cause of each dip: see the head of this file. */
function causesOf(
  build: Build,
  string: number,
  point: TestPoint,
  output: number,
  dips: readonly Found[],
): Pick<Dip, 'cause' | 'pickup'>[] {
  const f = Float64Array.from(dips.flatMap(d => [d.shoulders[0], d.frequency, d.shoulders[1]]));
  const model = stringModel(build.instrument.strings[string]);
  const k = f.map(x => waveNumber(model, x));
  const pairs = (narrow: boolean): Pair[] =>
    build.pickups.flatMap(pickup =>
      pickup.coils.flatMap((coil): Pair[] => {
        const at = (along: number) =>
          response(alone(build, pickup.id, coil.id, along, narrow), string, point, f, output);
        const here = at(0);
        if (nothing(here)) return [];
        const [minus, plus] = [at(-NUDGE), at(NUDGE)];
        const slope = (a: Float64Array, b: Float64Array) => a.map((x, i) => (b[i] - x) / (2 * NUDGE * k[i]));
        return [{ pickup: pickup.id, here, beside: { re: slope(minus.re, plus.re), im: slope(minus.im, plus.im) } }];
      }),
    );
  const real = pairs(false);
  const sharp = pairs(true);
  const pickups = [...new Set(real.map(p => p.pickup))].map(id => real.filter(p => p.pickup === id));
  const sum = (groups: readonly (readonly Pair[])[], of: typeof envelope, i: number) =>
    groups.reduce((total, group) => total + of(group, i), 0);
  const coils = sharp.map(pair => [pair]);

  return dips.map((dip, n) => {
    const depth = (value: (i: number) => number): number => {
      const [left, here, right] = [0, 1, 2].map(i => dbOfAmplitude(value(3 * n + i)));
      const line = lineAt(dip.frequency, dip.shoulders[0], left, dip.shoulders[1], right);
      return Math.min(DEEPEST, line - here);
    };
    const whole = Math.min(DEEPEST, dip.depth);
    const p = depth(i => sum(pickups, magnitude, i));
    const q = depth(i => sum(pickups, envelope, i));
    const r = depth(i => sum(coils, envelope, i));
    const shares: [DipCause, number][] = [
      ['pickups', whole - p],
      ['position', p - q],
      ['aperture', q - r],
      ['network', r],
    ];
    const cause = shares.find(([, share]) => share >= ONE_CAUSE * whole)?.[0] ?? null;
    const heard = pickups.map(group => envelope(group, 3 * n) + envelope(group, 3 * n + 2));
    const all = heard.reduce((a, b) => a + b, 0);
    const main = heard.findIndex(part => part >= ONE_PICKUP * all);
    const named = (cause === 'position' || cause === 'aperture') && main >= 0;
    const pickup = named ? pickups[main][0].pickup : null;
    // coils out of phase hear nothing where the string moves alike over both: an antinode, no node
    const against =
      cause === 'position' &&
      (pickup === null ? pickups.map(group => group[0].pickup) : [pickup]).every(id =>
        opposed(build, id, string, output),
      );
    return { cause: against ? 'coils' : cause, pickup };
  });
}

/** Where dips of a response stand and how deep they are, from its values at any frequencies (Hz). */
export function dipsOf(
  curveAt: (frequencies: Float64Array) => Spectrum,
  limit: number,
): Pick<Dip, 'frequency' | 'depth' | 'complete' | 'shoulders'>[] {
  const grid = figureGrid(limit * BEYOND);
  const coarse = curveAt(grid);
  // a curve of nothing but rounding has no dips
  let most = 0;
  for (let i = 0; i < grid.length; i++) most = Math.max(most, power(coarse, i));
  if (!(most > 1e-24)) return [];
  // a wide margin on the coarse curve, the true one on the exact extrema
  const near = withoutRipples(extremaOf(coarse, grid), LEAST_DEPTH / 2);
  const exact = withoutRipples(closeIn(near, curveAt), LEAST_DEPTH);
  const dips: ReturnType<typeof dipsOf> = [];
  for (let i = 1; i + 1 < exact.length; i += 2) {
    const [left, dip, right] = [exact[i - 1], exact[i], exact[i + 1]];
    if (dip.frequency > limit) continue;
    const depth = Math.min(DEEPEST, depthOf(left, dip, right));
    const shoulders = [left.frequency, right.frequency] as const;
    dips.push({ frequency: dip.frequency, depth, complete: depth >= COMPLETE_DEPTH, shoulders });
  }
  return dips;
}

export interface DipOptions {
  /** Hz. */
  limit: number;
  /** Partials are counted at this fret. */
  fret?: number;
  /** Index of the output. */
  output?: number;
}

/** Dips of the string with index `string` at `point`, in order of frequency. Throws as the network does. */
export function dips(build: Build, string: number, point: TestPoint, options: DipOptions): Dip[] {
  const { limit, fret = 0, output = 0 } = options;
  if (point === POINT.force) return [];
  const model = stringModel(build.instrument.strings[string]);
  const speaking = model.length * 2 ** (-fret / 12);
  const found = dipsOf(f => response(build, string, point, f, output), limit).map(
    (dip): Found => ({ ...dip, partial: (waveNumber(model, dip.frequency) * speaking) / Math.PI }),
  );
  if (found.length === 0) return [];
  const causes = causesOf(build, string, point, output, found);
  return found.map((dip, i) => ({ ...dip, ...causes[i] }));
}
