/**
 * A look-ahead limiter for true peaks, linked over outputs. Peaks between samples are found as in ITU-R BS.1770-5,
 * Annex 2 (four times oversampled); the gain falls along a straight line of 64 samples that ends before the peak, so no
 * sample is clipped. With nothing to limit it is a delay of 96 samples, exact to the last bit.
 */
import { bessel0 } from './bessel';
import { reserve, VECTOR } from './memory';
import { block, blockBytes } from './transform';

/** Delay of the limiter, samples. */
export const LOOK_AHEAD: usize = 96;
/** What the output stays below, dBFS true peak. */
const CEILING_DB: f64 = -1;
/** Below the ceiling, dB: what four-fold oversampling misses (0.69 dB at half the sample rate) and the gain's own slope. */
const MARGIN_DB: f64 = 1;
/** Samples the gain takes to fall. */
const SLOPE: usize = 64;
/** Samples each side that an interpolated value is made of. */
const REACH: usize = 16;
/**
 * Samples before and after a peak that are held down as far as the peak itself. The peak after sample p is known when sample
 * p + REACH comes; the mean of the last SLOPE held gains has fallen all the way SLOPE − 1 later, and what goes out then is
 * sample p + REACH + SLOPE − 1 − LOOK_AHEAD = p − BEFORE. AFTER is chosen: behind it the gain comes back by less than 1/3500
 * of what it lacks in a sample, which the margin covers.
 */
const BEFORE: usize = LOOK_AHEAD - REACH - SLOPE + 1;
const AFTER: usize = 5;
/** Samples for which a needed gain is held: until it has gone through the mean, then from p − BEFORE to p + AFTER. */
const HOLD: usize = SLOPE + BEFORE + AFTER;
const RELEASE_SECONDS: f64 = 0.08;
/** Largest input, +36 dBFS: beyond it no gain helps, samples are cut. */
const LARGEST: f32 = 64;
/** Above this a gain that is let go counts as 1. */
const FREE: f64 = 1 - 1e-5;

/** Samples of past input in front of each block: the delay, and what interpolation reaches back to. */
const PAST: usize = LOOK_AHEAD + 2 * REACH;

const ceiling: f32 = <f32>(10 ** ((CEILING_DB - MARGIN_DB) / 20));
let release: f64 = 0;
let outputs: usize = 0;
/** Past and current input, [output]. */
let lines: usize = 0;
let lineBytes: usize = 0;
/** Values at 1/4, 1/2 and 3/4 of the way between two samples, by sinc with a Kaiser window (β = 4): [tap][phase]. */
const TAPS: usize = 2 * REACH;
const interpolators: usize = reserve(TAPS * 3 * 4);
const KAISER: f64 = 4;
/** A value between samples is at most this many times the largest of its neighbours. */
let gainBound: f32 = 0;

/** Of each sample of a block: the largest of what follows it up to the next, then the gain it gets. */
let peaks: usize = 0;
let gains: usize = 0;
/** Needed gains of the last HOLD samples, a queue of rising minima over them: sample number, gain. */
const queue: usize = reserve((HOLD + 1) * 16);
let head: usize = 0;
let count: usize = 0;
let time: f64 = 0;
/** Last SLOPE held gains, a ring; its mean is the gain. */
const held: usize = reserve(SLOPE * 8);
let heldAt: usize = 0;
let heldSum: f64 = 0;
let ones: usize = 0;
let last: f64 = 1;
/** Largest sample of the block before. */
let lastPeak: f32 = 0;
/** Samples since a peak last needed a gain below 1. */
let since: usize = 0;

export function prepareLimiter(outputCount: usize, sampleRate: f64): void {
  outputs = outputCount;
  release = 1 - Math.exp(-1 / (RELEASE_SECONDS * sampleRate));
  lineBytes = PAST * 4 + blockBytes;
  lines = reserve(outputs * lineBytes);
  peaks = reserve(blockBytes);
  gains = reserve(blockBytes);
  for (let phase: usize = 0; phase < 3; phase++) fillPhase(phase);
  resetLimiter();
}

function fillPhase(phase: usize): void {
  const part = <f64>(phase + 1) / 4;
  let sum: f64 = 0;
  let bound: f64 = 0;
  for (let pass = 0; pass < 2; pass++)
    for (let tap: usize = 0; tap < TAPS; tap++) {
      const x = <f64>tap - <f64>(REACH - 1) - part;
      const u = x / <f64>REACH;
      const sinc = Math.sin(Math.PI * x) / (Math.PI * x);
      const value = (sinc * bessel0(KAISER * Math.sqrt(1 - u * u))) / bessel0(KAISER);
      if (pass === 0) sum += value;
      else {
        store<f32>(interpolators + (tap * 3 + phase) * 4, <f32>(value / sum));
        bound += Math.abs(value / sum);
      }
    }
  gainBound = max(gainBound, <f32>bound);
}

/** Forgets all sound. */
export function resetLimiter(): void {
  memory.fill(lines, 0, outputs * lineBytes);
  lastPeak = 0;
  count = 0;
  since = HOLD;
  for (let i: usize = 0; i < SLOPE; i++) store<f64>(held + i * 8, 1);
  heldSum = SLOPE;
  ones = SLOPE;
  last = 1;
}

/** Where an output's block is to be put. */
export function lineOf(output: usize): usize {
  return lines + output * lineBytes + PAST * 4;
}

/** The blocks in the lines of all outputs, limited (or, if not `on`, as they are) to `out`. Returns the lowest gain. */
export function limit(out: usize, on: bool): f32 {
  if (!on) {
    for (let output: usize = 0; output < outputs; output++)
      memory.copy(out + output * blockBytes, lineOf(output), blockBytes);
    return 1;
  }
  let most = f32x4.splat(0);
  for (let output: usize = 0; output < outputs; output++) most = f32x4.max(most, cut(lineOf(output)));
  const peak = largestOf(most);
  // What interpolation reaches back to lies in the block before, or further back where blocks are short.
  const busy = max(peak, lastPeak) * gainBound > ceiling;
  lastPeak = peak;
  let lowest: f32 = 1;
  const free = !busy && since >= HOLD && ones >= SLOPE;
  if (!free) {
    memory.fill(peaks, 0, blockBytes);
    if (busy) for (let output: usize = 0; output < outputs; output++) findPeaks(lineOf(output));
    lowest = findGains();
  }
  for (let output: usize = 0; output < outputs; output++) {
    const line = lineOf(output);
    const to = out + output * blockBytes;
    const from = line - LOOK_AHEAD * 4;
    if (free) memory.copy(to, from, blockBytes);
    else
      for (let n: usize = 0; n < blockBytes; n += VECTOR)
        v128.store(to + n, f32x4.mul(v128.load(from + n), v128.load(gains + n)));
    memory.copy(line - PAST * 4, line - PAST * 4 + blockBytes, PAST * 4);
  }
  return lowest;
}

/** The largest of four. */
export function largestOf(x: v128): f32 {
  return max(
    max(f32x4.extract_lane(x, 0), f32x4.extract_lane(x, 1)),
    max(f32x4.extract_lane(x, 2), f32x4.extract_lane(x, 3)),
  );
}

/** Cuts a block off at LARGEST; returns its largest samples. */
function cut(line: usize): v128 {
  const largest = f32x4.splat(LARGEST);
  let most = f32x4.splat(0);
  for (const end = line + blockBytes; line < end; line += VECTOR) {
    const x = f32x4.max(f32x4.min(v128.load(line), largest), f32x4.neg(largest));
    v128.store(line, x);
    most = f32x4.max(most, f32x4.abs(x));
  }
  return most;
}

/** The larger of |x| and the three values that follow it, for the samples REACH before each of the block, into `peaks`. */
function findPeaks(line: usize): void {
  for (let n: usize = 0; n < blockBytes; n += VECTOR) {
    const start = line + n - (TAPS - 1) * 4;
    let first = f32x4.splat(0);
    let second = first;
    let third = first;
    for (let tap: usize = 0; tap < TAPS; tap++) {
      const x = v128.load(start + tap * 4);
      const row = interpolators + tap * 12;
      first = f32x4.add(first, f32x4.mul(x, v128.load32_splat(row)));
      second = f32x4.add(second, f32x4.mul(x, v128.load32_splat(row, 4)));
      third = f32x4.add(third, f32x4.mul(x, v128.load32_splat(row, 8)));
    }
    const between = f32x4.max(f32x4.max(f32x4.abs(first), f32x4.abs(second)), f32x4.abs(third));
    const peak = f32x4.max(between, f32x4.abs(v128.load(start + (REACH - 1) * 4)));
    v128.store(peaks + n, f32x4.max(v128.load(peaks + n), peak));
  }
}

/** From `peaks` to `gains`; returns the lowest. */
function findGains(): f32 {
  let lowest: f32 = 1;
  for (let n: usize = 0; n < block; n++) {
    const peak = load<f32>(peaks + n * 4);
    const needed = peak > ceiling ? <f64>ceiling / <f64>peak : 1;
    since = needed < 1 ? 0 : since + 1;
    const floor = lowestOf(needed);
    let hold = last + (1 - last) * release;
    if (hold > FREE) hold = 1;
    if (floor < hold) hold = floor;
    last = hold;
    ones = hold === 1 ? ones + 1 : 0;
    heldSum += hold - load<f64>(held + heldAt * 8);
    store<f64>(held + heldAt * 8, hold);
    heldAt = heldAt + 1 === SLOPE ? 0 : heldAt + 1;
    // Rounding of the running sum ends here.
    if (ones >= SLOPE) heldSum = SLOPE;
    const gain = <f32>(heldSum / SLOPE);
    lowest = min(lowest, gain);
    store<f32>(gains + n * 4, gain);
  }
  return lowest;
}

/** The lowest of the last HOLD needed gains: a queue of rising values, a few steps a sample. */
function lowestOf(needed: f64): f64 {
  const size = HOLD + 1;
  const now = time++;
  while (count > 0 && load<f64>(queue + ((head + count - 1) % size) * 16, 8) >= needed) count--;
  const tail = queue + ((head + count) % size) * 16;
  store<f64>(tail, now);
  store<f64>(tail, needed, 8);
  count++;
  if (load<f64>(queue + head * 16) <= now - <f64>HOLD) {
    head = (head + 1) % size;
    count--;
  }
  return load<f64>(queue + head * 16, 8);
}
