/** A single frequency of a network solved by full elimination: what the planned elimination falls back on. */
import type { Spectrum } from '../complex.ts';
import { CircuitError } from './elements.ts';
import { BLOCK, type Cells, type Side } from './elimination-order.ts';

/** The transposed system at one frequency by full elimination with partial pivoting: slow, and always right. */
export function solveAlone(
  n: number,
  cells: Cells,
  names: readonly string[],
  side: Side,
  omega: number,
  y: Spectrum,
  b: number,
): void {
  const width = n + 1;
  const re = new Float64Array(n * width);
  const im = new Float64Array(n * width);
  for (const [key, { g, c }] of cells) {
    const to = (key % n) * width + Math.floor(key / n);
    re[to] = g;
    im[to] = omega * c;
  }
  for (const { at, value } of side) re[at * width + n] = value;
  const size = (i: number, j: number) => Math.hypot(re[i * width + j], im[i * width + j]);
  for (let i = 0; i < n; i++) {
    let most = 0;
    for (let j = 0; j < n; j++) most = Math.max(most, size(i, j));
    for (let j = 0; j < width && most > 0; j++) {
      re[i * width + j] /= most;
      im[i * width + j] /= most;
    }
  }
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (size(i, k) > size(best, k)) best = i;
    if (!(size(best, k) > 1e-300))
      throw new CircuitError(names[k], `the network has no unique solution at ${omega / (2 * Math.PI)} Hz`);
    for (let j = k; j < width; j++)
      for (const part of [re, im])
        [part[k * width + j], part[best * width + j]] = [part[best * width + j], part[k * width + j]];
    const [pr, pi] = [re[k * width + k], im[k * width + k]];
    const d = pr * pr + pi * pi;
    for (let i = k + 1; i < n; i++) {
      const [ar, ai] = [re[i * width + k], im[i * width + k]];
      if (ar === 0 && ai === 0) continue;
      const lr = (ar * pr + ai * pi) / d;
      const li = (ai * pr - ar * pi) / d;
      for (let j = k; j < width; j++) {
        const [ur, ui] = [re[k * width + j], im[k * width + j]];
        re[i * width + j] -= lr * ur - li * ui;
        im[i * width + j] -= lr * ui + li * ur;
      }
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    let xr = re[k * width + n];
    let xi = im[k * width + n];
    for (let j = k + 1; j < n; j++) {
      const [ur, ui] = [re[k * width + j], im[k * width + j]];
      const [yr, yi] = [y.re[j * BLOCK + b], y.im[j * BLOCK + b]];
      xr -= ur * yr - ui * yi;
      xi -= ur * yi + ui * yr;
    }
    const [pr, pi] = [re[k * width + k], im[k * width + k]];
    const d = pr * pr + pi * pi;
    y.re[k * BLOCK + b] = (xr * pr + xi * pi) / d;
    y.im[k * BLOCK + b] = (xi * pr - xr * pi) / d;
  }
  for (let k = 0; k < n; k++)
    if (!Number.isFinite(y.re[k * BLOCK + b] + y.im[k * BLOCK + b]))
      throw new CircuitError(names[k], `the network has no unique solution at ${omega / (2 * Math.PI)} Hz`);
}
