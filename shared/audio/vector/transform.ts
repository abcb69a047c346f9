/**
 * The transform behind the convolution, of four signals at once: lane n of every vector belongs to signal n.
 *
 * Two blocks of a real signal, the past p[0…127] and the present q[0…127], are taken as one complex sequence
 * z[n] = p[n] + j q[n], twisted by w^n with w = exp(jπ/256), and transformed by 128 points. Since w^128 = j, products of
 * such spectra are convolutions of period 256 whose end returns to the start with its sign changed (the right-angle
 * convolution: R. Crandall and B. Fagin, Math. Comp. 62 (1994) 305). Overlap-save throws away what has returned, so the
 * sign does not matter, and of 256 real samples there are 128 complex numbers: no spectrum has to be parted into even
 * and odd halves, and no bin is a special case.
 *
 * The transform is Stockham's, self-sorting: three passes of radix 4, one of radix 2 (P. N. Swarztrauber, Parallel
 * Computing 5 (1987) 197).
 */
import { COMPLEX, reserve, VECTOR } from './memory';
import { storeTransposed } from './transpose';

/** Samples of a block, and points of the transform. */
export const BLOCK: usize = 128;
/** Bytes of a block of one signal. */
export const BLOCK_BYTES: usize = 512;
/** Bytes of the spectrum of one signal. */
export const SPECTRUM: usize = 1024;
/** Bytes between the first and the second half of a transform of four signals. */
const HALF: usize = 2048;

/** w^n, [n] → cos, sin. */
const twist: usize = reserve(BLOCK * 8);
/** exp(−j2πpm/n) for m = 1, 2, 3 of each butterfly p < n/4, for n = 128, then 32, then 8: cos, sin, three times. */
const TWIDDLE: usize = 24;
const twiddles128: usize = reserve(32 * TWIDDLE);
const twiddles32: usize = reserve(8 * TWIDDLE);
const twiddles8: usize = reserve(2 * TWIDDLE);

/** What the passes read and write by turns: [n] → four real parts, four imaginary parts. */
const a: usize = reserve(BLOCK * COMPLEX);
const b: usize = reserve(BLOCK * COMPLEX);

function fillTwiddles(at: usize, n: usize): void {
  for (let p: usize = 0; p < n / 4; p++)
    for (let m: usize = 1; m < 4; m++) {
      const angle = (-2 * Math.PI * <f64>(p * m)) / <f64>n;
      store<f32>(at, <f32>Math.cos(angle));
      store<f32>(at, <f32>Math.sin(angle), 4);
      at += 8;
    }
}

export function prepareTransform(): void {
  for (let n: usize = 0; n < BLOCK; n++) {
    const angle = (Math.PI * <f64>n) / 256;
    store<f32>(twist + n * 8, <f32>Math.cos(angle));
    store<f32>(twist + n * 8, <f32>Math.sin(angle), 4);
  }
  fillTwiddles(twiddles128, 128);
  fillTwiddles(twiddles32, 32);
  fillTwiddles(twiddles8, 8);
}

/** One radix-4 pass from `x` to `y` over transforms of 4·quarter points that stand `stride` apart. */
function pass4(x: usize, y: usize, quarter: usize, stride: usize, twiddles: usize): void {
  const across = quarter * stride * COMPLEX;
  const up = stride * COMPLEX;
  for (let p: usize = 0; p < quarter; p++, twiddles += TWIDDLE) {
    const w1r = v128.load32_splat(twiddles);
    const w1i = v128.load32_splat(twiddles, 4);
    const w2r = v128.load32_splat(twiddles, 8);
    const w2i = v128.load32_splat(twiddles, 12);
    const w3r = v128.load32_splat(twiddles, 16);
    const w3i = v128.load32_splat(twiddles, 20);
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

/** (re + j im)·(wr + j wi) to `at`. */
function storeProduct(at: usize, re: v128, im: v128, wr: v128, wi: v128): void {
  v128.store(at, f32x4.sub(f32x4.mul(re, wr), f32x4.mul(im, wi)));
  v128.store(at, f32x4.add(f32x4.mul(re, wi), f32x4.mul(im, wr)), VECTOR);
}

/** The three passes of radix 4, from `a` to `b`. */
function passes(): void {
  pass4(a, b, 32, 1, twiddles128);
  pass4(b, a, 8, 4, twiddles32);
  pass4(a, b, 2, 16, twiddles8);
}

/** Sample n of four signals on its way into the transform: the past and the present, a vector each. */
export function take(n: usize, past: v128, present: v128): void {
  storeProduct(a + n * COMPLEX, past, present, v128.load32_splat(twist + n * 8), v128.load32_splat(twist + n * 8, 4));
}

/**
 * Transforms what was taken, then writes four bins at a time, signal by signal: bins k…k+3 of signal n are the complex
 * vector at spectrumₙ + (k/4)·stride.
 */
export function forward(spectrum0: usize, spectrum1: usize, spectrum2: usize, spectrum3: usize, stride: usize): void {
  passes();
  // The pass of radix 2 on the way out: Z[k] = b[k] + b[k + 64], Z[k + 64] = b[k] − b[k + 64].
  const far = 16 * stride;
  for (let part: usize = 0; part < COMPLEX; part += VECTOR) {
    let x = b + part;
    let place = part;
    for (let k: usize = 0; k < 64; k += 4) {
      const x0 = v128.load(x);
      const x1 = v128.load(x, COMPLEX);
      const x2 = v128.load(x, 2 * COMPLEX);
      const x3 = v128.load(x, 3 * COMPLEX);
      const y0 = v128.load(x, HALF);
      const y1 = v128.load(x, HALF + COMPLEX);
      const y2 = v128.load(x, HALF + 2 * COMPLEX);
      const y3 = v128.load(x, HALF + 3 * COMPLEX);
      const to0 = spectrum0 + place;
      const to1 = spectrum1 + place;
      const to2 = spectrum2 + place;
      const to3 = spectrum3 + place;
      storeTransposed(f32x4.add(x0, y0), f32x4.add(x1, y1), f32x4.add(x2, y2), f32x4.add(x3, y3), to0, to1, to2, to3);
      storeTransposed(
        f32x4.sub(x0, y0),
        f32x4.sub(x1, y1),
        f32x4.sub(x2, y2),
        f32x4.sub(x3, y3),
        to0 + far,
        to1 + far,
        to2 + far,
        to3 + far,
      );
      x += 4 * COMPLEX;
      place += stride;
    }
  }
}

/**
 * The way back from four spectra of SPECTRUM bytes each, one after the other. `present` then tells the samples.
 */
export function inverse(spectra: usize): void {
  // An inverse is a forward transform with real and imaginary parts changed over, before and after.
  for (let k: usize = 0; k < BLOCK / 4; k++)
    for (let part: usize = 0; part < COMPLEX; part += VECTOR) {
      const x = spectra + k * COMPLEX + part;
      const y = a + k * 4 * COMPLEX + (VECTOR - part);
      storeTransposed(
        v128.load(x),
        v128.load(x, SPECTRUM),
        v128.load(x, 2 * SPECTRUM),
        v128.load(x, 3 * SPECTRUM),
        y,
        y + COMPLEX,
        y + 2 * COMPLEX,
        y + 3 * COMPLEX,
      );
    }
  passes();
}

/**
 * Sample n of the present of four signals, times 128: the pass of radix 2, the twist taken back, and of z·w^−n the
 * imaginary part, which is all that overlap-save keeps.
 */
export function present(n: usize): v128 {
  const k = n & 63;
  const x = b + k * COMPLEX;
  const xr = v128.load(x);
  const xi = v128.load(x, VECTOR);
  const yr = v128.load(x, HALF);
  const yi = v128.load(x, HALF + VECTOR);
  const low = n < 64;
  const im = low ? f32x4.add(xr, yr) : f32x4.sub(xr, yr);
  const re = low ? f32x4.add(xi, yi) : f32x4.sub(xi, yi);
  const cos = v128.load32_splat(twist + n * 8);
  const sin = v128.load32_splat(twist + n * 8, 4);
  return f32x4.sub(f32x4.mul(im, cos), f32x4.mul(re, sin));
}
