/**
 * Twice the rate and back, of four signals at once (lane n belongs to signal n), by half-band filters: a sinc whose every
 * other value is 0, under a Kaiser window of 100 dB (J. F. Kaiser, IEEE ISCAS 1974; half-band: M. Bellanger et al., IEEE
 * Trans. ASSP 22 (1974) 412). Linear phase; each direction is late by `pairs` samples of the lower rate.
 *
 * A line is a run of vectors: what is still needed of the past, then the present. `up` reaches 2·pairs vectors back, `down`
 * 4·pairs.
 */
import { bessel0 } from './bessel';
import { reserve, VECTOR } from './memory';

/** The steep filter between the engine's rate and twice it: flat to 0.43, −100 dB from 0.57 of the rate on. */
export const STEEP_PAIRS: usize = 24;
/** The easy one between twice and four times the rate, and the easiest, between four and eight times. */
export const EASY_PAIRS: usize = 7;
export const EASIEST_PAIRS: usize = 5;
const KAISER: f64 = 10.06;

export const steep: usize = reserve(STEEP_PAIRS * 4);
export const easy: usize = reserve(EASY_PAIRS * 4);
export const easiest: usize = reserve(EASIEST_PAIRS * 4);

/** Taps 1, 3, 5 … on either side of the middle one, which is 1/2; all of them sum to 1. */
function fillHalfBand(taps: usize, pairs: usize): void {
  let sum: f64 = 0;
  for (let pass = 0; pass < 2; pass++)
    for (let j: usize = 0; j < pairs; j++) {
      const m = <f64>(2 * j + 1);
      const u = m / <f64>(2 * pairs);
      const tap = ((j & 1 ? -1 : 1) / (Math.PI * m)) * (bessel0(KAISER * Math.sqrt(1 - u * u)) / bessel0(KAISER));
      if (pass === 0) sum += tap;
      else store<f32>(taps + j * 4, <f32>((tap * 0.25) / sum));
    }
}

export function prepareOversampling(): void {
  fillHalfBand(steep, STEEP_PAIRS);
  fillHalfBand(easy, EASY_PAIRS);
  fillHalfBand(easiest, EASIEST_PAIRS);
}

/**
 * `count` samples of a line, whose present begins at `x`, at twice the rate to `y`. Four at a time, so that no addition
 * waits for the one before it.
 */
export function up(y: usize, x: usize, count: usize, taps: usize, pairs: usize): void {
  const two = f32x4.splat(2);
  const end = x + count * VECTOR;
  for (; x < end; x += 4 * VECTOR, y += 8 * VECTOR) {
    let before = x - pairs * VECTOR;
    let after = before + VECTOR;
    v128.store(y, v128.load(before));
    v128.store(y, v128.load(before, VECTOR), 2 * VECTOR);
    v128.store(y, v128.load(before, 2 * VECTOR), 4 * VECTOR);
    v128.store(y, v128.load(before, 3 * VECTOR), 6 * VECTOR);
    let sum0 = f32x4.splat(0);
    let sum1 = sum0;
    let sum2 = sum0;
    let sum3 = sum0;
    for (let tap = taps, last = taps + pairs * 4; tap < last; tap += 4, before -= VECTOR, after += VECTOR) {
      const c = v128.load32_splat(tap);
      sum0 = f32x4.add(sum0, f32x4.mul(c, f32x4.add(v128.load(before), v128.load(after))));
      sum1 = f32x4.add(sum1, f32x4.mul(c, f32x4.add(v128.load(before, VECTOR), v128.load(after, VECTOR))));
      sum2 = f32x4.add(sum2, f32x4.mul(c, f32x4.add(v128.load(before, 2 * VECTOR), v128.load(after, 2 * VECTOR))));
      sum3 = f32x4.add(sum3, f32x4.mul(c, f32x4.add(v128.load(before, 3 * VECTOR), v128.load(after, 3 * VECTOR))));
    }
    v128.store(y, f32x4.mul(two, sum0), VECTOR);
    v128.store(y, f32x4.mul(two, sum1), 3 * VECTOR);
    v128.store(y, f32x4.mul(two, sum2), 5 * VECTOR);
    v128.store(y, f32x4.mul(two, sum3), 7 * VECTOR);
  }
}

/** A line of 2·`count` samples, whose present begins at `x`, at half the rate to `y`. Four at a time likewise. */
export function down(y: usize, x: usize, count: usize, taps: usize, pairs: usize): void {
  const half = f32x4.splat(0.5);
  const end = y + count * VECTOR;
  for (; y < end; x += 8 * VECTOR, y += 4 * VECTOR) {
    const middle = x - 2 * pairs * VECTOR;
    let before = middle - VECTOR;
    let after = middle + VECTOR;
    let sum0 = f32x4.mul(half, v128.load(middle));
    let sum1 = f32x4.mul(half, v128.load(middle, 2 * VECTOR));
    let sum2 = f32x4.mul(half, v128.load(middle, 4 * VECTOR));
    let sum3 = f32x4.mul(half, v128.load(middle, 6 * VECTOR));
    for (let tap = taps, last = taps + pairs * 4; tap < last; tap += 4, before -= 2 * VECTOR, after += 2 * VECTOR) {
      const c = v128.load32_splat(tap);
      sum0 = f32x4.add(sum0, f32x4.mul(c, f32x4.add(v128.load(before), v128.load(after))));
      sum1 = f32x4.add(sum1, f32x4.mul(c, f32x4.add(v128.load(before, 2 * VECTOR), v128.load(after, 2 * VECTOR))));
      sum2 = f32x4.add(sum2, f32x4.mul(c, f32x4.add(v128.load(before, 4 * VECTOR), v128.load(after, 4 * VECTOR))));
      sum3 = f32x4.add(sum3, f32x4.mul(c, f32x4.add(v128.load(before, 6 * VECTOR), v128.load(after, 6 * VECTOR))));
    }
    v128.store(y, sum0);
    v128.store(y, sum1, VECTOR);
    v128.store(y, sum2, 2 * VECTOR);
    v128.store(y, sum3, 3 * VECTOR);
  }
}
