/** Axes of a plot: from a quantity to CSS pixels and back. Pure. */

export interface Axis {
  kind: 'log' | 'linear';
  /** Value at the left or at the bottom. */
  from: number;
  /** Value at the right or at the top. */
  to: number;
}

export interface Scale extends Axis {
  /** CSS pixel of `from`. */
  start: number;
  /** CSS pixel of `to`. */
  end: number;
  /** CSS pixel of `value`. */
  place(value: number): number;
  /** Value at CSS pixel `px`. */
  value(px: number): number;
}

/** A scale that puts `axis.from` at pixel `start` and `axis.to` at pixel `end`. A log axis needs positive ends. */
export function scaleOf(axis: Axis, start: number, end: number): Scale {
  const { kind, from, to } = axis;
  if (from === to || (kind === 'log' && !(from > 0 && to > 0))) throw new RangeError(`no axis from ${from} to ${to}`);
  const into = kind === 'log' ? Math.log : (value: number) => value;
  const outOf = kind === 'log' ? Math.exp : (value: number) => value;
  const a = into(from);
  const slope = (end - start) / (into(to) - a);
  return {
    ...axis,
    start,
    end,
    place: value => start + (into(value) - a) * slope,
    value: px => outOf(a + (px - start) / slope),
  };
}

/** Index of the last of the ascending `x` that is not above `at`; −1 when all are. */
export function lastNotAbove(x: ArrayLike<number>, at: number): number {
  let low = -1;
  let high = x.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle] <= at) low = middle;
    else high = middle;
  }
  return low;
}

/** Index of the one of the ascending `x` that lies nearest to `at` on the axis. */
export function nearest(x: ArrayLike<number>, at: number, kind: Axis['kind']): number {
  const below = Math.max(0, lastNotAbove(x, at));
  const above = Math.min(x.length - 1, below + 1);
  const nearerBelow = kind === 'log' ? at * at <= x[below] * x[above] : at - x[below] <= x[above] - at;
  return nearerBelow ? below : above;
}

/** `y` at `at` by linear interpolation, along the logarithm of x on a log axis; NaN outside `x`. */
export function interpolated(x: ArrayLike<number>, y: ArrayLike<number>, at: number, kind: Axis['kind']): number {
  const i = lastNotAbove(x, at);
  if (i < 0) return Number.NaN;
  if (x[i] === at) return y[i];
  if (i === x.length - 1) return Number.NaN;
  const t = kind === 'log' ? Math.log(at / x[i]) / Math.log(x[i + 1] / x[i]) : (at - x[i]) / (x[i + 1] - x[i]);
  return y[i] + t * (y[i + 1] - y[i]);
}
