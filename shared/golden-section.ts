const GOLDEN = (Math.sqrt(5) - 1) / 2;

/** Place between `low` and `high` where `f`, of one hill there, is greatest: golden-section search to `within`. */
export const maximumAt = (f: (x: number) => number, low: number, high: number, within: number): number => {
  let left = high - GOLDEN * (high - low);
  let right = low + GOLDEN * (high - low);
  let [fl, fr] = [f(left), f(right)];
  while (high - low > within) {
    if (fl > fr) {
      [high, right, fr] = [right, left, fl];
      left = high - GOLDEN * (high - low);
      fl = f(left);
    } else {
      [low, left, fl] = [left, right, fr];
      right = low + GOLDEN * (high - low);
      fr = f(right);
    }
  }
  return (low + high) / 2;
};
