/**
 * Pluck point and pickup place from the levels of a note's partials.
 *
 * The level of partial n is a smooth curve (slope of the pluck, aperture, coil, loudspeaker, room) times two combs,
 * |sin(nπp)| of the pluck and of the pickup, p being distance over sounding length (S. Mohamad, S. Dixon, C. Harte, JASA
 * 142 (2017) 3530). Working on partial numbers leaves stiffness out. The published method flattens the log spectrum by
 * regression, takes the minima of the autocorrelation of the flattened levels as first guesses and refines them by least
 * squares. Here every pair of places is tried: the smooth curve is regressed out for each of them exactly, which for a
 * quadratic form costs next to nothing, and the best are refined.
 *
 * One note cannot tell pluck from pickup, nor p from 1 − p. Notes on several frets can: the pickup stays where it is in
 * millimetres while the sounding length changes.
 */
import { amplitudeOfDb, dbOfPower, powerOfDb } from '../../decibels.ts';
import { releaseFactor } from '../../string/pluck.ts';
import type { NotePartials } from './partials.ts';

export interface NoteLevels {
  partials: Pick<NotePartials, 'level' | 'floor' | 'f0' | 'B'>;
  /** Sounding length, m. */
  length: number;
}

export interface Place {
  /** m from the saddle. */
  distance: number;
  /** Distance over sounding length; a pluck and its mirror image cannot be told apart: at most a half. */
  share: number;
  /** Standard deviation of the distance, m. */
  spread: number;
  /** Probability that it is right within a hundredth of the sounding length, under the model, 0 to 1. */
  confidence: number;
}

/** The fit of one note. */
export interface NoteFit {
  pluck: Place;
  /** Measured and fitted level of partials 1, 2, …, dB, and the smooth curve without the combs. */
  measured: Float64Array;
  fitted: Float64Array;
  smooth: Float64Array;
  /** Standard deviation of measured − fitted, dB. */
  error: number;
}

export interface PlaceEstimate {
  /** Share belongs to the open or longest sounding length given. */
  pickup: Place;
  notes: NoteFit[];
  /** Other pickup places that the notes do not rule out, best first. */
  alternatives: { distance: number; confidence: number }[];
  /** In sentences: what the notes leave open. */
  ambiguities: string[];
}

/**
 * Depths at which a measured comb bottoms out, since a second direction of motion, a wide pluck and leakage fill the
 * nulls: clean, fair and rough notes. The one that explains the notes best is used.
 */
const DEPTHS = [0.02, 0.08, 0.2];
/** Scatter of a level that the model does not explain, dB. */
const SCATTER = 1;
/** Partial number at which that scatter has doubled. */
const UNSURE = 24;
/** Times in which a pluck may have let go, s: a slow one has nulls of its own, which no smooth curve follows. */
const RELEASES = [0, ...Array.from({ length: 14 }, (_, i) => (0.18 + 0.04 * i) * 1e-3)];
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
const FEWEST = 6;

const comb = (n: number, p: number, depth: number): number => dbOfPower(Math.sin(n * Math.PI * p) ** 2 + depth ** 2);

/** Solves a small symmetric positive system for several right sides, in place (Gauss and Jordan). */
const solve = (a: number[][], b: number[][]): void => {
  const n = a.length;
  for (let i = 0; i < n; i++) {
    const pivot = a[i][i];
    for (let j = 0; j < n; j++) a[i][j] /= pivot;
    for (let j = 0; j < b[i].length; j++) b[i][j] /= pivot;
    for (let r = 0; r < n; r++) {
      if (r === i) continue;
      const factor = a[r][i];
      for (let j = 0; j < n; j++) a[r][j] -= factor * a[i][j];
      for (let j = 0; j < b[r].length; j++) b[r][j] -= factor * b[i][j];
    }
  }
};

/** Level that a release of this duration leaves of partial `n`, dB. */
const released = ({ f0, B }: NoteLevels['partials'], n: number, release: number): number =>
  dbOfPower(releaseFactor(n * f0 * Math.sqrt(1 + B * n * n), release) ** 2 + 2e-3);

/** A note made ready: the cost of any pair of combs is the quadratic form of `form` on level − comb − comb. */
interface Ready {
  /** Level less the expected slope and one release of `RELEASES` each, dB. */
  ys: Float64Array[];
  /** Each of them times the form, and its own quadratic form. */
  products: { ay: Float64Array; own: number }[];
  form: Float64Array;
  /** Coefficients of the smooth curve from a residual: row by row over `basis`. */
  regress: number[][];
  basis: number[][];
  length: number;
  depth: number;
}

const prepare = ({ partials, length }: NoteLevels, depth: number, weights?: Float64Array): Ready => {
  const count = partials.level.length;
  if (count < FEWEST) throw new RangeError(`at least ${FEWEST} partials are needed, there are ${count}`);
  const ys = RELEASES.map(release =>
    partials.level.map((level, i) => level - SLOPE * Math.log2(i + 1) - released(partials, i + 1, release)),
  );
  const weight = partials.level.map((level, i) => {
    const noise = Math.min(8, 8.7 * amplitudeOfDb(partials.floor[i] - level));
    const scatter = SCATTER * (1 + (i + 1) / UNSURE);
    const around = partials.level.subarray(Math.max(0, i - 2), i + 3);
    const dip = DIP_SCATTER * Math.max(0, Math.max(...around) - level - SHALLOW);
    return (weights?.[i] ?? 1) / (scatter ** 2 + noise ** 2 + dip ** 2);
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
  const normal = basis.map((p, r) => basis.map((q, c) => weighted(p, q) + (r === c ? prior[r] : 0)));
  const regress = basis.map(p => Array.from(weight, (w, i) => w * p[i]));
  solve(normal, regress);
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
  return { ys, products, form, regress, basis, length, depth };
};

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

/** Both combs of a pair of places, dB. */
const combs = ({ ys, depth }: Ready, a: number, b: number): Float64Array =>
  ys[0].map((_, i) => comb(i + 1, a, depth) + comb(i + 1, b, depth));

/** The release that suits a pair of places best, and the misfit with it, in squared standard deviations. */
const bestRelease = (ready: Ready, a: number, b: number): { release: number; misfit: number } => {
  const u = combs(ready, a, b);
  const alone = dot(u, times(ready.form, u));
  let best = { release: 0, misfit: Number.POSITIVE_INFINITY };
  ready.products.forEach(({ ay, own }, release) => {
    const misfit = own - 2 * dot(u, ay) + alone;
    if (misfit < best.misfit) best = { release, misfit };
  });
  return best;
};
const cost = (ready: Ready, a: number, b: number): number => bestRelease(ready, a, b).misfit;

/** Misfit for every pluck share (rows) and pickup share (columns), each with the release that suits it best. */
const costGrid = (
  { ys, products, form, depth }: Ready,
  plucks: Float64Array,
  pickups: Float64Array,
): Float64Array[] => {
  const count = ys[0].length;
  // The forms of a comb with itself, with each release's level, and with every other comb.
  const side = (shares: Float64Array) =>
    Array.from(shares, p => {
      const u = Float64Array.from({ length: count }, (_, i) => comb(i + 1, p, depth));
      const au = times(form, u);
      const alone = dot(u, au);
      return { u, au, alone: products.map(({ ay }) => alone - 2 * dot(u, ay)) };
    });
  const [rows, columns] = [side(plucks), side(pickups)];
  return rows.map(a =>
    Float64Array.from(columns, b => {
      let least = Number.POSITIVE_INFINITY;
      for (let r = 0; r < products.length; r++) least = Math.min(least, products[r].own + a.alone[r] + b.alone[r]);
      return least + 2 * dot(a.u, b.au);
    }),
  );
};

/** Place of the least value of `f` between `low` and `high` by golden section. */
const least = (f: (x: number) => number, low: number, high: number): number => {
  const g = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  let [x1, x2] = [b - g * (b - a), a + g * (b - a)];
  let [f1, f2] = [f(x1), f(x2)];
  for (let i = 0; i < 22; i++) {
    if (f1 < f2) {
      [b, x2, f2] = [x2, x1, f1];
      f1 = f((x1 = b - g * (b - a)));
    } else {
      [a, x1, f1] = [x1, x2, f2];
      f2 = f((x2 = a + g * (b - a)));
    }
  }
  return (a + b) / 2;
};

/** Share of the pluck within `reach` of `around` that fits best. */
const refinePluck = (note: Ready, around: number, pickup: number, reach: number): number =>
  least(p => cost(note, p, pickup), Math.max(NEAREST_PLUCK / 2, around - reach), Math.min(0.5, around + reach));

const steps = (low: number, high: number, step: number): Float64Array =>
  Float64Array.from({ length: Math.max(1, Math.floor((high - low) / step) + 1) }, (_, i) => low + i * step);

/** Nearest and farthest a pickup is looked for, as shares of the longest sounding length. */
const NEAREST_SHARE = 0.025;
const FARTHEST_SHARE = 0.45;
/** Nearest pluck, as a share of the sounding length: closer ones only tilt the spectrum. */
const NEAREST_PLUCK = 0.03;

interface Solution {
  pickup: number;
  plucks: number[];
  /** Misfit along `distances`, all notes together. */
  curve: Float64Array;
  distances: Float64Array;
  shares: Float64Array;
}

const search = (notes: readonly Ready[]): Solution => {
  const longest = Math.max(...notes.map(note => note.length));
  const distances = steps(NEAREST_SHARE * longest, FARTHEST_SHARE * longest, longest / 500);
  const shares = steps(NEAREST_PLUCK, 0.5, 1 / 500);
  const grids = notes.map(note =>
    costGrid(
      note,
      shares,
      distances.map(d => d / note.length),
    ),
  );
  const curve = distances.map((_, i) =>
    grids.reduce((sum, grid) => sum + grid.reduce((low, row) => Math.min(low, row[i]), Number.POSITIVE_INFINITY), 0),
  );
  let best = 0;
  for (let i = 1; i < curve.length; i++) if (curve[i] < curve[best]) best = i;
  const pluckAt = grids.map(grid => {
    let row = 0;
    for (let r = 1; r < grid.length; r++) if (grid[r][best] < grid[row][best]) row = r;
    return shares[row];
  });
  // Refinement of all places in turn, around the best of the grid.
  let pickup = distances[best];
  const plucks = [...pluckAt];
  for (let round = 0, span = 1; round < 4; round++, span /= 2) {
    const reach = (span * longest) / 400;
    pickup = least(
      d => notes.reduce((sum, note, i) => sum + cost(note, plucks[i], d / note.length), 0),
      Math.max((NEAREST_SHARE * longest) / 2, pickup - reach),
      pickup + reach,
    );
    notes.forEach((note, i) => {
      const near = span / 400;
      plucks[i] = refinePluck(note, plucks[i], pickup / note.length, near);
    });
  }
  return { pickup, plucks, curve, distances, shares };
};

/** The smooth curve and the fitted levels of a note for given places. */
const explain = (
  note: NoteLevels,
  ready: Ready,
  pluck: number,
  pickup: number,
): { smooth: Float64Array; fitted: Float64Array } => {
  const { release } = bestRelease(ready, pluck, pickup);
  const u = combs(ready, pluck, pickup);
  const residual = ready.ys[release].map((level, i) => level - u[i]);
  const coefficients = ready.regress.map(row => row.reduce((sum, w, i) => sum + w * residual[i], 0));
  const smooth = residual.map(
    (_, i) =>
      SLOPE * Math.log2(i + 1) +
      released(note.partials, i + 1, RELEASES[release]) +
      coefficients.reduce((sum, c, k) => sum + c * ready.basis[k][i], 0),
  );
  return { smooth, fitted: smooth.map((v, i) => v + u[i]) };
};

/** Levels less what the smooth curve, release, pluck and pickup use up. */
const freedomOf = ({ ys }: Ready): number => Math.max(1, ys[0].length - 7);

const misfitOf = (notes: readonly Ready[], { pickup, plucks }: Solution): number =>
  notes.reduce((sum, note, i) => sum + cost(note, plucks[i], pickup / note.length), 0);

/** Clean notes show nulls far deeper than the joint search, whose steps are too coarse for them, can use. */
const DEEPEST = 0.004;
/** Hills of the fit that are climbed. */
const HILLS = 10;

interface Given {
  pluck: number;
  /** The note as it was fitted best. */
  ready: Ready;
  /** At most that of a note that just counts as clean. */
  misfit: number;
}

/** Misfit per degree of freedom up to which a note counts as clean. */
const CLEAN = 2;

/**
 * The pluck of one clean note once the pickup is known: the best hills along its share are refined, for every depth of
 * nulls. A rough note keeps what the joint search, which trusts outliers less, has found.
 */
const pluckGiven = (note: NoteLevels, rough: Ready, pluck: number, pickup: number): Given => {
  const shares = steps(NEAREST_PLUCK, 0.5, 1 / 800);
  let best = { pluck, ready: rough, misfit: CLEAN * freedomOf(rough) };
  for (const depth of [DEEPEST, ...DEPTHS]) {
    const ready = prepare(note, depth);
    const misfits = costGrid(ready, shares, Float64Array.of(pickup)).map(row => row[0]);
    const hills = misfits
      .map((misfit, row) => ({ misfit, row }))
      .filter(({ misfit, row }) => misfit <= (misfits[row - 1] ?? misfit) && misfit <= (misfits[row + 1] ?? misfit))
      .sort((one, other) => one.misfit - other.misfit)
      .slice(0, HILLS);
    for (const { row } of hills) {
      const refined = refinePluck(ready, shares[row], pickup, 1 / 800);
      const misfit = cost(ready, refined, pickup);
      if (misfit < best.misfit) best = { pluck: refined, ready, misfit };
    }
  }
  return best;
};

/** Plucks of all notes and the pickup near `pickup`, each refined given the others. */
const settle = (
  input: readonly NoteLevels[],
  rough: readonly Ready[],
  { plucks }: Solution,
  pickup: number,
  reach: number,
): { pickup: number; given: Given[]; misfit: number } => {
  const givenAt = (d: number) => input.map((note, i) => pluckGiven(note, rough[i], plucks[i], d / note.length));
  const first = givenAt(pickup);
  const refined = least(
    d => first.reduce((sum, { ready, pluck }, i) => sum + cost(ready, pluck, d / input[i].length), 0),
    Math.max(reach, pickup - reach),
    pickup + reach,
  );
  const given = givenAt(refined);
  return { pickup: refined, given, misfit: given.reduce((sum, one) => sum + one.misfit, 0) };
};

/** Probability along a curve of misfits, scaled so that the best fit has the scatter it has. */
const likelihood = (curve: ArrayLike<number>, scale: number): Float64Array => {
  let low = Number.POSITIVE_INFINITY;
  for (let i = 0; i < curve.length; i++) low = Math.min(low, curve[i]);
  const p = Float64Array.from(curve, c => Math.exp(-(c - low) / (2 * scale)));
  const sum = p.reduce((a, b) => a + b, 0);
  return p.map(v => v / sum);
};

/** Mass of `p` within `reach` of `at`, and its standard deviation there. */
const massAround = (x: Float64Array, p: Float64Array, at: number, reach: number): { mass: number; spread: number } => {
  let [mass, square] = [0, 0];
  for (let i = 0; i < x.length; i++)
    if (Math.abs(x[i] - at) <= reach) {
      mass += p[i];
      square += p[i] * (x[i] - at) ** 2;
    }
  return { mass, spread: mass > 0 ? Math.sqrt(square / mass) : reach };
};

const millimetres = (m: number): string => `${(m * 1e3).toFixed(1)} mm`;

/**
 * Places of the pickup (one for all notes) and of each note's pluck. Longer than other functions: search, refinement and
 * confidence are steps over the same errors.
 * @throws RangeError when a note has fewer than six partials
 */
export const estimatePlaces = (input: readonly NoteLevels[]): PlaceEstimate => {
  if (input.length === 0) throw new RangeError('at least one note is needed');
  // A first fit finds the levels that do not belong (a body resonance, a neighbour); the second trusts them less.
  const attempts = DEPTHS.map(depth => {
    const ready = input.map(note => prepare(note, depth));
    const found = search(ready);
    return { ready, found, misfit: misfitOf(ready, found) };
  });
  const { ready: plain, found: first } = attempts.reduce((a, b) => (b.misfit < a.misfit ? b : a));
  const ready = input.map((note, i) => {
    const { fitted } = explain(note, plain[i], first.plucks[i], first.pickup / note.length);
    const error = note.partials.level.map((level, n) => Math.abs(level - fitted[n]));
    const bound = 2.5 * Math.max(0.7, 1.5 * [...error].sort((a, b) => a - b)[Math.floor(error.length / 2)]);
    return prepare(
      note,
      plain[i].depth,
      error.map(e => Math.min(1, bound / Math.max(e, 1e-9))),
    );
  });
  const best = search(ready);
  const longest = Math.max(...input.map(note => note.length));

  const freedom = ready.reduce((sum, note) => sum + freedomOf(note), 0);
  const misfit = misfitOf(ready, best);
  const scale = Math.max(1, misfit / freedom);
  const places = likelihood(best.curve, scale);
  const reach = longest / 100;

  // Hills of the probability; clean notes choose between them with nulls deeper than the grid could use.
  const hills = Array.from(places)
    .map((p, i) => ({ p, i, distance: best.distances[i], confidence: 0 }))
    .filter(({ p, i }) => p >= (places[i - 1] ?? 0) && p > (places[i + 1] ?? 0))
    .map(hill => ({ ...hill, confidence: massAround(best.distances, places, hill.distance, reach).mass }))
    .filter(hill => hill.confidence > 0.05 && Math.abs(hill.distance - best.pickup) > reach);
  const settled = [best.pickup, ...hills.map(hill => hill.distance)]
    .map(pickup => settle(input, ready, best, pickup, longest / 400))
    .reduce((a, b) => (b.misfit < a.misfit ? b : a));
  const around = massAround(best.distances, places, settled.pickup, reach);
  const alternatives = [best.pickup, ...hills.map(hill => hill.distance)]
    .filter(distance => Math.abs(distance - settled.pickup) > reach)
    .map(distance => ({ distance, confidence: massAround(best.distances, places, distance, reach).mass }))
    .sort((a, b) => b.confidence - a.confidence);

  const notes = input.map((note, i): NoteFit => {
    const share = settled.pickup / note.length;
    const { pluck, ready: chosen } = settled.given[i];
    const curve = costGrid(chosen, best.shares, Float64Array.of(share)).map(row => row[0]);
    const own = Math.max(1, cost(chosen, pluck, share) / freedomOf(chosen));
    const { mass, spread } = massAround(best.shares, likelihood(curve, own), pluck, 0.01);
    const { smooth, fitted } = explain(note, chosen, pluck, share);
    const squares = fitted.reduce((sum, v, n) => sum + (v - note.partials.level[n]) ** 2, 0);
    return {
      pluck: {
        distance: pluck * note.length,
        share: pluck,
        spread: spread * note.length,
        confidence: mass * around.mass,
      },
      measured: note.partials.level,
      fitted,
      smooth,
      error: Math.sqrt(squares / fitted.length),
    };
  });

  const lengths = new Set(input.map(note => Math.round(note.length * 1e4)));
  const ambiguities: string[] = [];
  if (lengths.size === 1) {
    const { pluck } = notes[0];
    ambiguities.push(
      `From one sounding length pluck and pickup cannot be told apart: the pickup may be at ${millimetres(pluck.distance)} and the pluck at ${millimetres(settled.pickup)}. Notes on other frets settle it.`,
      `Either place may be its mirror image about the middle of the string: ${millimetres(longest - settled.pickup)} for the pickup.`,
    );
  } else if (alternatives.length > 0)
    ambiguities.push(
      `The notes do not rule out the pickup at ${alternatives.map(one => millimetres(one.distance)).join(' or ')}. Notes on more frets, or plucked elsewhere, settle it.`,
    );
  ambiguities.push(
    'A pluck and its mirror image about the middle of the sounding string look the same; the one nearer the saddle is given.',
  );
  return {
    pickup: {
      distance: settled.pickup,
      share: settled.pickup / longest,
      spread: around.spread,
      confidence: lengths.size === 1 ? around.mass / 2 : around.mass,
    },
    notes,
    alternatives,
    ambiguities,
  };
};

/**
 * Autocorrelation of flattened partial levels over lag as a share of the sounding length, R(p) = Σ X_n² cos(2πnp): its
 * minima stand at the pluck and the pickup (T. Penttinen and V. Välimäki, Applied Acoustics 65 (2004) 1207). For showing.
 */
export const levelAutocorrelation = (flattened: ArrayLike<number>, lags: Float64Array): Float64Array =>
  lags.map(p => {
    let sum = 0;
    for (let i = 0; i < flattened.length; i++) sum += powerOfDb(flattened[i]) * Math.cos(2 * Math.PI * (i + 1) * p);
    return sum;
  });
