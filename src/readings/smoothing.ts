/** Fractional-octave smoothing of powers on any ascending frequency list. Pure. */

/**
 * Mean of `p` over [f 2^(−1/2n), f 2^(1/2n)] for every f in `at`: the integral along the straight lines between the
 * points, divided by the width; near the ends over what there is. n = 0: the values at `at`, interpolated.
 */
export function smoothed(f: Float64Array, p: Float64Array, at: Float64Array, n: number): Float64Array {
  const sums = new Float64Array(f.length);
  for (let i = 1; i < f.length; i++) sums[i] = sums[i - 1] + 0.5 * (p[i] + p[i - 1]) * (f[i] - f[i - 1]);
  const first = f[0];
  const last = f[f.length - 1];
  // the edges only move up: two hands that walk along the list
  const walker = () => {
    let i = 0;
    return (x: number, integral: boolean): number => {
      while (i + 2 < f.length && f[i + 1] <= x) i++;
      const t = (x - f[i]) / (f[i + 1] - f[i]);
      const value = p[i] + t * (p[i + 1] - p[i]);
      return integral ? sums[i] + 0.5 * (p[i] + value) * (x - f[i]) : value;
    };
  };
  const left = walker();
  const right = walker();
  const half = n === 0 ? 1 : 2 ** (1 / (2 * n));
  return Float64Array.from(at, centre => {
    if (n === 0) return centre < first || centre > last ? 0 : left(centre, false);
    const low = Math.max(first, centre / half);
    const high = Math.min(last, centre * half);
    return high > low ? (right(high, true) - left(low, true)) / (high - low) : 0;
  });
}
