/** Inverse of a matrix of `n` rows, row by row, by Gauss–Jordan elimination with row pivoting. */
export function inverse(matrix: Float64Array, n: number): Float64Array {
  const a = matrix.slice();
  const b = new Float64Array(n * n);
  for (let i = 0; i < n; i++) b[i * n + i] = 1;
  for (let c = 0; c < n; c++) {
    let pivot = c;
    for (let r = c + 1; r < n; r++) if (Math.abs(a[r * n + c]) > Math.abs(a[pivot * n + c])) pivot = r;
    for (const m of [a, b]) {
      for (let k = 0; k < n; k++) {
        const kept = m[c * n + k];
        m[c * n + k] = m[pivot * n + k];
        m[pivot * n + k] = kept;
      }
    }
    const d = a[c * n + c];
    for (const m of [a, b]) for (let k = 0; k < n; k++) m[c * n + k] /= d;
    for (let r = 0; r < n; r++) {
      const factor = a[r * n + c];
      if (r === c || factor === 0) continue;
      for (const m of [a, b]) for (let k = 0; k < n; k++) m[r * n + k] -= factor * m[c * n + k];
    }
  }
  return b;
}
