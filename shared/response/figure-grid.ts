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
 * ∫ y(f) w(f) df over `from` … `to` by trapezoids on the grid, the ends between two of its points interpolated.
 * @param y at every point of the grid
 */
export function integral(
  grid: Float64Array,
  y: (i: number) => number,
  weight: (f: number) => number,
  from: number,
  to: number,
): number {
  let sum = 0;
  for (let i = 0; i + 1 < grid.length; i++) {
    const [a, b] = [Math.max(from, grid[i]), Math.min(to, grid[i + 1])];
    if (!(b > a)) continue;
    const slope = (y(i + 1) - y(i)) / (grid[i + 1] - grid[i]);
    const at = (f: number) => (y(i) + slope * (f - grid[i])) * weight(f);
    sum += ((at(a) + at(b)) / 2) * (b - a);
  }
  return sum;
}
