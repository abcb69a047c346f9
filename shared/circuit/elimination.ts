/**
 * The planned elimination: the order written down as a list of slot numbers, which a sweep runs over blocks of
 * frequencies side by side. Nothing is allocated for a frequency.
 */
import { type Spectrum, spectrum } from '../complex.ts';
import { BLOCK, type Cells, type Order, orderElimination, type Side } from './elimination-order.ts';
import { solveAlone } from './solve-alone.ts';

/** Below this frequency, Hz, the limit at 0 Hz is taken to be reached. */
export const LOWEST = 1e-3;
/** Multipliers above this (squared) mean that the pivots do not suit the frequency: it is solved on its own. */
const GROWTH = 1e4;

/** Blocks of values per unknown: unknown `k` at frequency `b` of the block stands at `k * BLOCK + b`. */
export interface Planned {
  readonly entries: number;
  readonly steps: number;
  run(
    frequencies: ArrayLike<number>,
    /** Called per block and right side with the solution of the transposed system, which is overwritten afterwards. */
    take: (which: number, start: number, length: number, y: Spectrum) => void,
  ): void;
}

/** One step of the elimination: slots of the lower and the upper entries, and where their products land. */
interface Step {
  readonly lower: Int32Array;
  readonly lowerStep: Int32Array;
  readonly upper: Int32Array;
  readonly upperStep: Int32Array;
  readonly target: Int32Array;
}

/** A block of complex values x at `to` less those at `from` times those of a at `by`. */
function subtractProduct(
  xr: Float64Array,
  xi: Float64Array,
  to: number,
  from: number,
  ar: Float64Array,
  ai: Float64Array,
  by: number,
  length: number,
): void {
  for (let b = 0; b < length; b++) {
    xr[to + b] -= ar[by + b] * xr[from + b] - ai[by + b] * xi[from + b];
    xi[to + b] -= ar[by + b] * xi[from + b] + ai[by + b] * xr[from + b];
  }
}

function programOf(n: number, { slotOf, stepOfRow, stepOfCol, pivotRow, eliminated }: Order): Step[] {
  return eliminated.map(({ rows: below, cols: right }, step) => {
    const row = pivotRow[step];
    const col = stepOfCol.indexOf(step);
    return {
      lower: Int32Array.from(below, i => slotOf.get(i * n + col)!),
      lowerStep: Int32Array.from(below, i => stepOfRow[i]),
      upper: Int32Array.from(right, j => slotOf.get(row * n + j)!),
      upperStep: Int32Array.from(right, j => stepOfCol[j]),
      target: Int32Array.from(below.flatMap(i => right.map(j => slotOf.get(i * n + j)!))),
    };
  });
}

/**
 * Orders the elimination of an n × n matrix for these right sides and writes it down. Longer than other functions: its
 * loops share typed arrays that are made once, and passing them around would cost a sweep its speed.
 */
export function planElimination(n: number, cells: Cells, names: readonly string[], sides: readonly Side[]): Planned {
  const order = orderElimination(n, cells, names);
  const { slotOf, stepOfCol, pivotRow, pivotSlot, steps } = order;
  const program = programOf(n, order);
  const entries = slotOf.size;
  const own = cells.size;
  const g = Float64Array.from(cells.values(), cell => cell.g);
  const c = Float64Array.from(cells.values(), cell => cell.c);
  const starts = sides.map(side => side.map(({ at, value }) => ({ step: stepOfCol[at], value })));
  // the steps that a right side reaches on its way forward
  const reached = starts.map(side => {
    const hit = new Uint8Array(n);
    for (const { step } of side) hit[step] = 1;
    for (let k = 0; k < n; k++) if (hit[k]) for (const up of program[k].upperStep) hit[up] = 1;
    return hit;
  });

  const re = new Float64Array(entries * BLOCK);
  const im = new Float64Array(entries * BLOCK);
  const omega = new Float64Array(BLOCK);
  const suspect = new Uint8Array(BLOCK);
  const zr = new Float64Array(n * BLOCK);
  const zi = new Float64Array(n * BLOCK);
  const y: Spectrum = spectrum(n * BLOCK);

  const factor = (length: number) => {
    for (let slot = 0, to = 0; slot < own; slot++, to += BLOCK)
      for (let b = 0; b < length; b++) {
        re[to + b] = g[slot];
        im[to + b] = omega[b] * c[slot];
      }
    re.fill(0, own * BLOCK);
    im.fill(0, own * BLOCK);
    for (let k = 0; k < n; k++) {
      const { lower, upper, target } = program[k];
      const p = pivotSlot[k] * BLOCK;
      for (let b = 0; b < length; b++) {
        const d = re[p + b] * re[p + b] + im[p + b] * im[p + b];
        re[p + b] /= d;
        im[p + b] /= -d;
      }
      for (let i = 0, t = 0; i < lower.length; i++) {
        const l = lower[i] * BLOCK;
        for (let b = 0; b < length; b++) {
          const lr = re[l + b] * re[p + b] - im[l + b] * im[p + b];
          const li = re[l + b] * im[p + b] + im[l + b] * re[p + b];
          re[l + b] = lr;
          im[l + b] = li;
          if (!(lr * lr + li * li < GROWTH)) suspect[b] = 1;
        }
        for (let j = 0; j < upper.length; j++, t++) {
          const u = upper[j] * BLOCK;
          const to = target[t] * BLOCK;
          subtractProduct(re, im, to, u, re, im, l, length);
        }
      }
    }
  };

  const solveTransposed = (which: number, length: number) => {
    zr.fill(0);
    zi.fill(0);
    for (const { step, value } of starts[which]) zr.fill(value, step * BLOCK, step * BLOCK + length);
    for (let k = 0; k < n; k++) {
      if (!reached[which][k]) continue;
      const { upper, upperStep } = program[k];
      const z = k * BLOCK;
      const p = pivotSlot[k] * BLOCK;
      for (let b = 0; b < length; b++) {
        const x = zr[z + b];
        zr[z + b] = x * re[p + b] - zi[z + b] * im[p + b];
        zi[z + b] = x * im[p + b] + zi[z + b] * re[p + b];
      }
      for (let j = 0; j < upper.length; j++) {
        const u = upper[j] * BLOCK;
        const to = upperStep[j] * BLOCK;
        subtractProduct(zr, zi, to, z, re, im, u, length);
      }
    }
    for (let k = n - 1; k >= 0; k--) {
      const { lower, lowerStep } = program[k];
      const z = k * BLOCK;
      for (let i = 0; i < lower.length; i++) {
        const l = lower[i] * BLOCK;
        const from = lowerStep[i] * BLOCK;
        subtractProduct(zr, zi, z, from, re, im, l, length);
      }
      const to = pivotRow[k] * BLOCK;
      for (let b = 0; b < length; b++) {
        y.re[to + b] = zr[z + b];
        y.im[to + b] = zi[z + b];
      }
    }
  };

  const run: Planned['run'] = (frequencies, take) => {
    for (let start = 0; start < frequencies.length; start += BLOCK) {
      const length = Math.min(BLOCK, frequencies.length - start);
      for (let b = 0; b < length; b++) omega[b] = 2 * Math.PI * Math.max(frequencies[start + b], LOWEST);
      suspect.fill(0);
      factor(length);
      for (let which = 0; which < sides.length; which++) {
        if (sides[which].length === 0) continue;
        solveTransposed(which, length);
        for (let b = 0; b < length; b++)
          if (suspect[b] || !Number.isFinite(y.re[pivotRow[0] * BLOCK + b]))
            solveAlone(n, cells, names, sides[which], omega[b], y, b);
        take(which, start, length, y);
      }
    }
  };
  return { entries, steps, run };
}
