/**
 * Sums of convolutions: what every path adds to its target, in frequency, four bins at a time.
 *
 * A path leads from a signal's history through a kernel to a target. Its kernel's spectrum stands group by group of four
 * bins, and within a group partition by partition (block by block of taps, the first first): as the history does. So each
 * group of a path is one sum of products along two runs of memory, and the sum stays in registers.
 */
import { firstSounding, groupStride, historyOf, lastSounding } from './history';
import { COMPLEX, reserve, VECTOR } from './memory';
import { blockBytes, inverse, spectrumBytes } from './transform';

/** Bytes of a path's entry in the table: signal, target, partitions, place of its kernel in partitions. */
export const PATH: usize = 16;

/** The spectrum of a target. */
let spectrum: usize = 0;

export function prepareSums(): void {
  spectrum = reserve(spectrumBytes);
}

/** The first path from `path` on, before `end`, that leads to `target` or one after it: a table goes target by target. */
export function pathTo(path: usize, end: usize, target: usize): usize {
  while (path < end && <usize>load<u32>(path, 4) < target) path += PATH;
  return path;
}

/**
 * Sums up what the paths of a table from `path` on, up to `end`, bring to `target`, into a block of samples at `out`.
 * `kernels` is where the table's kernels begin.
 */
export function sum(path: usize, end: usize, kernels: usize, target: usize, out: usize): void {
  let any = false;
  for (; path < end && <usize>load<u32>(path, 4) === target; path += PATH) {
    const signal = <usize>load<u32>(path);
    const partitions = <usize>load<u32>(path, 8);
    const from = firstSounding(signal);
    const to = min(partitions, lastSounding(signal));
    if (from >= to) continue;
    const kernel = kernels + <usize>load<u32>(path, 12) * spectrumBytes;
    addPath(historyOf(signal) + from * COMPLEX, kernel + from * COMPLEX, partitions * COMPLEX, to - from, any);
    any = true;
  }
  if (any) inverse(spectrum, out);
  else memory.fill(out, 0, blockBytes);
}

/**
 * Adds Σ x·h over `count` partitions to the spectrum (or, where there is none `before`, begins it), group by group. What
 * limits is reading the memory: more sums side by side and fused multiply-adds were measured and are no faster.
 */
function addPath(x: usize, h: usize, kernelStride: usize, count: usize, before: bool): void {
  const length = count * COMPLEX;
  const end = spectrum + spectrumBytes;
  for (let y = spectrum; y < end; y += COMPLEX, x += groupStride, h += kernelStride) {
    let re = f32x4.splat(0);
    let im = f32x4.splat(0);
    if (before) {
      re = v128.load(y);
      im = v128.load(y, VECTOR);
    }
    for (let at: usize = 0; at < length; at += COMPLEX) {
      const xr = v128.load(x + at);
      const xi = v128.load(x + at, VECTOR);
      const hr = v128.load(h + at);
      const hi = v128.load(h + at, VECTOR);
      re = f32x4.add(re, f32x4.sub(f32x4.mul(xr, hr), f32x4.mul(xi, hi)));
      im = f32x4.add(im, f32x4.add(f32x4.mul(xr, hi), f32x4.mul(xi, hr)));
    }
    v128.store(y, re);
    v128.store(y, im, VECTOR);
  }
}
