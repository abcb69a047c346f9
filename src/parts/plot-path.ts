/** Curves and bars to SVG path data. Pure. */
import type { Scale } from './plot-scale.ts';

/** Beyond the frame a point is kept this far out at most, px: slopes at the edge stay right and numbers stay short. */
const BEYOND = 2000;

const tenth = (px: number): number => Math.round(px * 10) / 10;

/**
 * Path of a curve over ascending `x`. Where more than two points fall into one pixel column, its first, lowest,
 * highest and last are kept in their order, so that no null and no peak is lost and the path stays short. A NaN
 * breaks the line; infinities run out of the frame.
 */
export function linePath(x: ArrayLike<number>, y: ArrayLike<number>, sx: Scale, sy: Scale): string {
  const left = Math.min(sx.start, sx.end);
  const right = Math.max(sx.start, sx.end);
  const top = Math.min(sy.start, sy.end) - BEYOND;
  const bottom = Math.max(sy.start, sy.end) + BEYOND;
  let path = '';
  let pen = false;
  let column = Number.NaN;
  let count = 0;
  // the column's points: first and last, and the extremes with the index at which they came
  let firstX = 0;
  let firstY = 0;
  let lastX = 0;
  let lastY = 0;
  let lowX = 0;
  let lowY = 0;
  let lowAt = 0;
  let highX = 0;
  let highY = 0;
  let highAt = 0;
  const draw = (px: number, py: number) => {
    path += `${pen ? 'L' : 'M'}${tenth(px)} ${tenth(py)}`;
    pen = true;
  };
  const flush = () => {
    if (count === 0) return;
    draw(firstX, firstY);
    if (count > 2) {
      const lowFirst = lowAt < highAt;
      const inner = (at: number) => at > 0 && at < count - 1;
      if (lowFirst && inner(lowAt)) draw(lowX, lowY);
      if (inner(highAt)) draw(highX, highY);
      if (!lowFirst && inner(lowAt)) draw(lowX, lowY);
    }
    if (count > 1) draw(lastX, lastY);
    count = 0;
  };
  for (let i = 0; i < x.length; i++) {
    const px = sx.place(x[i]);
    // one point beyond either edge is kept: the line has to reach the frame
    if (px < left && i + 1 < x.length && sx.place(x[i + 1]) < left) continue;
    const value = y[i];
    if (Number.isNaN(value)) {
      flush();
      pen = false;
      column = Number.NaN;
      continue;
    }
    const py = Math.min(bottom, Math.max(top, sy.place(value)));
    const here = Math.floor(px);
    if (here !== column) {
      flush();
      column = here;
      firstX = lowX = highX = px;
      firstY = lowY = highY = py;
      lowAt = highAt = 0;
    } else {
      if (py > lowY) {
        lowX = px;
        lowY = py;
        lowAt = count;
      }
      if (py < highY) {
        highX = px;
        highY = py;
        highAt = count;
      }
    }
    lastX = px;
    lastY = py;
    count++;
    if (px > right) break;
  }
  flush();
  return path;
}

/**
 * Path of bars that stand on the bottom of the frame, `width` px wide and moved by `shift` px: one closed shape each.
 * Values below the bottom give no bar, those above the top end a little beyond it.
 */
export function barsPath(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  sx: Scale,
  sy: Scale,
  width: number,
  shift: number,
): string {
  const floor = Math.max(sy.start, sy.end);
  const ceiling = Math.min(sy.start, sy.end) - 4;
  let path = '';
  for (let i = 0; i < x.length; i++) {
    const py = Math.max(ceiling, sy.place(y[i]));
    if (!(py < floor)) continue;
    const px = sx.place(x[i]) + shift - width / 2;
    if (px < Math.min(sx.start, sx.end) - width || px > Math.max(sx.start, sx.end)) continue;
    path += `M${tenth(px)} ${tenth(floor)}V${tenth(py)}h${tenth(width)}V${tenth(floor)}`;
  }
  return path;
}
