/**
 * The transform behind the convolution, of one signal, four points of it in every vector.
 *
 * Two blocks of N samples of a real signal, the past p and the present q, are taken as one complex sequence
 * z[n] = p[n] + j q[n], twisted by w^n with w = exp(jπ/2N), and transformed by N points. Since w^N = j, products of such
 * spectra are convolutions of period 2N whose end returns to the start with its sign changed (the right-angle
 * convolution: R. Crandall and B. Fagin, Math. Comp. 62 (1994) 305). Overlap-save throws away what has returned, so the
 * sign does not matter, and of 2N real samples there are N complex numbers: no spectrum has to be parted into even and odd
 * halves, and no bin is a special case.
 *
 * The transform is Stockham's, self-sorting: passes of radix 4, and one of radix 2 where N asks for it (P. N. Swarztrauber,
 * Parallel Computing 5 (1987) 197). Points stand in groups of four: their real parts, then their imaginary parts.
 */
import { COMPLEX, reserve, VECTOR } from './memory';
import { storeTransposed } from './transpose';

/** N: samples of a block, and points of the transform; a power of two from 16 on. */
export let block: usize = 0;
/** Bytes of a block of one signal. */
export let blockBytes: usize = 0;
/** Bytes of the spectrum of one signal. */
export let spectrumBytes: usize = 0;

/** w^n in groups: four cosines, four sines. */
let twist: usize = 0;
/** exp(−j2πpm/N) of the first pass, for four p at once: groups of m = 1, 2, 3. */
let firstTwiddles: usize = 0;
/** exp(−j2πpm/n) of the other passes, n = N/4, N/16 …, for one p after the other: cos, sin of m = 1, 2, 3. */
let twiddles: usize = 0;
const FIRST_TWIDDLE: usize = 3 * COMPLEX;
const TWIDDLE: usize = 24;

/** What is transformed, and what the passes read and write by turns. */
let z: usize = 0;
let a: usize = 0;
let b: usize = 0;

export function prepareTransform(points: usize): void {
  block = points;
  blockBytes = points * 4;
  spectrumBytes = points * 8;
  z = reserve(spectrumBytes);
  a = reserve(spectrumBytes);
  b = reserve(spectrumBytes);
  twist = reserve(spectrumBytes);
  for (let n: usize = 0; n < block; n++) storeTurn(twist, n, 0, COMPLEX, <f64>n / <f64>(4 * block));
  firstTwiddles = reserve((block / 16) * FIRST_TWIDDLE);
  for (let p: usize = 0; p < block / 4; p++)
    for (let m: usize = 1; m < 4; m++)
      storeTurn(firstTwiddles, p, (m - 1) * COMPLEX, FIRST_TWIDDLE, -(<f64>(p * m)) / <f64>block);
  twiddles = reserve((block / 4) * TWIDDLE);
  let at = twiddles;
  for (let n = block / 4; n >= 4; n /= 4)
    for (let p: usize = 0; p < n / 4; p++)
      for (let m: usize = 1; m < 4; m++, at += 8) {
        const angle = (-2 * Math.PI * <f64>(p * m)) / <f64>n;
        store<f32>(at, <f32>Math.cos(angle));
        store<f32>(at, <f32>Math.sin(angle), 4);
      }
}

/** A number of unit size, `turns` of a full turn from 1, as point n of a table whose groups stand `stride` apart. */
function storeTurn(table: usize, n: usize, offset: usize, stride: usize, turns: f64): void {
  const at = table + (n / 4) * stride + offset + (n & 3) * 4;
  store<f32>(at, <f32>Math.cos(2 * Math.PI * turns));
  store<f32>(at, <f32>Math.sin(2 * Math.PI * turns), VECTOR);
}

/** (re + j im)·(wr + j wi) to `at`. */
function storeProduct(at: usize, re: v128, im: v128, wr: v128, wi: v128): void {
  v128.store(at, productRe(re, im, wr, wi));
  v128.store(at, productIm(re, im, wr, wi), VECTOR);
}

function productRe(re: v128, im: v128, wr: v128, wi: v128): v128 {
  return f32x4.sub(f32x4.mul(re, wr), f32x4.mul(im, wi));
}

function productIm(re: v128, im: v128, wr: v128, wi: v128): v128 {
  return f32x4.add(f32x4.mul(re, wi), f32x4.mul(im, wr));
}

/**
 * The first pass, from `x` to `y`: four butterflies side by side, whose results belong side by side too and are therefore
 * turned. `re` is 0, or VECTOR to take real and imaginary parts for each other. The butterfly stands again in `pass4`: a
 * function would have to hand back eight vectors, which the language can do through memory alone.
 */
function firstPass(x: usize, y: usize, re: usize): void {
  const im = VECTOR - re;
  const across = spectrumBytes / 4;
  let twiddle = firstTwiddles;
  for (const end = x + across; x < end; x += COMPLEX, y += 4 * COMPLEX, twiddle += FIRST_TWIDDLE) {
    const ar = v128.load(x + re);
    const ai = v128.load(x + im);
    const br = v128.load(x + across + re);
    const bi = v128.load(x + across + im);
    const cr = v128.load(x + 2 * across + re);
    const ci = v128.load(x + 2 * across + im);
    const dr = v128.load(x + 3 * across + re);
    const di = v128.load(x + 3 * across + im);
    const sr = f32x4.add(ar, cr);
    const si = f32x4.add(ai, ci);
    const tr = f32x4.add(br, dr);
    const ti = f32x4.add(bi, di);
    const ur = f32x4.sub(ar, cr);
    const ui = f32x4.sub(ai, ci);
    const vr = f32x4.sub(br, dr);
    const vi = f32x4.sub(bi, di);
    const w1r = v128.load(twiddle);
    const w1i = v128.load(twiddle, VECTOR);
    const w2r = v128.load(twiddle, COMPLEX);
    const w2i = v128.load(twiddle, COMPLEX + VECTOR);
    const w3r = v128.load(twiddle, 2 * COMPLEX);
    const w3i = v128.load(twiddle, 2 * COMPLEX + VECTOR);
    const y1r = f32x4.add(ur, vi);
    const y1i = f32x4.sub(ui, vr);
    const y2r = f32x4.sub(sr, tr);
    const y2i = f32x4.sub(si, ti);
    const y3r = f32x4.sub(ur, vi);
    const y3i = f32x4.add(ui, vr);
    storeTransposed(
      f32x4.add(sr, tr),
      productRe(y1r, y1i, w1r, w1i),
      productRe(y2r, y2i, w2r, w2i),
      productRe(y3r, y3i, w3r, w3i),
      y,
      y + COMPLEX,
      y + 2 * COMPLEX,
      y + 3 * COMPLEX,
    );
    storeTransposed(
      f32x4.add(si, ti),
      productIm(y1r, y1i, w1r, w1i),
      productIm(y2r, y2i, w2r, w2i),
      productIm(y3r, y3i, w3r, w3i),
      y + VECTOR,
      y + COMPLEX + VECTOR,
      y + 2 * COMPLEX + VECTOR,
      y + 3 * COMPLEX + VECTOR,
    );
  }
}

/** A pass of radix 4 over transforms of 4·quarter points that stand `up` bytes apart, from `x` to `y`. */
function pass4(x: usize, y: usize, quarter: usize, up: usize, twiddle: usize): void {
  const across = quarter * up;
  for (let p: usize = 0; p < quarter; p++, twiddle += TWIDDLE) {
    const w1r = v128.load32_splat(twiddle);
    const w1i = v128.load32_splat(twiddle, 4);
    const w2r = v128.load32_splat(twiddle, 8);
    const w2i = v128.load32_splat(twiddle, 12);
    const w3r = v128.load32_splat(twiddle, 16);
    const w3i = v128.load32_splat(twiddle, 20);
    let from = x + p * up;
    let to = y + 4 * p * up;
    for (const end = from + up; from < end; from += COMPLEX, to += COMPLEX) {
      const ar = v128.load(from);
      const ai = v128.load(from, VECTOR);
      const br = v128.load(from + across);
      const bi = v128.load(from + across, VECTOR);
      const cr = v128.load(from + 2 * across);
      const ci = v128.load(from + 2 * across, VECTOR);
      const dr = v128.load(from + 3 * across);
      const di = v128.load(from + 3 * across, VECTOR);
      const sr = f32x4.add(ar, cr);
      const si = f32x4.add(ai, ci);
      const tr = f32x4.add(br, dr);
      const ti = f32x4.add(bi, di);
      const ur = f32x4.sub(ar, cr);
      const ui = f32x4.sub(ai, ci);
      const vr = f32x4.sub(br, dr);
      const vi = f32x4.sub(bi, di);
      v128.store(to, f32x4.add(sr, tr));
      v128.store(to, f32x4.add(si, ti), VECTOR);
      storeProduct(to + up, f32x4.add(ur, vi), f32x4.sub(ui, vr), w1r, w1i);
      storeProduct(to + 2 * up, f32x4.sub(sr, tr), f32x4.sub(si, ti), w2r, w2i);
      storeProduct(to + 3 * up, f32x4.sub(ur, vi), f32x4.add(ui, vr), w3r, w3i);
    }
  }
}

/** The last pass where N is no power of four: of radix 2, from `x` to `y`. */
function pass2(x: usize, y: usize): void {
  const half = spectrumBytes / 2;
  for (const end = x + half; x < end; x += VECTOR, y += VECTOR) {
    const first = v128.load(x);
    const second = v128.load(x + half);
    v128.store(y, f32x4.add(first, second));
    v128.store(y + half, f32x4.sub(first, second));
  }
}

/** All passes over what stands at `x`, which stays; returns where the spectrum stands, until the next transform. */
function transform(x: usize, re: usize): usize {
  firstPass(x, a, re);
  let from = a;
  let to = b;
  let twiddle = twiddles;
  let up: usize = COMPLEX;
  let n = block / 4;
  for (; n >= 4; n /= 4, up *= 4) {
    pass4(from, to, n / 4, up, twiddle);
    twiddle += (n / 4) * TWIDDLE;
    const read = from;
    from = to;
    to = read;
  }
  if (n === 1) return from;
  pass2(from, to);
  return to;
}

/** Samples n to n + 3 on their way into the transform, n a multiple of four: of the past, and of the present. */
export function take(n: usize, past: v128, present: v128): void {
  const turn = twist + n * 8;
  storeProduct(z + n * 8, past, present, v128.load(turn), v128.load(turn, VECTOR));
}

/** The spectrum of what was taken; it stands until the next transform. */
export function forward(): usize {
  return transform(z, 0);
}

/**
 * The present of a signal from its spectrum, times N, to `out`: the twist is taken back, and of z·w^−n the imaginary part
 * is all that overlap-save keeps. An inverse is a forward transform with real and imaginary parts taken for each other,
 * before and after.
 */
export function inverse(spectrum: usize, out: usize): void {
  let x = transform(spectrum, VECTOR);
  let turn = twist;
  for (const end = out + blockBytes; out < end; out += VECTOR, x += COMPLEX, turn += COMPLEX) {
    const untwisted = f32x4.mul(v128.load(x), v128.load(turn));
    v128.store(out, f32x4.sub(untwisted, f32x4.mul(v128.load(x, VECTOR), v128.load(turn, VECTOR))));
  }
}
