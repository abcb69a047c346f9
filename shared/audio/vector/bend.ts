/**
 * Signals that laws bend. Four convolved signals at once are brought to four times the rate, bent, and summed there with
 * others of the same destination; the sum is brought back and becomes signals of the history, to be convolved again.
 *
 *   row: sum of paths ─▶ ×2 ─▶ ×2 ─▶ laws ────────────────────┐
 *   row: sum of paths ─▶ ×2 ─▶ ×2 ─▶ ×2 ─▶ means of laws ─▶ ÷2 ┴─▶ gathering ─▶ ÷2 ─▶ ÷2 ─▶ up to four signals
 *
 * The second way is that of abrupt laws. Every way is late by the same LATENCY, whole samples, and has linear phase.
 */
import { blockOf, push } from './history';
import { isNone, MEAN_STATE, meanTo, ROW_LAWS, readyLaws, restAt, valuesAt } from './law';
import { reserve, VECTOR } from './memory';
import {
  down,
  EASIEST_PAIRS,
  EASY_PAIRS,
  easiest,
  easy,
  pastOfDown,
  pastOfUp,
  STEEP_PAIRS,
  steep,
  up,
} from './oversample';
import { sum } from './sums';
import { BLOCK, present } from './transform';

/** Samples at four times the rate that every law is late by. */
const LAW_DELAY: usize = 12;
/** Samples, at the engine's rate, from a row's sum to the signal it becomes. */
export const LATENCY: usize = 2 * STEEP_PAIRS + EASY_PAIRS + LAW_DELAY / 4;

/** A line's present in bytes, at the engine's rate, twice and four times it. */
const LOW: usize = BLOCK * VECTOR;
const MIDDLE: usize = 2 * LOW;
const HIGH: usize = 4 * LOW;
/** And at eight times it. */
const TOP: usize = 8 * LOW;

/**
 * Of a straight law, the mean between a sample and the next is half the sum of both: half a sample late, and falling with
 * frequency. The mean of two such means is a whole sample late and falls as 1 − s/4 with s = −z + 2 − z⁻¹. These four taps
 * take the mean of two and the fall back, to 0.002 dB at 0.43 of the engine's rate: (1 + z⁻¹)/2 · (1 + 0.2561 s).
 */
const OUTER: f32 = -0.2561 / 2;
const INNER: f32 = 1.2561 / 2;
const MEAN_PAST: usize = 3;
/** Samples at four times the rate that a mean is late by, with the way to eight times and back. */
const MEAN_DELAY: usize = 2 * EASIEST_PAIRS + 1;

// A row in memory.
const ROW_LAW: usize = ROW_LAWS;
const ROW_ABRUPT: usize = ROW_LAW + 16;
const ROW_STATES: usize = ROW_ABRUPT + 16;
const ROW_LOW: usize = ROW_STATES + 4 * MEAN_STATE;
const ROW_MIDDLE: usize = ROW_LOW + 2 * STEEP_PAIRS * VECTOR + LOW;
const ROW_HIGH: usize = ROW_MIDDLE + 2 * EASY_PAIRS * VECTOR + MIDDLE;
const ROW_MEANS: usize = ROW_HIGH + 2 * EASIEST_PAIRS * VECTOR + HIGH;
const ROW_TOP: usize = ROW_MEANS + MEAN_PAST * VECTOR + TOP;
const ROW: usize = ROW_TOP + 4 * EASIEST_PAIRS * VECTOR + TOP;
// A gathering in memory.
const GATHERED_PAST: usize = (4 * EASY_PAIRS + LAW_DELAY) * VECTOR;
const GATHERING_MIDDLE: usize = GATHERED_PAST + HIGH;
const GATHERING: usize = GATHERING_MIDDLE + 4 * STEEP_PAIRS * VECTOR + MIDDLE;

/** Eight and four times the rate, and the engine's own, without a past. */
const top: usize = reserve(TOP);
const high: usize = reserve(HIGH);
const low: usize = reserve(LOW);
let rows: usize = 0;
let gatherings: usize = 0;

export function prepareBends(rowCount: usize, gatheringCount: usize): void {
  rows = reserve(rowCount * ROW);
  gatherings = reserve(gatheringCount * GATHERING);
}

/** Begins a row at rest, with the laws at four addresses. */
export function openRow(number: usize, law0: usize, law1: usize, law2: usize, law3: usize): void {
  const row = rows + number * ROW;
  memory.fill(row, 0, ROW);
  store<u32>(row + ROW_ABRUPT, readyLaws(row, law0, law1, law2, law3) ? 1 : 0);
  store<usize>(row + ROW_LAW, law0);
  store<usize>(row + ROW_LAW + 4, law1);
  store<usize>(row + ROW_LAW + 8, law2);
  store<usize>(row + ROW_LAW + 12, law3);
  for (let lane: usize = 0; lane < 4; lane++)
    restAt(load<usize>(row + ROW_LAW + lane * 4), row + ROW_STATES + lane * MEAN_STATE);
}

/** Begins a gathering at rest. */
export function openGathering(number: usize): void {
  memory.fill(gatherings + number * GATHERING, 0, GATHERING);
}

/** Moves the end of a line's present to where its past is kept. */
function goOn(line: usize, past: usize, length: usize): void {
  memory.copy(line, line + length, past);
}

/** One block of a row, whose targets are `first` to `first + 3` of a table of paths, into a gathering. */
export function bendRow(number: usize, paths: usize, end: usize, kernels: usize, first: usize, into: usize): void {
  const row = rows + number * ROW;
  const lowLine = row + ROW_LOW;
  const lowPast = pastOfUp(STEEP_PAIRS) * VECTOR;
  goOn(lowLine, lowPast, LOW);
  const sounds = sum(paths, end, kernels, first);
  for (let n: usize = 0; n < BLOCK; n++)
    v128.store(lowLine + lowPast + n * VECTOR, sounds ? present(n) : f32x4.splat(0));
  const middleLine = row + ROW_MIDDLE;
  const middlePast = pastOfUp(EASY_PAIRS) * VECTOR;
  goOn(middleLine, middlePast, MIDDLE);
  up(middleLine + middlePast, lowLine + lowPast, BLOCK, steep, STEEP_PAIRS);
  const gathered = gatherings + into * GATHERING + GATHERED_PAST;
  if (load<u32>(row + ROW_ABRUPT) === 0) {
    up(high, middleLine + middlePast, 2 * BLOCK, easy, EASY_PAIRS);
    for (let at: usize = 0; at < HIGH; at += VECTOR) addTo(gathered + at, valuesAt(row, v128.load(high + at)));
  } else {
    const highLine = row + ROW_HIGH;
    const highPast = pastOfUp(EASIEST_PAIRS) * VECTOR;
    goOn(highLine, highPast, HIGH);
    up(highLine + highPast, middleLine + middlePast, 2 * BLOCK, easy, EASY_PAIRS);
    up(top, highLine + highPast, 4 * BLOCK, easiest, EASIEST_PAIRS);
    means(row);
    const early = gathered - MEAN_DELAY * VECTOR;
    for (let at: usize = 0; at < HIGH; at += VECTOR) addTo(early + at, v128.load(high + at));
  }
}

function addTo(at: usize, x: v128): void {
  v128.store(at, f32x4.add(v128.load(at), x));
}

/** Means of a row's laws over the steps of `top`, at half its rate to `high`. */
function means(row: usize): void {
  const meansLine = row + ROW_MEANS;
  goOn(meansLine, MEAN_PAST * VECTOR, TOP);
  const mean = meansLine + MEAN_PAST * VECTOR;
  for (let lane: usize = 0; lane < 4; lane++) {
    const law = load<usize>(row + ROW_LAW + lane * 4);
    if (isNone(law)) continue;
    const state = row + ROW_STATES + lane * MEAN_STATE;
    for (let at = lane * 4; at < TOP; at += VECTOR)
      store<f32>(mean + at, <f32>meanTo(law, <f64>load<f32>(top + at), state));
  }
  const topLine = row + ROW_TOP;
  const topPast = pastOfDown(EASIEST_PAIRS) * VECTOR;
  goOn(topLine, topPast, TOP);
  const outer = f32x4.splat(OUTER);
  const inner = f32x4.splat(INNER);
  for (let at: usize = 0; at < TOP; at += VECTOR) {
    const x = mean + at;
    const ends = f32x4.add(v128.load(x), v128.load(x - 3 * VECTOR));
    const middle = f32x4.add(v128.load(x - VECTOR), v128.load(x - 2 * VECTOR));
    v128.store(topLine + topPast + at, f32x4.add(f32x4.mul(outer, ends), f32x4.mul(inner, middle)));
  }
  down(high, topLine + topPast, 4 * BLOCK, easiest, EASIEST_PAIRS);
}

/** Empties a gathering's present, before rows are bent into it. */
export function clearGathering(number: usize): void {
  const line = gatherings + number * GATHERING;
  goOn(line, GATHERED_PAST, HIGH);
  memory.fill(line + GATHERED_PAST, 0, HIGH);
}

/**
 * What was gathered becomes the present of four signals, `first` and the three after it: lane n is added to signal
 * first + byte n of `lanes`.
 */
export function closeGathering(number: usize, lanes: u32, first: usize): void {
  const line = gatherings + number * GATHERING;
  const middleLine = line + GATHERING_MIDDLE;
  const middlePast = pastOfDown(STEEP_PAIRS) * VECTOR;
  goOn(middleLine, middlePast, MIDDLE);
  down(middleLine + middlePast, line + pastOfDown(EASY_PAIRS) * VECTOR, 2 * BLOCK, easy, EASY_PAIRS);
  down(low, middleLine + middlePast, BLOCK, steep, STEEP_PAIRS);
  memory.fill(blockOf(first), 0, 4 * BLOCK * 4);
  for (let lane: usize = 0; lane < 4; lane++) {
    const to = blockOf(first + ((lanes >> <u32>(8 * lane)) & 3));
    for (let n: usize = 0; n < BLOCK; n++)
      store<f32>(to + n * 4, load<f32>(to + n * 4) + load<f32>(low + n * VECTOR + lane * 4));
  }
  push(first);
}
