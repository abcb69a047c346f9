/**
 * What the signals have been: the spectra of their past blocks, newest first, so that a convolution is a sum over two
 * runs of memory that both go forward.
 *
 * One signal's spectra stand group by group of four bins; within a group the blocks follow each other in a ring. Each is
 * written twice, a ring's length apart: from any place on, the whole past is one run.
 */
import { COMPLEX, reserve, VECTOR } from './memory';
import { BLOCK, BLOCK_BYTES, forward, take } from './transform';
import { storeTransposed } from './transpose';

/** Groups of four bins in a spectrum. */
export const GROUPS: usize = BLOCK / 4;

/** Smaller numbers count as 0: −300 dB, before the processor would slow down over denormal ones. */
const NOTHING: f32 = 1e-15;

/** Four samples of four signals, turned. */
const row: usize = reserve(4 * VECTOR);

/** Signals, filled up to whole vectors. */
let signals: usize = 0;
/** Blocks that are kept. */
export let depth: usize = 0;
/** Place of the newest block in every ring. */
let newest: usize = 0;
/** Bytes from one group of a signal to the next: two rings, and what keeps groups off each other's cache lines. */
export let groupStride: usize = 0;
let signalStride: usize = 0;
let spectra: usize = 0;
/** The block before, [four signals][n] → a vector. */
let past: usize = 0;
/** The block that comes in, [signal][n]. */
let blocks: usize = 0;
/** How many blocks back each signal has sounded; what is older is silence, whatever the memory holds. */
let sounding: usize = 0;
/** How many of those, the newest, are silent. */
let silent: usize = 0;
/** 1 where the block before was silent. */
let rested: usize = 0;

export function prepareHistory(count: usize, blocksKept: usize): void {
  signals = (count + 3) & ~3;
  depth = blocksKept;
  groupStride = 2 * depth * COMPLEX + 17 * 64;
  signalStride = GROUPS * groupStride;
  spectra = reserve(signals * signalStride);
  past = reserve(signals * BLOCK_BYTES);
  blocks = reserve(signals * BLOCK_BYTES);
  sounding = reserve(signals * 4);
  silent = reserve(signals * 4);
  rested = reserve(signals * 4);
  forget(0, signals);
}

/** The past of `count` signals from `first` on, both multiples of four, becomes silence. */
export function forget(first: usize, count: usize): void {
  memory.fill(past + first * BLOCK_BYTES, 0, count * BLOCK_BYTES);
  for (let signal = first; signal < first + count; signal++) {
    store<u32>(sounding + signal * 4, 0);
    store<u32>(silent + signal * 4, 0);
    store<u32>(rested + signal * 4, 1);
  }
}

/** Where a signal's block is to be put. */
export function blockOf(signal: usize): usize {
  return blocks + signal * BLOCK_BYTES;
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

/**
 * Four signals' blocks become the newest of their past: `first` is a multiple of four. Returns how many samples were not
 * finite; they count as 0.
 */
export function push(first: usize): u32 {
  const from = blockOf(first);
  if (asleep(first, from)) return 0;
  const before = past + first * BLOCK_BYTES;
  let good = i32x4.splat(0);
  let any0 = f32x4.splat(0);
  let any1 = any0;
  let any2 = any0;
  let any3 = any0;
  for (let i: usize = 0; i < BLOCK_BYTES; i += VECTOR) {
    const x0 = v128.load(from + i);
    const x1 = v128.load(from + i, BLOCK_BYTES);
    const x2 = v128.load(from + i, 2 * BLOCK_BYTES);
    const x3 = v128.load(from + i, 3 * BLOCK_BYTES);
    const clean0 = cleaned(x0);
    const clean1 = cleaned(x1);
    const clean2 = cleaned(x2);
    const clean3 = cleaned(x3);
    any0 = v128.or(any0, clean0);
    any1 = v128.or(any1, clean1);
    any2 = v128.or(any2, clean2);
    any3 = v128.or(any3, clean3);
    good = i32x4.add(good, i32x4.add(i32x4.add(finite(x0), finite(x1)), i32x4.add(finite(x2), finite(x3))));
    storeTransposed(clean0, clean1, clean2, clean3, row, row + VECTOR, row + 2 * VECTOR, row + 3 * VECTOR);
    for (let n: usize = 0; n < 4; n++) {
      const now = v128.load(row + n * VECTOR);
      const then = before + i * 4 + n * VECTOR;
      take(i / 4 + n, v128.load(then), now);
      v128.store(then, now);
    }
  }
  const sounds0 = listen(first, v128.any_true(any0));
  const sounds1 = listen(first + 1, v128.any_true(any1));
  const sounds2 = listen(first + 2, v128.any_true(any2));
  const sounds3 = listen(first + 3, v128.any_true(any3));
  if (sounds0 || sounds1 || sounds2 || sounds3) write(first);
  return (
    4 * <u32>BLOCK +
    i32x4.extract_lane(good, 0) +
    i32x4.extract_lane(good, 1) +
    i32x4.extract_lane(good, 2) +
    i32x4.extract_lane(good, 3)
  );
}

/** Whether four signals have nothing to tell: no past that sounds, and silence now. */
function asleep(first: usize, from: usize): bool {
  const at = first * 4;
  if (v128.any_true(v128.load(sounding + at)) || !i32x4.all_true(v128.load(rested + at))) return false;
  let any = f32x4.splat(0);
  for (let i: usize = 0; i < 4 * BLOCK_BYTES; i += VECTOR) any = v128.or(any, v128.load(from + i));
  return !v128.any_true(any);
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

/** Keeps count of a signal's silence; says whether any of its past sounds. */
function listen(signal: usize, sounds: bool): bool {
  const at = signal * 4;
  const still = !sounds && load<u32>(rested + at) !== 0;
  store<u32>(rested + at, sounds ? 0 : 1);
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

/** Transforms what `push` took, into both rings of four signals. */
function write(first: usize): void {
  const spectrum0 = historyOf(first);
  forward(spectrum0, spectrum0 + signalStride, spectrum0 + 2 * signalStride, spectrum0 + 3 * signalStride, groupStride);
  const ring = depth * COMPLEX;
  for (let signal = first; signal < first + 4; signal++) {
    let at = historyOf(signal);
    for (let group: usize = 0; group < GROUPS; group++, at += groupStride) {
      v128.store(at + ring, v128.load(at));
      v128.store(at + ring, v128.load(at, VECTOR), VECTOR);
    }
  }
}
