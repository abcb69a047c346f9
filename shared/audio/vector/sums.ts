/**
 * Sums of convolutions: what every path adds to its target, in frequency, four bins at a time.
 *
 * A path leads from a signal's history through a kernel to a target. Its kernel's spectrum stands group by group of four
 * bins, and within a group partition by partition (block by block of taps, the first first): as the history does. So each
 * group of a path is one sum of products along two runs of memory, and the sum stays in registers.
 */
import { firstSounding, GROUPS, groupStride, historyOf, lastSounding } from './history';
import { COMPLEX, reserve, VECTOR } from './memory';
import { inverse, SPECTRUM } from './transform';

/** Bytes of a path's entry in the table: signal, target, partitions, place of its kernel in partitions. */
export const PATH: usize = 16;

/** Four targets' spectra, one after the other. */
const spectra: usize = reserve(4 * SPECTRUM);

/**
 * Sums up what the paths of a table between two addresses bring to targets `first` to `first + 3`; `present` (see
 * transform.ts) then tells the samples. `kernels` is where the table's kernels begin. False: it is all silence.
 */
export function sum(paths: usize, end: usize, kernels: usize, first: usize): bool {
  let any = false;
  for (let path = paths; path < end; path += PATH) {
    const target = <usize>load<u32>(path, 4) - first;
    if (target > 3) continue;
    const signal = <usize>load<u32>(path);
    const partitions = <usize>load<u32>(path, 8);
    const from = firstSounding(signal);
    const to = min(partitions, lastSounding(signal));
    if (from >= to) continue;
    if (!any) memory.fill(spectra, 0, 4 * SPECTRUM);
    any = true;
    const kernel = kernels + <usize>load<u32>(path, 12) * SPECTRUM;
    addPath(
      spectra + target * SPECTRUM,
      historyOf(signal) + from * COMPLEX,
      kernel + from * COMPLEX,
      partitions * COMPLEX,
      to - from,
    );
  }
  if (any) inverse(spectra);
  return any;
}

/**
 * y += Σ x·h over `count` partitions, group by group. Two partitions at a time and fused multiply-adds were tried and are
 * no faster: what limits is reading the memory.
 */
function addPath(y: usize, x: usize, h: usize, kernelStride: usize, count: usize): void {
  const length = count * COMPLEX;
  for (let group: usize = 0; group < GROUPS; group++, x += groupStride, h += kernelStride, y += COMPLEX) {
    // Four sums, so that no addition waits for the one before it.
    let rr = f32x4.splat(0);
    let ii = rr;
    let ri = rr;
    let ir = rr;
    for (let at: usize = 0; at < length; at += COMPLEX) {
      const xr = v128.load(x + at);
      const xi = v128.load(x + at, VECTOR);
      const hr = v128.load(h + at);
      const hi = v128.load(h + at, VECTOR);
      rr = f32x4.add(rr, f32x4.mul(xr, hr));
      ii = f32x4.add(ii, f32x4.mul(xi, hi));
      ri = f32x4.add(ri, f32x4.mul(xr, hi));
      ir = f32x4.add(ir, f32x4.mul(xi, hr));
    }
    v128.store(y, f32x4.add(v128.load(y), f32x4.sub(rr, ii)));
    v128.store(y, f32x4.add(v128.load(y, VECTOR), f32x4.add(ri, ir)), VECTOR);
  }
}
