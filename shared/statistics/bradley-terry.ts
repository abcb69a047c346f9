/**
 * Ranking from pairwise choices: P(i beats j) = 1/(1 + exp(θ_j − θ_i)) (R. A. Bradley and M. E. Terry, Biometrika 39, 1952).
 * Maximum likelihood by the minorisation–maximisation steps of D. R. Hunter ("MM algorithms for generalized Bradley–Terry
 * models", Ann. Statist. 32, 2004); uncertainty from the Fisher information. No ties.
 */
import { inverse } from './inverse.ts';

export interface Ranking {
  /** θ of each item, natural log of odds, mean 0. */
  abilities: Float64Array;
  /** Covariance of the abilities, n × n by rows. */
  covariance: Float64Array;
  /**
   * True if the choices alone determine a ranking: every item is linked to every other by a chain of wins in both
   * directions (L. R. Ford, Amer. Math. Monthly 64, 1957). If not, somebody always won or was never compared, the
   * likelihood has no maximum, and the figures come with a prior.
   */
  determined: boolean;
  /** Number of choices made. */
  choices: number;
}

/**
 * Without a determined ranking, each item also wins once and loses once, half-weighted, against an imaginary average one.
 */
const PRIOR_GAMES = 1;

/** Fits `wins[i][j]`, the number of times i was chosen over j. */
export function bradleyTerry(wins: readonly (readonly number[])[]): Ranking {
  const n = wins.length;
  if (n < 2) throw new RangeError('a ranking needs at least two items');
  for (const row of wins) {
    if (row.length !== n) throw new RangeError(`wins must be ${n} by ${n}`);
    for (const w of row) if (!Number.isInteger(w) || w < 0) throw new RangeError(`a number of wins cannot be ${w}`);
  }
  const determined = reaches(wins, 0).every(Boolean) && reaches(transposed(wins), 0).every(Boolean);
  const prior = determined ? 0 : PRIOR_GAMES;
  const strengths = fit(wins, prior);
  const mean = strengths.reduce((sum, t) => sum + t, 0) / n;
  let choices = 0;
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) if (i !== j) choices += wins[i][j];
  return {
    abilities: strengths.map(t => t - mean),
    covariance: covarianceOf(wins, strengths, prior),
    determined,
    choices,
  };
}

/** Logarithms of the strengths, against the imaginary average item where there is a prior. */
function fit(wins: readonly (readonly number[])[], prior: number): Float64Array {
  const n = wins.length;
  const p = new Float64Array(n).fill(1);
  const total = wins.map((row, i) => prior / 2 + row.reduce((sum, w, j) => sum + (i === j ? 0 : w), 0));
  for (let step = 0; step < 20000; step++) {
    let change = 0;
    for (let i = 0; i < n; i++) {
      let below = prior / (p[i] + 1);
      for (let j = 0; j < n; j++) if (j !== i) below += (wins[i][j] + wins[j][i]) / (p[i] + p[j]);
      const next = total[i] / below;
      change = Math.max(change, Math.abs(Math.log(next / p[i])));
      p[i] = next;
    }
    // Only ratios matter, unless the imaginary average item (strength 1) fixes the scale.
    if (prior === 0) {
      const scale = Math.exp(p.reduce((sum, v) => sum + Math.log(v), 0) / n);
      for (let i = 0; i < n; i++) p[i] /= scale;
    }
    if (change < 1e-13) break;
  }
  return p.map(Math.log);
}

/**
 * Inverse of the information, mean taken off. The choices alone leave the mean open: it is then held by 11ᵀ/n, which
 * changes nothing on the space of differences.
 */
function covarianceOf(wins: readonly (readonly number[])[], theta: Float64Array, prior: number): Float64Array {
  const n = theta.length;
  const m = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    m[i * n + i] += prior * chance(theta[i]) * chance(-theta[i]);
    for (let j = 0; j < n; j++) {
      if (i === j) continue;
      const information = (wins[i][j] + wins[j][i]) * chance(theta[i] - theta[j]) * chance(theta[j] - theta[i]);
      m[i * n + i] += information;
      m[i * n + j] -= information;
    }
  }
  if (prior === 0) for (let i = 0; i < m.length; i++) m[i] += 1 / n;
  const inverted = inverse(m, n);
  // Abilities are given with their mean taken off, so is their covariance: C − row means − column means + mean.
  const rows = Float64Array.from(
    { length: n },
    (_, i) => inverted.subarray(i * n, i * n + n).reduce((s, v) => s + v, 0) / n,
  );
  const all = rows.reduce((s, v) => s + v, 0) / n;
  return inverted.map((v, at) => v - rows[Math.floor(at / n)] - rows[at % n] + all);
}

const chance = (difference: number): number => 1 / (1 + Math.exp(-difference));

/** Standard error of the ability of `i` against the average of all. */
export const standardError = (r: Ranking, i: number): number => Math.sqrt(r.covariance[i * r.abilities.length + i]);

export interface Comparison {
  /** θ_i − θ_j. */
  difference: number;
  standardError: number;
  /** Probability that i is chosen over j, with its 95 % interval (normal approximation on the log odds). */
  probability: number;
  interval: [number, number];
  /** True if the interval excludes an even chance and the choices alone determine the ranking. */
  distinct: boolean;
}

/** What the choices say about two of the items. */
export function compareItems(ranking: Ranking, i: number, j: number): Comparison {
  const n = ranking.abilities.length;
  const c = ranking.covariance;
  const difference = ranking.abilities[i] - ranking.abilities[j];
  const error = Math.sqrt(Math.max(0, c[i * n + i] + c[j * n + j] - c[i * n + j] - c[j * n + i]));
  const reach = 1.959963984540054 * error;
  return {
    difference,
    standardError: error,
    probability: chance(difference),
    interval: [chance(difference - reach), chance(difference + reach)],
    distinct: ranking.determined && Math.abs(difference) > reach,
  };
}

/** Which items are reached from `start` along wins. */
function reaches(wins: readonly (readonly number[])[], start: number): boolean[] {
  const seen = wins.map((_, i) => i === start);
  const open = [start];
  for (let i = open.pop(); i !== undefined; i = open.pop()) {
    wins[i].forEach((w, j) => {
      if (w > 0 && !seen[j]) {
        seen[j] = true;
        open.push(j);
      }
    });
  }
  return seen;
}

const transposed = (m: readonly (readonly number[])[]): number[][] => m.map((_, i) => m.map(row => row[i]));
