/** The resonance of one lossy coil under a load, in closed form. */

/**
 * Frequency of the highest point, Hz, of a source in series with L, a loss resistance across both, then R, loaded by C and R_L,
 * by Thévenin's theorem (textbook): |H| = |k/(1 + Y (R + k jωL))| with k = Rl/(Rl + jωL), Y = 1/R_L + jωC; searched in
 * steps of a thousandth.
 */
export function loadedPeak(r: number, l: number, c: number, load: number, loss: number): number {
  const level = (f: number): number => {
    const w = 2 * Math.PI * f;
    const x = (w * l) / loss;
    const seriesRe = r + (w * l * x) / (1 + x * x);
    const seriesIm = (w * l) / (1 + x * x);
    const re = 1 + seriesRe / load - w * c * seriesIm;
    const im = seriesIm / load + w * c * seriesRe;
    return 1 / Math.sqrt((1 + x * x) * (re * re + im * im));
  };
  let best = 500;
  for (let f = 500; f < 20e3; f *= 1.001) if (level(f) > level(best)) best = f;
  return best;
}
