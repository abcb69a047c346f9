/** Where the letters of curves stand: on their own curves, where these run clear of the others. Pure. */
import { interpolated, type Scale } from './plot-scale.ts';

export interface LabelledCurve {
  label: string;
  x: ArrayLike<number>;
  y: ArrayLike<number>;
}

export interface LabelPlace {
  /** Middle of the label, CSS px. */
  px: number;
  py: number;
}

/** Columns looked at, px apart. */
const STEP = 5;
/** A letter is about this wide and high, in rem; the height leaves room for its halo. */
const SIZE = { width: 0.62, height: 0.85 };

/**
 * A place for every curve's label, in order: on the curve, inside the frame, at the first column from the left where
 * neither another curve nor a label placed before comes near; where there is no such column, at the one where they stay
 * farthest. Null: the curve is nowhere inside the frame.
 */
export function labelPlaces(
  curves: readonly LabelledCurve[],
  sx: Scale,
  sy: Scale,
  rem: number,
): (LabelPlace | null)[] {
  const [top, bottom] = [Math.min(sy.start, sy.end), Math.max(sy.start, sy.end)];
  const columns: number[] = [];
  for (let px = sx.start + 1.3 * rem; px < sx.end - rem; px += STEP) columns.push(px);
  const heights = curves.map(({ x, y }) => columns.map(px => sy.place(interpolated(x, y, sx.value(px), sx.kind))));
  const half = SIZE.height * rem;
  const placed: LabelPlace[] = [];
  return curves.map(({ label }, i) => {
    const wide = (0.3 + SIZE.width * label.length) * rem;
    let best: LabelPlace | null = null;
    let most = -Infinity;
    for (let c = 0; c < columns.length && most < 1; c++) {
      const [px, py] = [columns[c], heights[i][c]];
      if (!(py >= top + half / 2 && py <= bottom - half / 2)) continue;
      // 1 and more: clear; a label counts before a curve, for two letters on one spot cannot be read
      let clear = 1;
      for (const other of placed) {
        const gap = Math.max(Math.abs(other.px - px) / wide, Math.abs(other.py - py) / half);
        if (gap < 1) clear = Math.min(clear, gap - 2);
      }
      heights.forEach((other, j) => {
        if (j !== i) clear = Math.min(clear, Math.abs(other[c] - py) / half || 0);
      });
      if (clear > most) [best, most] = [{ px, py }, clear];
    }
    if (best) placed.push(best);
    return best;
  });
}
