/** Fractional-octave smoothing of powers, read on another frequency list. Pure. */
import { smoothPower } from '../../../shared/audio/smoothing.ts';

/**
 * Mean of `p` over [f 2^(−1/2n), f 2^(1/2n)] around every f of the ascending list `at`; n = 0: the value there. Between
 * the frequencies of `p` on a straight line, 0 outside them.
 */
export function smoothed(f: Float64Array, p: Float64Array, at: Float64Array, n: number): Float64Array {
  const power = n === 0 ? p : smoothPower(f, p, n);
  if (at === f) return power;
  let i = 0;
  return at.map(x => {
    if (x < f[0] || x > f[f.length - 1]) return 0;
    while (i + 2 < f.length && f[i + 1] <= x) i++;
    return power[i] + ((x - f[i]) / (f[i + 1] - f[i])) * (power[i + 1] - power[i]);
  });
}
