/**
 * The real Fourier transform of 256 points that the convolver runs for every string and output, once a block: as a
 * complex one of 128 (Stockham's self-sorting form, three radix-4 passes and one of radix 2: P. N. Swarztrauber,
 * Parallel Computing 5 (1987) 197), whose even and odd halves are then parted.
 *
 * Packed spectrum, 256 numbers: [X0, X128, Re X1, Im X1, … Re X127, Im X127]; X0 and X128 are real.
 */
const HALF = 128;

const cosine = Float64Array.from({ length: HALF / 2 + 1 }, (_, k) => Math.cos((Math.PI * k) / HALF));
const sine = Float64Array.from({ length: HALF / 2 + 1 }, (_, k) => -Math.sin((Math.PI * k) / HALF));

/** exp(−j2πpm/n) for m = 1, 2, 3 of each butterfly p < n/4: [re, im] × 3. */
const twiddles = (n: number): Float64Array =>
  Float64Array.from({ length: (n / 4) * 6 }, (_, i) => {
    const angle = (-2 * Math.PI * Math.floor(i / 6) * (1 + (Math.floor(i / 2) % 3))) / n;
    return i % 2 === 0 ? Math.cos(angle) : Math.sin(angle);
  });
const TWIDDLES_128 = twiddles(128);
const TWIDDLES_32 = twiddles(32);
const TWIDDLES_8 = twiddles(8);

const aRe = new Float64Array(HALF);
const aIm = new Float64Array(HALF);
const bRe = new Float64Array(HALF);
const bIm = new Float64Array(HALF);

/** One radix-4 pass over transforms of length 4·quarter that stand `stride` apart. */
function pass4(
  xr: Float64Array,
  xi: Float64Array,
  yr: Float64Array,
  yi: Float64Array,
  quarter: number,
  stride: number,
  w: Float64Array,
): void {
  const step = quarter * stride;
  for (let p = 0, t = 0; p < quarter; p++, t += 6) {
    const w1r = w[t];
    const w1i = w[t + 1];
    const w2r = w[t + 2];
    const w2i = w[t + 3];
    const w3r = w[t + 4];
    const w3i = w[t + 5];
    const end = stride * (p + 1);
    for (let i = stride * p, o = 4 * stride * p; i < end; i++, o++) {
      const ar = xr[i];
      const ai = xi[i];
      const br = xr[i + step];
      const bi = xi[i + step];
      const cr = xr[i + 2 * step];
      const ci = xi[i + 2 * step];
      const dr = xr[i + 3 * step];
      const di = xi[i + 3 * step];
      const sr = ar + cr;
      const si = ai + ci;
      const tr = br + dr;
      const ti = bi + di;
      const ur = ar - cr;
      const ui = ai - ci;
      const vr = br - dr;
      const vi = bi - di;
      yr[o] = sr + tr;
      yi[o] = si + ti;
      let re = ur + vi;
      let im = ui - vr;
      yr[o + stride] = re * w1r - im * w1i;
      yi[o + stride] = re * w1i + im * w1r;
      re = sr - tr;
      im = si - ti;
      yr[o + 2 * stride] = re * w2r - im * w2i;
      yi[o + 2 * stride] = re * w2i + im * w2r;
      re = ur - vi;
      im = ui + vr;
      yr[o + 3 * stride] = re * w3r - im * w3i;
      yi[o + 3 * stride] = re * w3i + im * w3r;
    }
  }
}

/**
 * Passes two and three over (bRe, bIm), as the first has left them; what remains is one of radix 2:
 * Z[k] = b[k] + b[k + 64], Z[k + 64] = b[k] − b[k + 64].
 */
function middlePasses(): void {
  pass4(bRe, bIm, aRe, aIm, 8, 4, TWIDDLES_32);
  pass4(aRe, aIm, bRe, bIm, 2, 16, TWIDDLES_8);
}

/** Packed spectrum of 256 real samples, unscaled. `out` and `x` hold 256 numbers each. */
export function forward256(out: Float64Array, x: Float64Array): void {
  // The first radix-4 pass, over even samples as real and odd ones as imaginary parts.
  const w = TWIDDLES_128;
  for (let p = 0, i = 0, o = 0, t = 0; p < 32; p++, i += 2, o += 4, t += 6) {
    const ar = x[i];
    const ai = x[i + 1];
    const br = x[i + 64];
    const bi = x[i + 65];
    const cr = x[i + 128];
    const ci = x[i + 129];
    const dr = x[i + 192];
    const di = x[i + 193];
    const sr = ar + cr;
    const si = ai + ci;
    const tr = br + dr;
    const ti = bi + di;
    const ur = ar - cr;
    const ui = ai - ci;
    const vr = br - dr;
    const vi = bi - di;
    bRe[o] = sr + tr;
    bIm[o] = si + ti;
    let re = ur + vi;
    let im = ui - vr;
    bRe[o + 1] = re * w[t] - im * w[t + 1];
    bIm[o + 1] = re * w[t + 1] + im * w[t];
    re = sr - tr;
    im = si - ti;
    bRe[o + 2] = re * w[t + 2] - im * w[t + 3];
    bIm[o + 2] = re * w[t + 3] + im * w[t + 2];
    re = ur - vi;
    im = ui + vr;
    bRe[o + 3] = re * w[t + 4] - im * w[t + 5];
    bIm[o + 3] = re * w[t + 5] + im * w[t + 4];
  }
  middlePasses();
  const zero = bRe[0] + bRe[64];
  const zeroIm = bIm[0] + bIm[64];
  out[0] = zero + zeroIm;
  out[1] = zero - zeroIm;
  for (let k = 1; k < 64; k++) {
    const m = 128 - k;
    const aR = bRe[k] + bRe[k + 64];
    const aI = bIm[k] + bIm[k + 64];
    const cR = bRe[64 - k] - bRe[m];
    const cI = bIm[64 - k] - bIm[m];
    const evenRe = 0.5 * (aR + cR);
    const evenIm = 0.5 * (aI - cI);
    const oddRe = 0.5 * (aI + cI);
    const oddIm = 0.5 * (cR - aR);
    const re = oddRe * cosine[k] - oddIm * sine[k];
    const im = oddRe * sine[k] + oddIm * cosine[k];
    out[2 * k] = evenRe + re;
    out[2 * k + 1] = evenIm + im;
    out[2 * m] = evenRe - re;
    out[2 * m + 1] = im - evenIm;
  }
  out[128] = bRe[0] - bRe[64];
  out[129] = bIm[64] - bIm[0];
}

/** The last 128 of the 256 real samples of a packed spectrum, times 256: all that overlap-save keeps. */
export function inverseTail256(out: Float64Array, packed: Float64Array): void {
  aRe[0] = packed[0] + packed[1];
  aIm[0] = packed[0] - packed[1];
  for (let k = 1; k < 64; k++) {
    const m = 128 - k;
    const evenRe = packed[2 * k] + packed[2 * m];
    const evenIm = packed[2 * k + 1] - packed[2 * m + 1];
    const re = packed[2 * k] - packed[2 * m];
    const im = packed[2 * k + 1] + packed[2 * m + 1];
    const oddRe = re * cosine[k] + im * sine[k];
    const oddIm = im * cosine[k] - re * sine[k];
    aRe[k] = evenRe - oddIm;
    aIm[k] = evenIm + oddRe;
    aRe[m] = evenRe + oddIm;
    aIm[m] = oddRe - evenIm;
  }
  aRe[64] = 2 * packed[128];
  aIm[64] = -2 * packed[129];
  // An inverse is a forward transform with real and imaginary parts changed over, before and after.
  pass4(aIm, aRe, bRe, bIm, 32, 1, TWIDDLES_128);
  middlePasses();
  for (let i = 0; i < 64; i++) {
    out[2 * i] = bIm[i] - bIm[i + 64];
    out[2 * i + 1] = bRe[i] - bRe[i + 64];
  }
}
