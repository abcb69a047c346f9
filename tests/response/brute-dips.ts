/** Dips as a person with a ruler would find them on a printed curve: peaks, valleys, lines through the peaks. */
import { power } from '../../shared/complex.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { response } from '../../shared/response/response.ts';

/** Frequencies `step` Hz apart up to where a last shoulder is looked for, 8 kHz times √2. */
export const dense = (step: number): Float64Array =>
  Float64Array.from({ length: Math.round(11_293 / step) + 1 }, (_, i) => 20 + i * step);

export function dipsByBruteForce(
  build: Build,
  string: number,
  point: TestPoint,
  frequencies: Float64Array,
  limit: number,
): { f: number; depth: number }[] {
  const curve = response(build, string, point, frequencies);
  const y = Array.from(frequencies, (_, i) => 10 * Math.log10(power(curve, i)));
  if (!(Math.max(...y) > -240)) return [];
  const turns: number[] = [];
  const last = y.length - 1;
  if (y[1] < y[0]) turns.push(0);
  for (let i = 1; i < last; i++) if ((y[i] - y[i - 1]) * (y[i + 1] - y[i]) < 0) turns.push(i);
  if (y[last] > y[last - 1]) turns.push(last);
  const depth = (n: number) => {
    const [a, b, c] = [turns[n - 1], turns[n], turns[n + 1]];
    const [u, v, w] = [a, b, c].map(i => Math.log(frequencies[i]));
    return y[a] + ((y[c] - y[a]) * (v - u)) / (w - u) - y[b];
  };
  for (;;) {
    const valleys = turns.flatMap((_, n) => (n % 2 === 1 && n + 1 < turns.length ? [n] : []));
    const flattest = valleys.reduce((best, n) => (best < 0 || depth(n) < depth(best) ? n : best), -1);
    if (flattest < 0 || depth(flattest) >= 6)
      return valleys.map(n => ({ f: frequencies[turns[n]], depth: depth(n) })).filter(({ f }) => f <= limit);
    const lower = y[turns[flattest - 1]] < y[turns[flattest + 1]] ? flattest - 1 : flattest + 1;
    turns.splice(Math.min(lower, flattest), 2);
  }
}
