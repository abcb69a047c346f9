/**
 * Sums of convolutions: what every path adds to its target, in frequency, four bins at a time.
 *
 * A path leads from a signal's history through a kernel to a target. Its kernel's spectrum stands group by group of four
 * bins, and within a group partition by partition (block by block of taps, the first first): as the history does. So each
 * group of a path is one sum of products along two runs of memory, and the sum stays in registers.
 */
import { firstSounding, GROUPS, groupStride, historyOf, lastSounding } from './history';
import { COMPLEX, reserve, VECTOR } from './memory';
import { BLOCK_BYTES, inverse, SPECTRUM } from './transform';

/** Numbers of a path's entry in the table: signal, target, partitions, place of its kernel in partitions. */
const PATH: usize = 16;

/** Four targets' spectra, one after the other. */
const spectra: usize = reserve(4 * SPECTRUM);

/**
 * The present blocks of targets `first` to `first + 3`, 128 samples each at `out`, from the paths of a table between two
 * addresses that lead there. `kernels` is where the table's kernels begin.
 */
export function sum(paths: usize, end: usize, kernels: usize, first: usize, out: usize): void {
  memory.fill(spectra, 0, 4 * SPECTRUM);
  let any = false;
  for (let path = paths; path < end; path += PATH) {
    const target = load<u32>(path, 4) - first;
    if (target > 3) continue;
    const signal = load<u32>(path);
    const from = firstSounding(signal);
    const to = min(<usize>load<u32>(path, 8), lastSounding(signal));
    if (from >= to) continue;
    any = true;
    addPath(
      spectra + target * SPECTRUM,
      historyOf(signal) + from * COMPLEX,
      kernels + load<u32>(path, 12) * SPECTRUM + from * COMPLEX,
      load<u32>(path, 8) * COMPLEX,
      to - from,
    );
  }
  if (any) inverse(spectra, out);
  else memory.fill(out, 0, 4 * BLOCK_BYTES);
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
