/** Four vectors as rows of a square, its columns to four places: turns signals side by side into samples side by side, and back. */
export function storeTransposed(
  row0: v128,
  row1: v128,
  row2: v128,
  row3: v128,
  column0: usize,
  column1: usize,
  column2: usize,
  column3: usize,
): void {
  const left01 = v128.shuffle<f32>(row0, row1, 0, 4, 1, 5);
  const left23 = v128.shuffle<f32>(row2, row3, 0, 4, 1, 5);
  const right01 = v128.shuffle<f32>(row0, row1, 2, 6, 3, 7);
  const right23 = v128.shuffle<f32>(row2, row3, 2, 6, 3, 7);
  v128.store(column0, v128.shuffle<f32>(left01, left23, 0, 1, 4, 5));
  v128.store(column1, v128.shuffle<f32>(left01, left23, 2, 3, 6, 7));
  v128.store(column2, v128.shuffle<f32>(right01, right23, 0, 1, 4, 5));
  v128.store(column3, v128.shuffle<f32>(right01, right23, 2, 3, 6, 7));
}
