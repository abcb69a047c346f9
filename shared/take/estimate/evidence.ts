/**
 * What the levels of one note's partials say about where it was plucked and picked up.
 *
 * The level of partial n is a smooth curve (slope of the pluck, aperture, coil, loudspeaker, room) times two combs,
 * |sin(nπp)| of the pluck and of the pickup, p being distance over sounding length (S. Mohamad, S. Dixon, C. Harte, JASA
 * 142 (2017) 3530). Working on partial numbers leaves stiffness out. The published method flattens the log spectrum by
 * regression, takes the minima of the autocorrelation of the flattened levels as first guesses and refines them by least
 * squares. Here every pair of places is tried: the smooth curve is regressed out for each of them exactly, which for a
 * quadratic form costs next to nothing.
 */
import { amplitudeOfDb, dbOfPower } from '../../decibels.ts';
import { inverse } from '../../statistics/inverse.ts';
import { releaseFactor } from '../../string/pluck.ts';
import { partial } from '../../string/stiff.ts';
import type { NotePartials } from './partials.ts';

export interface NoteLevels {
  partials: Pick<NotePartials, 'level' | 'floor' | 'f0' | 'B'>;
  /** Sounding length, m. */
  length: number;
  /** Number of the string, 1 the highest. */
  string: number;
}

/** Levels of partials 1, 2, … that a pluck or a pickup leaves, dB. */
export type Comb = Float64Array<ArrayBuffer>;

/** Fewest partials that say anything. */
export const FEWEST = 6;
/** Step between plucks that are tried, as a share of the sounding length. */
const PLUCK_STEP = 1 / 600;
/** Pluck places that are tried, as shares of the sounding length: closer to the saddle they only tilt the spectrum. */
const PLUCKS = Float64Array.from({ length: 283 }, (_, i) => 0.03 + i * PLUCK_STEP);
/** The same for the pluck alone, once the pickup is known. */
export const FINE_PLUCKS = Float64Array.from({ length: 565 }, (_, i) => 0.03 + (i * PLUCK_STEP) / 2);
const COARSE_STEP = 1 / 200;
const COARSE = Float64Array.from({ length: 95 }, (_, i) => 0.03 + i * COARSE_STEP);

/**
 * Depths at which a measured comb bottoms out, since a second direction of motion, a wide pluck and leakage fill the
 * nulls: clean, fair and rough notes.
 */
const DEPTHS = [0.02, 0.08, 0.2];
/** Clean notes show nulls far deeper than a grid of places can use; the pluck alone, once the pickup is known, can. */
const DEEPEST = 0.004;
/** Scatter of a level that the model does not explain, dB. */
const SCATTER = 1;
/** Partial number at which that scatter has doubled. */
const UNSURE = 24;
/** Times in which a pluck may have let go, s: a slow one has nulls of its own, which no smooth curve follows. */
const RELEASES = [0, ...Array.from({ length: 9 }, (_, i) => (0.18 + 0.06 * i) * 1e-3)];
/** The same for a note so clean that a partial's level tells a hundredth of a millisecond. */
const FINE_RELEASES = [0, ...Array.from({ length: 60 }, (_, i) => (0.12 + 0.01 * i) * 1e-3)];
const SLOPE = -6;
const CURVES = 5;
/** Standard deviations of the smooth curve's parts before anything is measured: dB per octave, dB. */
const SLOPE_SPREAD = 3;
const CURVE_SPREAD = 6;
/**
 * Deep in a null a level is steep in everything: how deep it lies beneath its neighbours (beyond `SHALLOW` dB) adds this
 * share of it to the scatter.
 */
const DIP_SCATTER = 0.15;
const SHALLOW = 8;

/**
 * Comb of a share `p` of the sounding length that bottoms out at `depth`. `step`: the distance to the next share that is
 * tried; the comb is its mean over that, so that a sharp null that falls between two tried places is not missed.
 */
export const combAt = (count: number, p: number, depth: number, step = 0): Comb =>
  Float64Array.from({ length: count }, (_, i) => {
    const n = i + 1;
    const blur = Math.PI * n * step;
    return dbOfPower(0.5 - 0.5 * Math.cos(2 * Math.PI * n * p) * (blur > 0 ? Math.sin(blur) / blur : 1) + depth ** 2);
  });

/** Level that a release of this duration leaves of partial `n`, dB. */
const released = (note: NoteLevels['partials'], n: number, release: number): number =>
  dbOfPower(releaseFactor(partial(note, n), release) ** 2 + 2e-3);

/** A note made ready: the misfit of any pair of combs is the quadratic form of `form` on level − comb − comb. */
export interface Ready {
  note: NoteLevels;
  /** Times that are tried for letting go, s. */
  releases: readonly number[];
  /** Level less the expected slope and one release each, dB. */
  ys: Float64Array[];
  /** Each of them times the form, and its own quadratic form. */
  products: { ay: Float64Array; own: number }[];
  form: Float64Array;
  /** Coefficients of the smooth curve from a residual: row by row over `basis`. */
  regress: number[][];
  basis: number[][];
  depth: number;
  /** Levels less what the smooth curve, release, pluck and pickup use up. */
  freedom: number;
}

const dot = (p: Float64Array, q: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < p.length; i++) sum += p[i] * q[i];
  return sum;
};
const times = (form: Float64Array, v: Float64Array): Float64Array => {
  const count = v.length;
  const out = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let sum = 0;
    for (let j = 0; j < count; j++) sum += form[i * count + j] * v[j];
    out[i] = sum;
  }
  return out;
};

const prepare = (note: NoteLevels, depth: number, releases: readonly number[], trust?: Float64Array): Ready => {
  const { partials } = note;
  const count = partials.level.length;
  const ys = releases.map(release =>
    partials.level.map((level, i) => level - SLOPE * Math.log2(i + 1) - released(partials, i + 1, release)),
  );
  const weight = partials.level.map((level, i) => {
    const noise = Math.min(8, 8.7 * amplitudeOfDb(partials.floor[i] - level));
    const scatter = SCATTER * (1 + (i + 1) / UNSURE);
    const around = partials.level.subarray(Math.max(0, i - 2), i + 3);
    const dip = DIP_SCATTER * Math.max(0, Math.max(...around) - level - SHALLOW);
    return (trust?.[i] ?? 1) / (scatter ** 2 + noise ** 2 + dip ** 2);
  });
  const basis = [
    Array.from({ length: count }, () => 1),
    Array.from({ length: count }, (_, i) => Math.log2(i + 1)),
    ...Array.from({ length: CURVES }, (_, k) =>
      Array.from({ length: count }, (_, i) => Math.cos(((k + 1) * Math.PI * (i + 0.5)) / count)),
    ),
  ];
  const prior = [
    1e-6,
    1 / SLOPE_SPREAD ** 2,
    ...Array.from({ length: CURVES }, (_, k) => ((k + 1) / CURVE_SPREAD) ** 2),
  ];
  const weighted = (p: readonly number[], q: readonly number[]) =>
    p.reduce((sum, v, i) => sum + v * q[i] * weight[i], 0);
  const size = basis.length;
  const normal = Float64Array.from(
    { length: size * size },
    (_, at) =>
      weighted(basis[Math.floor(at / size)], basis[at % size]) + (at % (size + 1) === 0 ? prior[at % size] : 0),
  );
  const solved = inverse(normal, size);
  const regress = basis.map((_, r) =>
    Array.from(weight, (w, i) => w * basis.reduce((sum, p, c) => sum + solved[r * size + c] * p[i], 0)),
  );
  // W − WΦ(ΦᵀWΦ + Λ)⁻¹ΦᵀW
  const form = new Float64Array(count * count);
  for (let i = 0; i < count; i++)
    for (let j = 0; j < count; j++) {
      let fitted = 0;
      for (let k = 0; k < basis.length; k++) fitted += basis[k][i] * regress[k][j];
      form[i * count + j] = (i === j ? weight[i] : 0) - weight[i] * fitted;
    }
  const products = ys.map(y => {
    const ay = times(form, y);
    return { ay, own: dot(y, ay) };
  });
  return { note, releases, ys, products, form, regress, basis, depth, freedom: Math.max(1, count - 7) };
};

/** The release that suits two combs best, and the misfit with it, in squared standard deviations. */
const bestRelease = ({ form, products }: Ready, sum: Comb): { release: number; misfit: number } => {
  const alone = dot(sum, times(form, sum));
  let best = { release: 0, misfit: Number.POSITIVE_INFINITY };
  products.forEach(({ ay, own }, release) => {
    const misfit = own - 2 * dot(sum, ay) + alone;
    if (misfit < best.misfit) best = { release, misfit };
  });
  return best;
};

const both = (a: Comb, b: Comb): Comb => a.map((v, i) => v + b[i]);

/** Misfit of a pluck's share and a pickup's comb, each note with the release that suits it best. */
export const misfitOf = (ready: Ready, pluck: number, pickup: Comb): number =>
  bestRelease(ready, both(combAt(pickup.length, pluck, ready.depth), pickup)).misfit;

/** One comb's part of the misfit: the form times the comb, and what it adds alone with each release. */
interface Side {
  applied: Float64Array;
  alone: Float64Array;
}

const sideOf = ({ form, products }: Ready, comb: Comb): Side => {
  const applied = times(form, comb);
  const own = dot(comb, applied);
  const alone = new Float64Array(products.length);
  for (let r = 0; r < alone.length; r++) alone[r] = own - 2 * dot(comb, products[r].ay);
  return { applied, alone };
};

/** Misfit of every pluck share (rows) with every pickup comb (columns), row by row. */
const misfits = (ready: Ready, plucks: Float64Array, pickups: readonly Comb[]): Float64Array => {
  const { products, depth } = ready;
  const step = plucks[1] - plucks[0];
  const count = products[0].ay.length;
  const releases = products.length;
  const width = pickups.length;
  const combs = new Float64Array(width * count);
  const alones = new Float64Array(width * releases);
  pickups.forEach((comb, b) => {
    combs.set(comb, b * count);
    alones.set(sideOf(ready, comb).alone, b * releases);
  });
  const out = new Float64Array(plucks.length * width);
  const base = new Float64Array(releases);
  for (let a = 0; a < plucks.length; a++) {
    const { applied, alone } = sideOf(ready, combAt(count, plucks[a], depth, step));
    for (let r = 0; r < releases; r++) base[r] = alone[r] + products[r].own;
    for (let b = 0; b < width; b++) {
      let least = Number.POSITIVE_INFINITY;
      for (let r = 0, at = b * releases; r < releases; r++) least = Math.min(least, base[r] + alones[at + r]);
      let crossed = 0;
      for (let i = 0, at = b * count; i < count; i++) crossed += combs[at + i] * applied[i];
      out[a * width + b] = Math.max(0, least + 2 * crossed);
    }
  }
  return out;
};

/** The smooth curve and the fitted levels of a note for given combs, dB. */
export const explain = (ready: Ready, pluck: number, pickup: Comb): { smooth: Float64Array; fitted: Float64Array } => {
  const { ys, releases, regress, basis, note } = ready;
  const sum = both(combAt(pickup.length, pluck, ready.depth), pickup);
  const { release } = bestRelease(ready, sum);
  const residual = ys[release].map((level, i) => level - sum[i]);
  const coefficients = regress.map(row => row.reduce((total, w, i) => total + w * residual[i], 0));
  const smooth = residual.map(
    (_, i) =>
      SLOPE * Math.log2(i + 1) +
      released(note.partials, i + 1, releases[release]) +
      coefficients.reduce((total, c, k) => total + c * basis[k][i], 0),
  );
  return { smooth, fitted: smooth.map((v, i) => v + sum[i]) };
};

export interface ReadyNote {
  /** For each depth of nulls that a grid of places can use. */
  grid: Ready[];
  /** With the deepest nulls, every level trusted: for the pluck of a clean note. */
  clean: Ready;
}

/**
 * A note made ready for every depth of nulls. A first fit finds the levels that no pair of places explains (a body
 * resonance, a neighbour); from then on they are trusted less.
 * @throws RangeError when the note has fewer than six partials
 */
export const readied = (note: NoteLevels): ReadyNote => {
  const { level } = note.partials;
  const count = level.length;
  if (count < FEWEST) throw new RangeError(`at least ${FEWEST} partials are needed, there are ${count}`);
  let best = {
    misfit: Number.POSITIVE_INFINITY,
    pluck: 0,
    pickup: new Float64Array(0),
    ready: prepare(note, DEPTHS[0], RELEASES),
  };
  for (const depth of DEPTHS.slice(1)) {
    const ready = prepare(note, depth, RELEASES);
    const pickups = Array.from(COARSE, p => combAt(count, p, depth, COARSE_STEP));
    misfits(ready, COARSE, pickups).forEach((misfit, i) => {
      if (misfit < best.misfit)
        best = { misfit, ready, pluck: COARSE[Math.floor(i / pickups.length)], pickup: pickups[i % pickups.length] };
    });
  }
  const { fitted } = explain(best.ready, best.pluck, best.pickup);
  const error = level.map((v, n) => Math.abs(v - fitted[n]));
  const bound = 2.5 * Math.max(0.7, 1.5 * [...error].sort((a, b) => a - b)[Math.floor(count / 2)]);
  const trust = error.map(e => Math.min(1, bound / Math.max(e, 1e-9)));
  return {
    grid: DEPTHS.map(depth => prepare(note, depth, RELEASES, trust)),
    clean: prepare(note, DEEPEST, FINE_RELEASES),
  };
};

/** Freedom that the assumed scatter counts for against the scatter that a note shows. */
const SURE = 4;

/**
 * Logarithm of a misfit's likelihood, the note's own scatter unknown: a normal error of unknown variance about the
 * assumed one leaves Student's t (A. Gelman et al., Bayesian Data Analysis, 3.2). A rough note so says little.
 */
const likelihood = ({ freedom }: Ready, misfit: number): number =>
  Math.exp((-(freedom + SURE) / 2) * Math.log(1 + misfit / SURE));

/** Σ exp of logarithms, taken without overflow: the logarithm of their mean. */
export const logMean = (logs: ArrayLike<number>): number => {
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < logs.length; i++) most = Math.max(most, logs[i]);
  if (most === Number.NEGATIVE_INFINITY) return most;
  let sum = 0;
  for (let i = 0; i < logs.length; i++) sum += Math.exp(logs[i] - most);
  return most + Math.log(sum / logs.length);
};

/**
 * Logarithm of a note's likelihood under each of several pickup combs (made for a depth), wherever the pluck was and
 * however deep the nulls are: one value a comb.
 */
export const evidence = (
  ready: readonly Ready[],
  combs: (depth: number) => readonly Comb[],
  plucks = PLUCKS,
): Float64Array => {
  const rows = ready.map(one => {
    const tried = combs(one.depth);
    const all = misfits(one, plucks, tried);
    const sums = new Float64Array(tried.length);
    for (let i = 0, b = 0; i < all.length; i++, b = b + 1 === sums.length ? 0 : b + 1)
      sums[b] += likelihood(one, all[i]);
    return sums;
  });
  return rows[0].map((_, b) => Math.log(rows.reduce((sum, row) => sum + row[b], 0) / (rows.length * plucks.length)));
};

/** A depth of nulls with the pickup combs that are tried for it. */
export interface Tries {
  ready: Ready;
  combs: readonly Comb[];
}

/** Log-likelihood along `plucks` whichever of the tries holds, and the one that serves best. */
export const pluckEvidence = (
  tries: readonly Tries[],
  plucks: Float64Array,
): { logs: Float64Array; best: { ready: Ready; comb: Comb } } => {
  const sums = new Float64Array(plucks.length);
  let best = { most: -1, ready: tries[0].ready, comb: tries[0].combs[0] };
  for (const { ready, combs } of tries)
    misfits(ready, plucks, combs).forEach((misfit, i) => {
      const one = likelihood(ready, misfit);
      sums[Math.floor(i / combs.length)] += one;
      if (one > best.most) best = { most: one, ready, comb: combs[i % combs.length] };
    });
  const count = tries.reduce((sum, { combs }) => sum + combs.length, 0);
  return { logs: sums.map(sum => Math.log(sum / count)), best };
};
