/** Frequencies that figures are read at, the same lists each time, so that `response` and the network keep their work. */

const LOWEST = 20;
/** Figures are read up to here at least, Hz: the upper edge of the octave around 8 kHz. */
const HIGHEST = 8000 * Math.SQRT2;
/** Steps: 1/64 octave, at most 12 Hz, so that a comb's lobes are told apart at every frequency. */
const RATIO = 2 ** (1 / 64);
const STEP = 12;

const grids = new Map<number, Float64Array>();

/** From 20 Hz to `limit` Hz or 11.3 kHz, whichever is more. */
export function figureGrid(limit = HIGHEST): Float64Array {
  const top = Math.max(limit, HIGHEST);
  let grid = grids.get(top);
  if (!grid) {
    const list = [LOWEST];
    for (let f = LOWEST; f < top; list.push(f)) f = Math.min(top, f * RATIO, f + STEP);
    grid = Float64Array.from(list);
    grids.set(top, grid);
  }
  return grid;
}

/**
 * What each value of a curve y on the grid counts in ∫ y(f) w(f) df over `from` … `to`: the curve goes straight from point
 * to point, the product is summed by trapezoids.
 */
export function quadrature(grid: Float64Array, weight: (f: number) => number, from: number, to: number): Float64Array {
  const counts = new Float64Array(grid.length);
  for (let i = 0; i + 1 < grid.length; i++) {
    const [a, b] = [Math.max(from, grid[i]), Math.min(to, grid[i + 1])];
    if (!(b > a)) continue;
    const width = grid[i + 1] - grid[i];
    for (const end of [a, b]) {
      const part = (end - grid[i]) / width;
      const share = (weight(end) * (b - a)) / 2;
      counts[i] += share * (1 - part);
      counts[i + 1] += share * part;
    }
  }
  return counts;
}
