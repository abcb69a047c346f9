/** Modified Bessel function of order 0 by its power series: what Kaiser's windows are made of (J. F. Kaiser, IEEE ISCAS 1974). */
export function bessel0(x: f64): f64 {
  let term: f64 = 1;
  let sum: f64 = 1;
  for (let n: f64 = 1; n < 40; n++) {
    term *= (x / (2 * n)) * (x / (2 * n));
    sum += term;
  }
  return sum;
}
