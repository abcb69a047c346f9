/**
 * From the outputs of kernel sets to what is heard: the fade from one set to the other, a guard against what is not
 * finite, the volume, and meters. The limiter (limiter.ts) stands before the meters.
 */
import { largestOf, limit, lineOf } from './limiter';
import { reserve, VECTOR } from './memory';
import { blockBytes } from './transform';

let outputs: usize = 0;
/** What goes out, [output][n]. */
let heard: usize = 0;
/** Rising weights of a fade, sample by sample. */
let weights: usize = 0;
/** Of each output the largest sample and the sum of squares since they were last taken, in 64 bits. */
let meters: usize = 0;
const METERS: usize = 16;

export function prepareMix(outputCount: usize, fadeSamples: usize): void {
  outputs = outputCount;
  heard = reserve(outputs * blockBytes);
  weights = reserve(fadeSamples * 4);
  meters = reserve(outputs * METERS);
}

/** Where the weights of a fade are to be put. */
export function weightsAt(): usize {
  return weights;
}

/** Where a block of what is heard is after `finish`. */
export function heardAt(output: usize): usize {
  return heard + output * blockBytes;
}

/** Where the meters of an output stand: its largest sample, then its sum of squares. */
export function metersAt(output: usize): usize {
  return meters + output * METERS;
}

/**
 * An output's blocks of two kernel sets, at `from` and `to`, with the weights of a fade from sample `at` on, into the line
 * of an output. Where `to` is 0 there is no fade, where `from` is 0 there is silence. Returns how many samples were not
 * finite.
 */
export function mix(output: usize, from: usize, to: usize, at: usize): u32 {
  const line = lineOf(output);
  if (from === 0) {
    memory.fill(line, 0, blockBytes);
    return 0;
  }
  const weight = weights + at * 4;
  let strange = f32x4.splat(0);
  for (let n: usize = 0; n < blockBytes; n += VECTOR) {
    let x = v128.load(from + n);
    if (to !== 0) x = f32x4.add(x, f32x4.mul(v128.load(weight + n), f32x4.sub(v128.load(to + n), x)));
    // x − x is 0 where x is finite, and not a number elsewhere.
    strange = f32x4.add(strange, f32x4.sub(x, x));
    v128.store(line + n, x);
  }
  if (i32x4.all_true(f32x4.eq(strange, strange))) return 0;
  let bad: u32 = 0;
  for (let n: usize = 0; n < blockBytes; n += 4) {
    const x = load<f32>(line + n);
    if (x - x !== 0) bad++;
  }
  return bad;
}

/** All outputs' blocks become silence. */
export function silence(): void {
  for (let output: usize = 0; output < outputs; output++) memory.fill(lineOf(output), 0, blockBytes);
}

/**
 * What was mixed, at a volume that goes from `volume` by `step` a sample as far as `target`, through the limiter and past
 * the meters to what is heard. Returns the limiter's lowest gain.
 */
export function finish(volume: f32, step: f32, target: f32, limited: bool): f32 {
  if (volume !== 1 || target !== 1)
    for (let output: usize = 0; output < outputs; output++) rise(lineOf(output), volume, step, target);
  const lowest = limit(heard, limited);
  for (let output: usize = 0; output < outputs; output++) measure(heardAt(output), metersAt(output));
  return lowest;
}

/** A block times a volume that moves along a straight line up or down to its target, and stays there. */
function rise(line: usize, volume: f32, step: f32, target: f32): void {
  const least = f32x4.splat(min(volume, target));
  const most = f32x4.splat(max(volume, target));
  const start = f32x4.splat(volume);
  const slope = f32x4.splat(step);
  let count = f32x4(1, 2, 3, 4);
  for (const end = line + blockBytes; line < end; line += VECTOR) {
    const gain = f32x4.min(f32x4.max(f32x4.add(start, f32x4.mul(slope, count)), least), most);
    v128.store(line, f32x4.mul(v128.load(line), gain));
    count = f32x4.add(count, f32x4.splat(4));
  }
}

function measure(x: usize, meter: usize): void {
  let peak = f32x4.splat(0);
  let energy = f32x4.splat(0);
  for (const end = x + blockBytes; x < end; x += VECTOR) {
    const now = v128.load(x);
    peak = f32x4.max(peak, f32x4.abs(now));
    energy = f32x4.add(energy, f32x4.mul(now, now));
  }
  store<f64>(meter, max(load<f64>(meter), <f64>largestOf(peak)));
  const sum =
    <f64>f32x4.extract_lane(energy, 0) +
    <f64>f32x4.extract_lane(energy, 1) +
    <f64>f32x4.extract_lane(energy, 2) +
    <f64>f32x4.extract_lane(energy, 3);
  store<f64>(meter, load<f64>(meter, 8) + sum, 8);
}
