/**
 * The order in which the unknowns of a network are eliminated: Markowitz' rule (the pivot that fills in least) with
 * threshold pivoting, judged at a few frequencies at once.
 */
import { CircuitError } from './elements.ts';

/** Frequencies worked on side by side. */
export const BLOCK = 32;
/** Frequencies at which pivots are chosen, Hz. */
const WITNESSES = [2, 60, 900, 3500, 9000, 40e3];
/** A pivot may be this much smaller than the largest entry of its column. */
const THRESHOLD = 0.02;

/** Entries g + jω c of an n × n matrix, by row · n + column. */
export type Cells = ReadonlyMap<number, { g: number; c: number }>;
/** A right side: unknowns and what stands there. */
export type Side = readonly { at: number; value: number }[];

/** What is eliminated when, and where its numbers stand. */
export interface Order {
  /** Slot of every stored entry, the matrix's own first, then what elimination fills in. */
  readonly slotOf: ReadonlyMap<number, number>;
  readonly stepOfRow: Int32Array;
  readonly stepOfCol: Int32Array;
  readonly pivotRow: Int32Array;
  readonly pivotSlot: Int32Array;
  /** Rows below and columns right of each pivot. */
  readonly eliminated: readonly { rows: number[]; cols: number[] }[];
  /** Multiply-subtract steps. */
  readonly steps: number;
}

/** Size of an entry at a witness. */
type Size = (witness: number, key: number) => number;

/** The entry to eliminate by: the one that fills in least among those large enough at every witness; −1: there is none. */
function choosePivot(
  n: number,
  rows: readonly ReadonlySet<number>[],
  cols: readonly ReadonlySet<number>[],
  stepOfCol: Int32Array,
  size: Size,
): number {
  const largest = new Float64Array(WITNESSES.length);
  let best = -1;
  let bestCost = Infinity;
  let bestRatio = 0;
  let lastResort = -1;
  let lastRatio = 0;
  for (let col = 0; col < n; col++) {
    if (stepOfCol[col] >= 0) continue;
    largest.fill(0);
    for (const row of cols[col])
      for (let w = 0; w < largest.length; w++) largest[w] = Math.max(largest[w], size(w, row * n + col));
    for (const row of cols[col]) {
      let ratio = 1;
      for (let w = 0; w < largest.length; w++)
        ratio = Math.min(ratio, largest[w] > 0 ? size(w, row * n + col) / largest[w] : 0);
      if (ratio > lastRatio) {
        lastRatio = ratio;
        lastResort = row * n + col;
      }
      if (ratio < THRESHOLD) continue;
      const cost = (rows[row].size - 1) * (cols[col].size - 1);
      if (cost < bestCost || (cost === bestCost && ratio > bestRatio)) {
        best = row * n + col;
        bestCost = cost;
        bestRatio = ratio;
      }
    }
  }
  return best < 0 ? lastResort : best;
}

/** Orders the elimination of an n × n matrix; rows and columns pivot freely. `CircuitError` names what has no solution. */
export function orderElimination(n: number, cells: Cells, names: readonly string[]): Order {
  // slots: one per stored entry, the matrix's own first, then what elimination fills in
  const slotOf = new Map<number, number>();
  for (const key of cells.keys()) slotOf.set(key, slotOf.size);

  const rows: Set<number>[] = Array.from({ length: n }, () => new Set());
  const cols: Set<number>[] = Array.from({ length: n }, () => new Set());
  const witness = WITNESSES.map(() => ({ re: new Float64Array(n * n), im: new Float64Array(n * n) }));
  for (const [key, cell] of cells) {
    const row = Math.floor(key / n);
    rows[row].add(key % n);
    cols[key % n].add(row);
    witness.forEach(({ re, im }, w) => {
      re[key] = cell.g;
      im[key] = 2 * Math.PI * WITNESSES[w] * cell.c;
    });
  }
  const size = (w: number, key: number) => Math.abs(witness[w].re[key]) + Math.abs(witness[w].im[key]);

  const stepOfRow = new Int32Array(n).fill(-1);
  const stepOfCol = new Int32Array(n).fill(-1);
  const pivotRow = new Int32Array(n);
  const pivotSlot = new Int32Array(n);
  const eliminated: { rows: number[]; cols: number[] }[] = [];
  let steps = 0;
  for (let step = 0; step < n; step++) {
    const best = choosePivot(n, rows, cols, stepOfCol, size);
    if (best < 0) {
      const stuck = stepOfCol.indexOf(-1);
      throw new CircuitError(names[stuck], 'the network has no unique solution here');
    }
    const row = Math.floor(best / n);
    const col = best % n;
    stepOfRow[row] = step;
    stepOfCol[col] = step;
    pivotRow[step] = row;
    pivotSlot[step] = slotOf.get(best)!;
    for (const j of rows[row]) cols[j].delete(row);
    for (const i of cols[col]) rows[i].delete(col);
    rows[row].delete(col);
    const below = [...cols[col]];
    const right = [...rows[row]];
    eliminated.push({ rows: below, cols: right });
    for (const i of below)
      for (const j of right) {
        steps++;
        const key = i * n + j;
        if (!slotOf.has(key)) slotOf.set(key, slotOf.size);
        rows[i].add(j);
        cols[j].add(i);
        for (const { re, im } of witness) {
          const d = re[best] * re[best] + im[best] * im[best];
          if (d === 0) continue;
          const l = i * n + col;
          const u = row * n + j;
          const lr = (re[l] * re[best] + im[l] * im[best]) / d;
          const li = (im[l] * re[best] - re[l] * im[best]) / d;
          re[key] -= lr * re[u] - li * im[u];
          im[key] -= lr * im[u] + li * re[u];
        }
      }
  }
  return { slotOf, stepOfRow, stepOfCol, pivotRow, pivotSlot, eliminated, steps };
}
