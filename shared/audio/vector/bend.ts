/**
 * Signals that laws bend. Four convolved signals at once are brought to a higher rate, bent, and summed there with others of
 * the same destination; the sum is brought back and becomes signals of the history, to be convolved again.
 *
 *   smooth: sum of paths ─▶ ×2 ─▶ delay ─▶ laws ──────────────────────────────────▶ sum ─▶ ÷2 ─▶ up to four signals
 *   abrupt: sum of paths ─▶ ×2 ─▶ ×2 ─▶ ×2 ─▶ means of laws ─▶ ÷2 ─▶ sum, pad ─▶ ÷2 ──┘
 *
 * A row goes the second way when one of its laws is abrupt. Both have linear phase and are late by the same, in samples:
 *
 *   step            at its rate                      at the engine's    smooth    abrupt
 *   ×2 to twice     STEEP_PAIRS            of 1×     24                 24        24
 *   ×2 to four      EASY_PAIRS             of 2×     3.5                          3.5
 *   ×2 to eight     EASIEST_PAIRS          of 4×     1.25                         1.25
 *   means, 4 taps   0.5 + 1.5              of 8×     0.25                         0.25
 *   ÷2 to four      EASIEST_PAIRS          of 4×     1.25                         1.25
 *   pad             ABRUPT_DELAY − MEAN_DELAY of 4×  0.25                         0.25
 *   ÷2 to twice     EASY_PAIRS             of 2×     3.5                          3.5
 *   delay           SMOOTH_DELAY           of 2×     10                 10
 *   ÷2 to one       STEEP_PAIRS            of 1×     24                 24        24
 *   LATENCY                                                             58        58
 */
import { blockOf, push } from './history';
import { beginMean, isNone, MEAN_STATE, meanTo, ROW_LAWS, readyLaws, valuesAt } from './law';
import { reserve, VECTOR } from './memory';
import { down, EASIEST_PAIRS, EASY_PAIRS, easiest, easy, STEEP_PAIRS, steep, up } from './oversample';
import { pathTo, sum } from './sums';
import { block, blockBytes } from './transform';
import { storeTransposed } from './transpose';

/** Samples at four times the rate that a mean is late by: the way to eight times and back, and one for mean and taps. */
const MEAN_DELAY: usize = 2 * EASIEST_PAIRS + 1;
/** The same, padded to whole samples of the engine's rate. */
const ABRUPT_DELAY: usize = (MEAN_DELAY + 3) & ~3;
/** Samples at twice the rate by which smooth laws wait for abrupt ones. */
const SMOOTH_DELAY: usize = 2 * EASY_PAIRS + ABRUPT_DELAY / 2;
/** Samples, at the engine's rate, from a row's sum to the signal it becomes. */
export const LATENCY: usize = 2 * STEEP_PAIRS + EASY_PAIRS + ABRUPT_DELAY / 4;

/** A line's present in bytes, at the engine's rate, and at twice, four and eight times it. */
let lowBytes: usize = 0;
let middleBytes: usize = 0;
let highBytes: usize = 0;
let topBytes: usize = 0;

/**
 * Of a straight law, the mean between a sample and the next is half the sum of both: half a sample late, and falling with
 * frequency. The mean of two such means is a whole sample late and falls as 1 − s/4 with s = −z + 2 − z⁻¹. These four taps
 * take the mean of two and the fall back: (1 + z⁻¹)/2 · (1 + c s). Exact at one frequency is c = 1/(4 − s); with c = 0.2561
 * it stays within 0.0013 dB up to 0.43 of the engine's rate (s = 0.113 there, at eight times it), about as far above as below.
 */
const OUTER: f32 = -0.2561 / 2;
const INNER: f32 = 1.2561 / 2;

/** What of a line's past is kept in front of it, bytes. */
const LOW_PAST: usize = 2 * STEEP_PAIRS * VECTOR;
const MIDDLE_PAST: usize = SMOOTH_DELAY * VECTOR;
const HIGH_PAST: usize = 2 * EASIEST_PAIRS * VECTOR;
const MEANS_PAST: usize = 3 * VECTOR;
const TOP_PAST: usize = 4 * EASIEST_PAIRS * VECTOR;
const GATHERED_PAST: usize = (4 * EASY_PAIRS + ABRUPT_DELAY) * VECTOR;
const GATHERED_MIDDLE_PAST: usize = 4 * STEEP_PAIRS * VECTOR;

/** A row in memory: its laws made ready, their addresses, whether any is abrupt, what means remember, then its lines. */
const ROW_LAW: usize = ROW_LAWS;
const ROW_ABRUPT: usize = ROW_LAW + 16;
const ROW_STATES: usize = ROW_ABRUPT + 16;
const ROW_LINES: usize = ROW_STATES + 4 * MEAN_STATE;
let rowBytes: usize = 0;
/** A gathering in memory: whether any of its rows is abrupt, then the sums at four times the rate and at twice. */
const GATHERING_HIGH: usize = VECTOR;
let gatheringMiddle: usize = 0;
let gatheringBytes: usize = 0;

/** Four targets' samples of a block, one after the other. */
let sums: usize = 0;
/** Eight, four and two times the rate, and the engine's own, without a past. */
let top: usize = 0;
let high: usize = 0;
let middle: usize = 0;
let low: usize = 0;
let rows: usize = 0;
let gatherings: usize = 0;

export function prepareBends(rowCount: usize, gatheringCount: usize): void {
  lowBytes = block * VECTOR;
  middleBytes = 2 * lowBytes;
  highBytes = 4 * lowBytes;
  topBytes = 8 * lowBytes;
  const pasts = LOW_PAST + MIDDLE_PAST + HIGH_PAST + MEANS_PAST + TOP_PAST;
  rowBytes = ROW_LINES + pasts + lowBytes + middleBytes + highBytes + 2 * topBytes;
  gatheringMiddle = GATHERING_HIGH + GATHERED_PAST + highBytes;
  gatheringBytes = gatheringMiddle + GATHERED_MIDDLE_PAST + middleBytes;
  rows = reserve(rowCount * rowBytes);
  gatherings = reserve(gatheringCount * gatheringBytes);
  if (rowCount === 0) return;
  sums = reserve(4 * blockBytes);
  top = reserve(topBytes);
  high = reserve(highBytes);
  middle = reserve(middleBytes);
  low = reserve(lowBytes);
}

/** Begins a row in silence, with the laws at four addresses. */
export function openRow(number: usize, law0: usize, law1: usize, law2: usize, law3: usize): void {
  const row = rows + number * rowBytes;
  memory.fill(row, 0, rowBytes);
  store<u32>(row + ROW_ABRUPT, readyLaws(row, law0, law1, law2, law3) ? 1 : 0);
  store<usize>(row + ROW_LAW, law0);
  store<usize>(row + ROW_LAW + 4, law1);
  store<usize>(row + ROW_LAW + 8, law2);
  store<usize>(row + ROW_LAW + 12, law3);
  for (let lane: usize = 0; lane < 4; lane++)
    beginMean(load<usize>(row + ROW_LAW + lane * 4), row + ROW_STATES + lane * MEAN_STATE);
}

/** Begins a gathering in silence. */
export function openGathering(number: usize): void {
  memory.fill(gatherings + number * gatheringBytes, 0, gatheringBytes);
}

/** Moves the end of a line's present to where its past is kept; returns where its new present is to be put. */
function goOn(line: usize, past: usize, length: usize): usize {
  memory.copy(line, line + length, past);
  return line + past;
}

/**
 * One block of a row, whose targets are `first` to `first + 3` of the paths between two addresses, into a gathering.
 */
export function bendRow(number: usize, paths: usize, end: usize, kernels: usize, first: usize, into: usize): void {
  const row = rows + number * rowBytes;
  for (let lane: usize = 0, path = paths; lane < 4; lane++) {
    path = pathTo(path, end, first + lane);
    sum(path, end, kernels, first + lane, sums + lane * blockBytes);
  }
  const lowLine = row + ROW_LINES;
  const middleLine = lowLine + LOW_PAST + lowBytes;
  const highLine = middleLine + MIDDLE_PAST + middleBytes;
  const lowNow = goOn(lowLine, LOW_PAST, lowBytes);
  for (let n: usize = 0; n < block; n += 4) {
    const from = sums + n * 4;
    const to = lowNow + n * VECTOR;
    storeTransposed(
      v128.load(from),
      v128.load(from + blockBytes),
      v128.load(from + 2 * blockBytes),
      v128.load(from + 3 * blockBytes),
      to,
      to + VECTOR,
      to + 2 * VECTOR,
      to + 3 * VECTOR,
    );
  }
  const middleNow = goOn(middleLine, MIDDLE_PAST, middleBytes);
  up(middleNow, lowNow, block, steep, STEEP_PAIRS);
  const gathering = gatherings + into * gatheringBytes;
  if (load<u32>(row + ROW_ABRUPT) === 0) {
    const gathered = gathering + gatheringMiddle + GATHERED_MIDDLE_PAST;
    const late = middleNow - SMOOTH_DELAY * VECTOR;
    for (let at: usize = 0; at < middleBytes; at += VECTOR) addTo(gathered + at, valuesAt(row, v128.load(late + at)));
  } else {
    store<u32>(gathering, 1);
    const highNow = goOn(highLine, HIGH_PAST, highBytes);
    up(highNow, middleNow, 2 * block, easy, EASY_PAIRS);
    up(top, highNow, 4 * block, easiest, EASIEST_PAIRS);
    means(row, highLine + HIGH_PAST + highBytes);
    // To where they belong in time, MEAN_DELAY back in the line's past: it is read ABRUPT_DELAY late, never before they came.
    const due = gathering + GATHERING_HIGH + GATHERED_PAST - MEAN_DELAY * VECTOR;
    for (let at: usize = 0; at < highBytes; at += VECTOR) addTo(due + at, v128.load(high + at));
  }
}

function addTo(at: usize, x: v128): void {
  v128.store(at, f32x4.add(v128.load(at), x));
}

/** Means of a row's laws over the steps of `top`, at half its rate to `high`; `meansLine` is the first line of two. */
function means(row: usize, meansLine: usize): void {
  const mean = goOn(meansLine, MEANS_PAST, topBytes);
  for (let lane: usize = 0; lane < 4; lane++) {
    const law = load<usize>(row + ROW_LAW + lane * 4);
    if (isNone(law)) continue;
    const state = row + ROW_STATES + lane * MEAN_STATE;
    for (let at = lane * 4; at < topBytes; at += VECTOR)
      store<f32>(mean + at, <f32>meanTo(law, <f64>load<f32>(top + at), state));
  }
  const topNow = goOn(mean + topBytes, TOP_PAST, topBytes);
  const outer = f32x4.splat(OUTER);
  const inner = f32x4.splat(INNER);
  for (let at: usize = 0; at < topBytes; at += VECTOR) {
    const x = mean + at;
    const ends = f32x4.add(v128.load(x), v128.load(x - 3 * VECTOR));
    const middle = f32x4.add(v128.load(x - VECTOR), v128.load(x - 2 * VECTOR));
    v128.store(topNow + at, f32x4.add(f32x4.mul(outer, ends), f32x4.mul(inner, middle)));
  }
  down(high, topNow, 4 * block, easiest, EASIEST_PAIRS);
}

/** Empties a gathering's present, before rows are bent into it. */
export function clearGathering(number: usize): void {
  const gathering = gatherings + number * gatheringBytes;
  memory.fill(goOn(gathering + gatheringMiddle, GATHERED_MIDDLE_PAST, middleBytes), 0, middleBytes);
  if (load<u32>(gathering) !== 0) memory.fill(goOn(gathering + GATHERING_HIGH, GATHERED_PAST, highBytes), 0, highBytes);
}

/**
 * What was gathered becomes the present of four signals, `first` and the three after it: lane n is added to signal
 * first + byte n of `lanes`.
 */
export function closeGathering(number: usize, lanes: u32, first: usize): void {
  const gathering = gatherings + number * gatheringBytes;
  const middleNow = gathering + gatheringMiddle + GATHERED_MIDDLE_PAST;
  if (load<u32>(gathering) !== 0) {
    down(middle, gathering + GATHERING_HIGH + 4 * EASY_PAIRS * VECTOR, 2 * block, easy, EASY_PAIRS);
    for (let at: usize = 0; at < middleBytes; at += VECTOR) addTo(middleNow + at, v128.load(middle + at));
  }
  down(low, middleNow, block, steep, STEEP_PAIRS);
  for (let n: usize = 0; n < block; n += 4) {
    const from = low + n * VECTOR;
    const to = sums + n * 4;
    storeTransposed(
      v128.load(from),
      v128.load(from, VECTOR),
      v128.load(from, 2 * VECTOR),
      v128.load(from, 3 * VECTOR),
      to,
      to + blockBytes,
      to + 2 * blockBytes,
      to + 3 * blockBytes,
    );
  }
  memory.fill(blockOf(first), 0, 4 * blockBytes);
  for (let lane: usize = 0; lane < 4; lane++) {
    const from = sums + lane * blockBytes;
    const to = blockOf(first + ((lanes >> <u32>(8 * lane)) & 3));
    for (let at: usize = 0; at < blockBytes; at += VECTOR) addTo(to + at, v128.load(from + at));
  }
  for (let signal = first; signal < first + 4; signal++) push(signal);
}
