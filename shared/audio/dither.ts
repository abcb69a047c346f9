/**
 * Dither with triangular probability density, ±1 step (TPDF): makes the error of rounding independent of the signal in
 * its mean and power (S. P. Lipshitz, R. A. Wannamaker and J. Vanderkooy, "Quantization and dither: a theoretical
 * survey", J. Audio Eng. Soc. 40, 1992). Seeded, so that the same sound gives the same file.
 */

/** A source of triangular noise in steps, from −1 to 1, with variance 1/6. */
export function triangularDither(seed: number): () => number {
  // xorshift32 (G. Marsaglia, "Xorshift RNGs", J. Stat. Software 8, 2003); the state must not be 0.
  let state = (seed ^ 0x9e3779b9) | 0 || 1;
  const uniform = () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
  return () => uniform() - uniform();
}
