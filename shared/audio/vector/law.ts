/**
 * Memoryless laws. A law is a table of cubics over intervals of one width, a power of two, with a border at 0, so that
 * neither place nor part of an interval is rounded; beyond the table's two ends it goes straight on.
 *
 * Where it bends smoothly, its value is taken. Where it is abrupt at its ends (rails, cut-off), harmonics fall too slowly
 * for any affordable rate, and the mean of the law between each sample and the next is taken instead, from its
 * antiderivative (J. D. Parker, V. Zavalishin and E. Le Bivic, DAFx-16, 137): (F(b) − F(a))/(b − a).
 *
 * One law, as the outside writes it (32 bits each): first and last place of the table; slope below and above; intervals
 * in a unit; number of the first interval; how many intervals; its kind: 1 abrupt, 0 smooth, −1 none at all. Then of each
 * interval c0…c3 of c0 + c1 u + c2 u² + c3 u³, 0 ≤ u ≤ 1. Then, at a multiple of 8 bytes, of each border the antiderivative
 * in 64 bits.
 */
const FIRST: usize = 0;
const LAST: usize = 4;
const SLOPE_BELOW: usize = 8;
const SLOPE_ABOVE: usize = 12;
const RATE: usize = 16;
const FIRST_NUMBER: usize = 20;
const INTERVALS: usize = 24;
const KIND: usize = 28;
/** Where the cubics begin, and bytes of one: its coefficients. */
const CUBICS: usize = 32;
const CUBIC: usize = 16;
const C1: usize = 4;
const C2: usize = 8;
const C3: usize = 12;

/** Four lanes' laws made ready, a vector for each of the first five words above, and one for where interval 0 would stand. */
const LANES_FIRST: usize = 0;
const LANES_LAST: usize = 16;
const LANES_BELOW: usize = 32;
const LANES_ABOVE: usize = 48;
const LANES_RATE: usize = 64;
const LANES_ZERO: usize = 80;
/** Bytes of that. */
export const ROW_LAWS: usize = 96;

/** Makes the laws of four lanes ready, whose addresses are given; returns true where any is abrupt. */
export function readyLaws(row: usize, law0: usize, law1: usize, law2: usize, law3: usize): bool {
  return readyLane(row, law0) | readyLane(row + 4, law1) | readyLane(row + 8, law2) | readyLane(row + 12, law3);
}

function readyLane(at: usize, law: usize): bool {
  for (let i: usize = 0; i < 5; i++) store<f32>(at + i * 16, load<f32>(law + i * 4));
  // The address that interval 0 has, or would have.
  store<usize>(at + LANES_ZERO, law + CUBICS - load<i32>(law, FIRST_NUMBER) * CUBIC);
  return load<i32>(law, KIND) > 0;
}

/** The laws of four lanes at x. */
export function valuesAt(row: usize, x: v128): v128 {
  const first = v128.load(row, LANES_FIRST);
  const last = v128.load(row, LANES_LAST);
  const inside = f32x4.min(f32x4.max(x, first), last);
  const place = f32x4.mul(inside, v128.load(row, LANES_RATE));
  const floor = f32x4.floor(place);
  const u = f32x4.sub(place, floor);
  const at = i32x4.add(i32x4.shl(i32x4.trunc_sat_f32x4_s(floor), 4), v128.load(row, LANES_ZERO));
  const p = v128.load(i32x4.extract_lane(at, 0));
  const q = v128.load(i32x4.extract_lane(at, 1));
  const r = v128.load(i32x4.extract_lane(at, 2));
  const s = v128.load(i32x4.extract_lane(at, 3));
  const pq01 = v128.shuffle<f32>(p, q, 0, 4, 1, 5);
  const rs01 = v128.shuffle<f32>(r, s, 0, 4, 1, 5);
  const pq23 = v128.shuffle<f32>(p, q, 2, 6, 3, 7);
  const rs23 = v128.shuffle<f32>(r, s, 2, 6, 3, 7);
  const c0 = v128.shuffle<f32>(pq01, rs01, 0, 1, 4, 5);
  const c1 = v128.shuffle<f32>(pq01, rs01, 2, 3, 6, 7);
  const c2 = v128.shuffle<f32>(pq23, rs23, 0, 1, 4, 5);
  const c3 = v128.shuffle<f32>(pq23, rs23, 2, 3, 6, 7);
  const zero = f32x4.splat(0);
  const below = f32x4.mul(v128.load(row, LANES_BELOW), f32x4.min(f32x4.sub(x, first), zero));
  const above = f32x4.mul(v128.load(row, LANES_ABOVE), f32x4.max(f32x4.sub(x, last), zero));
  const cubic = f32x4.add(c0, f32x4.mul(u, f32x4.add(c1, f32x4.mul(u, f32x4.add(c2, f32x4.mul(u, c3))))));
  return f32x4.add(cubic, f32x4.add(below, above));
}

/** Whether a lane has no law, and so gives nothing. */
export function isNone(law: usize): bool {
  return load<i32>(law, KIND) < 0;
}

/** Bytes of what a mean leaves for the next: the last place, then its antiderivative, in 64 bits. */
export const MEAN_STATE: usize = 16;
const STATE_INTEGRAL: usize = 8;
/** Below this step, in intervals, a mean is the value in the middle: the difference of antiderivatives would be noise. */
const SMALL_STEP: f64 = 1e-3;

/** The mean of one law between the place before, kept at `state`, and x. */
export function meanTo(law: usize, x: f64, state: usize): f64 {
  const before = load<f64>(state);
  const now = antiderivative(law, x);
  const mean =
    Math.abs(x - before) * <f64>load<f32>(law, RATE) > SMALL_STEP
      ? (now - load<f64>(state, STATE_INTEGRAL)) / (x - before)
      : value(law, 0.5 * (x + before));
  store<f64>(state, x);
  store<f64>(state, now, STATE_INTEGRAL);
  return mean;
}

/** Where a mean begins: the signal was 0 before. */
export function beginMean(law: usize, state: usize): void {
  store<f64>(state, 0);
  store<f64>(state, antiderivative(law, 0), STATE_INTEGRAL);
}

function antiderivative(law: usize, x: f64): f64 {
  const first = <f64>load<f32>(law, FIRST);
  const last = <f64>load<f32>(law, LAST);
  const inside = min(max(x, first), last);
  const rate = <f64>load<f32>(law, RATE);
  const place = inside * rate;
  const intervals = load<i32>(law, INTERVALS);
  const number = min(<i32>Math.floor(place) - load<i32>(law, FIRST_NUMBER), intervals - 1);
  const u = place - <f64>(number + load<i32>(law, FIRST_NUMBER));
  const cubic = law + CUBICS + <usize>number * CUBIC;
  const borders = (law + CUBICS + <usize>intervals * CUBIC + 7) & ~7;
  const part =
    u *
    (<f64>load<f32>(cubic) +
      u * (<f64>load<f32>(cubic, C1) / 2 + u * (<f64>load<f32>(cubic, C2) / 3 + (u * <f64>load<f32>(cubic, C3)) / 4)));
  const beyond = x - inside;
  const slope = <f64>(beyond < 0 ? load<f32>(law, SLOPE_BELOW) : load<f32>(law, SLOPE_ABOVE));
  const end = beyond === 0 ? 0 : value(law, inside);
  return load<f64>(borders + <usize>number * 8) + part / rate + beyond * (end + (slope * beyond) / 2);
}

function value(law: usize, x: f64): f64 {
  const inside = min(max(x, <f64>load<f32>(law, FIRST)), <f64>load<f32>(law, LAST));
  const place = inside * <f64>load<f32>(law, RATE);
  const number = min(<i32>Math.floor(place) - load<i32>(law, FIRST_NUMBER), load<i32>(law, INTERVALS) - 1);
  const u = place - <f64>(number + load<i32>(law, FIRST_NUMBER));
  const cubic = law + CUBICS + <usize>number * CUBIC;
  const beyond = x - inside;
  return (
    <f64>load<f32>(cubic) +
    u * (<f64>load<f32>(cubic, C1) + u * (<f64>load<f32>(cubic, C2) + u * <f64>load<f32>(cubic, C3))) +
    beyond * <f64>(beyond < 0 ? load<f32>(law, SLOPE_BELOW) : load<f32>(law, SLOPE_ABOVE))
  );
}
