/**
 * Places of a pickup and of every pluck from notes of one instrument.
 *
 * One note cannot tell pluck from pickup. Several can: over strings, frets and files what stays at one distance from the
 * saddle is the pickup, what wanders with the hand is the pluck. Each note gives a likelihood along the pickup's distance,
 * whatever its pluck (`evidence.ts`); the likelihoods of all notes are multiplied, each of them mixed with a little of
 * "this note says nothing", so that no single one decides.
 */
import { dbOfPower } from '../../decibels.ts';
import { maximumAt } from '../../golden-section.ts';
import type { Steps } from '../../steps.ts';
import {
  type Comb,
  combAt,
  evidence,
  explain,
  FINE_PLUCKS,
  logMean,
  misfitOf,
  type NoteLevels,
  pluckEvidence,
  type Ready,
  type ReadyNote,
  readied,
} from './evidence.ts';

export interface Place {
  /** m from the saddle. */
  distance: number;
  /** Distance over sounding length; a pluck and its mirror image cannot be told apart: at most a half. */
  share: number;
  /** Standard deviation of the distance, m. */
  spread: number;
  /** Probability that it is right within `REACH`, under the model, 0 to 1. */
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

/** What the notes leave open. Distances in m. */
export type Doubt =
  /** One note, or one place of the hand: pickup and pluck may be the other way round. */
  | { kind: 'exchanged'; pickup: number; pluck: number }
  | { kind: 'mirrored'; pickup: number }
  | { kind: 'others' }
  /** The levels are as well explained without any pickup comb. */
  | { kind: 'no comb' }
  /** Two pickups explain them better: their distances. */
  | { kind: 'two pickups'; near: number; far: number };

export interface PlaceEstimate {
  /** Of one string, or in the middle of the strings that were played. Share belongs to the longest sounding length. */
  pickup: Place;
  /** Where the pickup crosses each string that was played, by string number. */
  strings: { string: number; place: Place }[];
  notes: NoteFit[];
  /** Other pickup places that the notes do not rule out, best first. */
  alternatives: { distance: number; confidence: number }[];
  doubts: Doubt[];
}

/** Distance within which a place counts as right, m: less than the width of a pole. */
export const REACH = 3e-3;
/** Share of a note's likelihood that says nothing: wrong string or fret, a neighbour that rings. */
const IDLE = 0.05;
/**
 * Power to which likelihoods are raised, since the errors of neighbouring partials go together and are counted as if they
 * did not. Of 314 modelled sessions that claimed above 90 % with it 97 % were right, of 17 that claimed 80 to 90 % half
 * (tests/bench/reliability.ts, 440 sessions, seed 7).
 */
const TEMPER = 0.7;
/** Nearest and farthest a pickup is looked for, as shares of the longest sounding length, and the step. */
const NEAREST_PICKUP = 0.025;
const FARTHEST_PICKUP = 0.45;
const STEP = 1 / 600;
/** Scatter of saddles and poles from string to string, and the slant a string to the next, m. */
const UNEVEN = 1e-3;
const SLANT = 2e-3;
const SLANTS = Float64Array.from({ length: 25 }, (_, i) => (i - 12) * 0.5e-3);

const steps = (low: number, high: number, step: number): Float64Array =>
  Float64Array.from({ length: Math.max(1, Math.floor((high - low) / step) + 1) }, (_, i) => low + i * step);

const combsAt = (note: NoteLevels, distances: Float64Array) => (depth: number) =>
  Array.from(distances, d =>
    combAt(note.partials.level.length, d / note.length, depth, (distances[1] - distances[0]) / note.length),
  );

/** Log-likelihood of a note along the distances, bounded so that it cannot decide alone. */
const bounded = (logs: Float64Array): Float64Array => {
  const tempered = logs.map(v => TEMPER * v);
  const mean = logMean(tempered);
  return tempered.map(v => Math.log(IDLE + (1 - IDLE) * Math.exp(v - mean)));
};

/** Probabilities from log-likelihoods: their sum is 1. */
const normalised = (logs: Float64Array): Float64Array => {
  const total = logMean(logs) + Math.log(logs.length);
  return logs.map(v => Math.exp(v - total));
};

const added = (rows: readonly Float64Array[]): Float64Array =>
  rows[0].map((_, i) => rows.reduce((sum, row) => sum + row[i], 0));

/** Likelihood blurred by the unevenness of strings, as logarithms. */
const blurred = (logs: Float64Array, step: number): Float64Array => {
  const most = logs.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const half = Math.ceil((3 * UNEVEN) / step);
  const weights = Array.from({ length: 2 * half + 1 }, (_, i) =>
    Math.exp(-(((i - half) * step) ** 2) / (2 * UNEVEN ** 2)),
  );
  const total = weights.reduce((a, b) => a + b, 0);
  return logs.map((_, i) => {
    let sum = 0;
    for (let k = -half; k <= half; k++) sum += weights[k + half] * Math.exp((logs[i + k] ?? logs[i]) - most);
    return most + Math.log(sum / total + 1e-300);
  });
};

/** Value between two points of a grid, the last ones beyond its ends. */
const between = (values: Float64Array, at: number): number => {
  const low = Math.min(values.length - 2, Math.max(0, Math.floor(at)));
  const part = Math.min(1, Math.max(0, at - low));
  return values[low] + part * (values[low + 1] - values[low]);
};

/**
 * Log-likelihood of the pickup's distance at string `at` from all strings: the pickup is straight, its slant unknown, the
 * saddles uneven.
 */
const acrossStrings = (strings: ReadonlyMap<number, Float64Array>, at: number, step: number): Float64Array => {
  const [first] = strings.values();
  if (strings.size === 1) return first;
  const rows = [...strings].map(([string, logs]) => ({ string, logs: blurred(logs, step) }));
  const perSlant = Array.from(SLANTS, slant =>
    first.map(
      (_, i) =>
        -((slant / SLANT) ** 2) / 2 +
        rows.reduce((sum, { string, logs }) => sum + between(logs, i + (slant * (string - at)) / step), 0),
    ),
  );
  return first.map((_, i) => logMean(perSlant.map(row => row[i])));
};

/** Mass of `p` within `reach` of `at`, its mean and its standard deviation there. */
const massAround = (x: Float64Array, p: Float64Array, at: number, reach: number) => {
  let [mass, first] = [0, 0];
  for (let i = 0; i < x.length; i++)
    if (Math.abs(x[i] - at) <= reach) {
      mass += p[i];
      first += p[i] * x[i];
    }
  const mean = mass > 0 ? first / mass : at;
  let square = 0;
  for (let i = 0; i < x.length; i++) if (Math.abs(x[i] - at) <= reach) square += p[i] * (x[i] - mean) ** 2;
  // A grid cannot show less than its own step.
  const step = x.length > 1 ? x[1] - x[0] : reach;
  return { mass, mean, spread: Math.sqrt((mass > 0 ? square / mass : reach ** 2) + step ** 2 / 12) };
};

/** The likeliest place, its doubt, and the other hills of the probability, best first. */
const likeliest = (distances: Float64Array, logs: Float64Array) => {
  const p = normalised(logs);
  const hills = Array.from(p, (v, i) => ({ v, i }))
    .filter(({ v, i }) => v >= (p[i - 1] ?? 0) && v > (p[i + 1] ?? 0))
    .map(({ i }) => ({ at: distances[i], ...massAround(distances, p, distances[i], REACH) }))
    .sort((a, b) => b.mass - a.mass);
  const apart: typeof hills = [];
  for (const hill of hills) if (apart.every(({ at }) => Math.abs(at - hill.at) > 2 * REACH)) apart.push(hill);
  return apart;
};

/** Others below this probability are not named. */
const WORTH_NAMING = 0.05;

/** Where a string's pickup may be against the place that all notes agree on, m: nulls of a clean note are that sharp. */
const OFFSETS = [-0.8e-3, -0.4e-3, 0, 0.4e-3, 0.8e-3];

/** The pluck of a note once the pickup is known, for every depth of nulls. */
const pluckOf = ({ grid, clean }: ReadyNote, distance: number): NoteFit => {
  const { level } = clean.note.partials;
  const { length } = clean.note;
  const tries = [
    ...grid.map(ready => ({ ready, combs: [combAt(level.length, distance / length, ready.depth)] })),
    { ready: clean, combs: OFFSETS.map(offset => combAt(level.length, (distance + offset) / length, clean.depth)) },
  ];
  const { logs, best } = pluckEvidence(tries, FINE_PLUCKS);
  const [top] = likeliest(
    FINE_PLUCKS.map(share => share * length),
    logs.map(v => TEMPER * v),
  );
  const reach = FINE_PLUCKS[1] - FINE_PLUCKS[0];
  const share = maximumAt(
    p => -misfitOf(best.ready, p, best.comb),
    top.at / length - reach,
    top.at / length + reach,
    1e-3 * reach,
  );
  const { smooth, fitted } = explain(best.ready, share, best.comb);
  const squares = fitted.reduce((sum, v, n) => sum + (v - level[n]) ** 2, 0);
  return {
    pluck: { distance: share * length, share, spread: top.spread, confidence: top.mass },
    measured: level,
    fitted,
    smooth,
    error: Math.sqrt(squares / fitted.length),
  };
};

/** What a free place costs a likelihood that was taken at its best, nats: about one in a hundred places would do. */
const FREE_PLACE = Math.log(100);
/** Nats by which two pickups must then explain the notes better before it is said. */
const BETTER = 4;
const PAIR_STEP = 1 / 90;
/** Two pickups nearer to each other than this share of the length look like one. */
const APART = 0.05;
const PAIR_PLUCKS = Float64Array.from({ length: 95 }, (_, i) => 0.03 + i / 200);
/** Level of the far pickup against the near one, as ratios. */
const BALANCES = [0.5, 1, 2];

/** Comb of two pickups added in phase. */
const pairComb = (count: number, near: number, far: number, balance: number, depth: number): Comb =>
  Float64Array.from({ length: count }, (_, i) => {
    const [a, b] = [near, far].map(p => Math.sin((i + 1) * Math.PI * p));
    return dbOfPower(((a + balance * b) / (1 + balance)) ** 2 + depth ** 2);
  });

interface Pair {
  /** m. */
  near: number;
  far: number;
  balance: number;
}
interface PlacedNote {
  ready: readonly Ready[];
  /** Of the one pickup, m. */
  distance: number;
}

const greatest = (x: Float64Array): number => x.reduce((best, v, i) => (v > x[best] ? i : best), 0);
const countOf = ({ note }: Ready): number => note.partials.level.length;

/** Log-likelihood of all notes under each of several pairs of pickups. */
const pairEvidence = (
  notes: readonly PlacedNote[],
  pairs: readonly Pair[],
  depths: (ready: readonly Ready[]) => readonly Ready[],
): Float64Array =>
  added(
    notes.map(({ ready }) => {
      const { length } = ready[0].note;
      return evidence(
        depths(ready),
        depth =>
          pairs.map(({ near, far, balance }) =>
            pairComb(countOf(ready[0]), near / length, far / length, balance, depth),
          ),
        PAIR_PLUCKS,
      );
    }),
  ).map(v => TEMPER * v);

/** Rounds in which a pair's places are closed in on, each halving the step. */
const ROUNDS = 4;

/** The best pair near one that a coarse grid found, with every depth of nulls, and its log-likelihood. */
const closedIn = (notes: readonly PlacedNote[], start: Pair, step: number): { pair: Pair; log: number } => {
  let [pair, log, reach] = [start, Number.NEGATIVE_INFINITY, step / 2];
  for (let round = 0; round < ROUNDS; round++, reach /= 2) {
    const ratio = 2 ** (2 ** -(round + 1));
    const around = [-1, 0, 1].flatMap(a =>
      [-1, 0, 1].flatMap(b =>
        [-1, 0, 1].map(c => ({
          near: pair.near + a * reach,
          far: pair.far + b * reach,
          balance: pair.balance * ratio ** c,
        })),
      ),
    );
    const logs = pairEvidence(notes, around, ready => ready);
    const best = greatest(logs);
    [pair, log] = [around[best], logs[best]];
  }
  return { pair, log };
};

/** Is there no comb, or are there two pickups? Both against the single place that was found, by the likelihood of all notes. */
const otherwise = (notes: readonly PlacedNote[], longest: number): Doubt[] => {
  const alone = notes.map(({ ready, distance }) =>
    evidence(ready, depth => [
      combAt(countOf(ready[0]), distance / ready[0].note.length, depth),
      new Float64Array(countOf(ready[0])),
    ]),
  );
  const [one, none] = added(alone).map(v => TEMPER * v);
  if (none > one - FREE_PLACE) return [{ kind: 'no comb' }];
  const step = PAIR_STEP * longest;
  const places = Array.from(steps(NEAREST_PICKUP * longest, 0.32 * longest, step));
  const pairs = places.flatMap(near =>
    places
      .filter(far => far - near > APART * longest)
      .flatMap(far => BALANCES.map(balance => ({ near, far, balance }))),
  );
  // A coarse grid meets no deep null: with the roughest ones first.
  const start = pairs[greatest(pairEvidence(notes, pairs, ready => ready.slice(-1)))];
  const { pair, log } = closedIn(notes, start, step);
  return log - FREE_PLACE > one + BETTER ? [{ kind: 'two pickups', near: pair.near, far: pair.far }] : [];
};

/** Most notes that the question after two pickups is put to. */
const FEW = 8;

/**
 * Places of the pickup (one for all notes) and of each note's pluck, yielding how far it has come, 0 to 1.
 * @throws RangeError when there is no note, or one has fewer than six partials
 */
export function* placesSteps(input: readonly NoteLevels[]): Steps<PlaceEstimate> {
  if (input.length === 0) throw new RangeError('at least one note is needed');
  const longest = Math.max(...input.map(note => note.length));
  const step = STEP * longest;
  const distances = steps(NEAREST_PICKUP * longest, FARTHEST_PICKUP * longest, step);
  const ready: ReadyNote[] = [];
  const said: Float64Array[] = [];
  for (const note of input) {
    ready.push(readied(note));
    said.push(bounded(evidence(ready[said.length].grid, combsAt(note, distances))));
    yield (0.7 * said.length) / input.length;
  }
  const numbers = [...new Set(input.map(note => note.string))].sort((a, b) => a - b);
  const perString = new Map(
    numbers.map(string => [string, added(said.filter((_, i) => input[i].string === string))] as const),
  );
  const [first, ...others] = likeliest(distances, acrossStrings(perString, mean(numbers), step));
  const strings = numbers.map(string => {
    const [top] = likeliest(distances, acrossStrings(perString, string, step));
    return { string, place: placeOf(top, longest) };
  });
  const distanceOn = (string: number) => strings.find(one => one.string === string)?.place.distance ?? first.mean;
  const notes: NoteFit[] = [];
  for (const [i, note] of input.entries()) {
    notes.push(pluckOf(ready[i], distanceOn(note.string)));
    yield 0.7 + (0.1 * notes.length) / input.length;
  }
  const alternatives = others
    .filter(({ mass }) => mass > WORTH_NAMING)
    .map(({ mean: distance, mass }) => ({ distance, confidence: mass }));
  const few = spread(input.length, FEW).map(i => ({ ready: ready[i].grid, distance: distanceOn(input[i].string) }));
  const doubts = [
    ...(input.length > 1 ? otherwise(few, longest) : []),
    ...leftOpen(input, notes, first.mean, alternatives),
  ];
  return { pickup: placeOf(first, longest), strings, notes, alternatives, doubts };
}

/** Up to `most` numbers below `count`, evenly spread. */
const spread = (count: number, most: number): number[] =>
  Array.from({ length: Math.min(count, most) }, (_, i) => Math.floor((i * count) / Math.min(count, most)));

const mean = (x: readonly number[]): number => x.reduce((a, b) => a + b, 0) / x.length;

const placeOf = (
  { mean: distance, mass, spread }: { mean: number; mass: number; spread: number },
  longest: number,
): Place => ({
  distance,
  share: distance / longest,
  spread,
  confidence: mass,
});

/** What one hand, one length or few notes leave open. */
const leftOpen = (
  input: readonly NoteLevels[],
  notes: readonly NoteFit[],
  pickup: number,
  alternatives: PlaceEstimate['alternatives'],
): Doubt[] => {
  const doubts: Doubt[] = [];
  const exchanged = alternatives.some(({ distance }) =>
    notes.every(({ pluck }) => Math.abs(pluck.distance - distance) < 2 * REACH),
  );
  if (exchanged || input.length === 1) doubts.push({ kind: 'exchanged', pickup, pluck: notes[0].pluck.distance });
  else if (alternatives.length > 0) doubts.push({ kind: 'others' });
  const lengths = input.map(note => note.length);
  if (new Set(lengths.map(length => Math.round(length * 1e4))).size === 1)
    doubts.push({ kind: 'mirrored', pickup: lengths[0] - pickup });
  return doubts;
};
