/**
 * What the signals have been: the spectra of their past blocks, newest first, so that a convolution is a sum over two
 * runs of memory that both go forward.
 *
 * One signal's spectra stand group by group of four bins; within a group the blocks follow each other in a ring. Each is
 * written twice, a ring's length apart: from any place on, the whole past is one run.
 */
import { COMPLEX, reserve, VECTOR } from './memory';
import { block, blockBytes, forward, take } from './transform';

/** Smaller numbers count as 0: −300 dB, before the processor would slow down over denormal ones. */
const NOTHING: f32 = 1e-15;

/** Blocks that are kept. */
export let depth: usize = 0;
/** Place of the newest block in every ring. */
let newest: usize = 0;
/** Bytes from one group of a signal to the next: two rings, and GAP. */
export let groupStride: usize = 0;
/**
 * 17 lines of the processor's cache. Rings are often a multiple of a cache's page of 64 lines, and all groups' newest blocks
 * would then fall on the same few lines of it; an odd number of lines apart they go round all of them.
 */
const GAP: usize = 17 * 64;
let signalStride: usize = 0;
let spectra: usize = 0;
/** The block before, [signal][n]. */
let past: usize = 0;
/** The block that comes in, [signal][n]. */
let blocks: usize = 0;
/** How many blocks back each signal has sounded; what is older is silence, whatever the memory holds. */
let sounding: usize = 0;
/** How many of those, the newest, are silent. */
let silent: usize = 0;
/** 1 where the block before was silent. */
let silentBefore: usize = 0;

export function prepareHistory(signals: usize, blocksKept: usize): void {
  depth = blocksKept;
  groupStride = 2 * depth * COMPLEX + GAP;
  signalStride = (block / 4) * groupStride;
  spectra = reserve(signals * signalStride);
  past = reserve(signals * blockBytes);
  blocks = reserve(signals * blockBytes);
  sounding = reserve(signals * 4);
  silent = reserve(signals * 4);
  silentBefore = reserve(signals * 4);
  forget(0, signals);
}

/** The past of `count` signals from `first` on becomes silence. */
export function forget(first: usize, count: usize): void {
  memory.fill(past + first * blockBytes, 0, count * blockBytes);
  for (let signal = first; signal < first + count; signal++) {
    store<u32>(sounding + signal * 4, 0);
    store<u32>(silent + signal * 4, 0);
    store<u32>(silentBefore + signal * 4, 1);
  }
}

/** Where a signal's block is to be put. */
export function blockOf(signal: usize): usize {
  return blocks + signal * blockBytes;
}

/** The newest spectrum of a signal's first group. */
export function historyOf(signal: usize): usize {
  return spectra + signal * signalStride + newest * COMPLEX;
}

/** Blocks of a signal that are not silence: from the first (0 is the newest) up to but not including the last. */
export function firstSounding(signal: usize): usize {
  return load<u32>(silent + signal * 4);
}
export function lastSounding(signal: usize): usize {
  return load<u32>(sounding + signal * 4);
}

/** Time goes on by one block; the newest block of every signal is then to be pushed. */
export function advance(): void {
  newest = newest === 0 ? depth - 1 : newest - 1;
}

/** A signal's block becomes the newest of its past. Returns how many samples were not finite; they count as 0. */
export function push(signal: usize): u32 {
  const from = blockOf(signal);
  const before = past + signal * blockBytes;
  let good = i32x4.splat(0);
  let any = f32x4.splat(0);
  for (let n: usize = 0; n < block; n += 4) {
    const given = v128.load(from + n * 4);
    const now = cleaned(given);
    any = v128.or(any, now);
    good = i32x4.add(good, finite(given));
    take(n, v128.load(before + n * 4), now);
    v128.store(before + n * 4, now);
  }
  if (listen(signal, v128.any_true(any))) write(signal);
  // What was finite counted −1.
  const left = i32x4.extract_lane(good, 0) + i32x4.extract_lane(good, 1);
  const right = i32x4.extract_lane(good, 2) + i32x4.extract_lane(good, 3);
  return <u32>block + left + right;
}

/** The newest block of a signal is silence; costs nothing where all of its past is silence too. */
export function pushSilence(signal: usize): void {
  if (load<u32>(sounding + signal * 4) === 0 && load<u32>(silentBefore + signal * 4) !== 0) return;
  memory.fill(blockOf(signal), 0, blockBytes);
  push(signal);
}

/** All ones (−1) where a number is finite: x − x is 0 there, and not a number elsewhere. */
function finite(x: v128): v128 {
  const difference = f32x4.sub(x, x);
  return f32x4.eq(difference, difference);
}

/** Numbers that are not finite, or next to nothing, become 0. */
function cleaned(x: v128): v128 {
  return v128.and(x, v128.and(finite(x), f32x4.gt(f32x4.abs(x), f32x4.splat(NOTHING))));
}

/**
 * Keeps count of a signal's silence; says whether any of its past sounds. A spectrum is that of two blocks, so one is silent
 * when both are. It always holds that silent ≤ sounding ≤ depth: spectra `silent` to before `sounding` may sound, and no
 * others are read; both are 0 when none does. Silence is not written while nothing sounds: what then stands there is old.
 */
function listen(signal: usize, sounds: bool): bool {
  const at = signal * 4;
  const still = !sounds && load<u32>(silentBefore + at) !== 0;
  store<u32>(silentBefore + at, sounds ? 0 : 1);
  let known = load<u32>(sounding + at);
  let quiet = load<u32>(silent + at);
  if (still) {
    if (known > 0) quiet++;
    if (quiet >= <u32>depth) known = quiet = 0;
  } else quiet = 0;
  if (!still || known > 0) known = min(known + 1, <u32>depth);
  store<u32>(sounding + at, known);
  store<u32>(silent + at, quiet);
  return known > 0;
}

/** Transforms what `push` took, into both rings. */
function write(signal: usize): void {
  let bins = forward();
  const ring = depth * COMPLEX;
  let at = historyOf(signal);
  for (const end = at + signalStride; at < end; at += groupStride, bins += COMPLEX) {
    const re = v128.load(bins);
    const im = v128.load(bins, VECTOR);
    v128.store(at, re);
    v128.store(at, im, VECTOR);
    v128.store(at + ring, re);
    v128.store(at + ring, im, VECTOR);
  }
}
