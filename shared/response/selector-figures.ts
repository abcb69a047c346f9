/** Figures of every selector position side by side. Pure. */

import { type PositionRow, positionTable } from '../circuit/selector-table.ts';
import type { Build } from '../document/build.ts';
import { outputFigures } from './figures.ts';
import { type Figure, figureValue } from './quantities.ts';

export interface PositionFigures
  extends Pick<PositionRow, 'position' | 'label' | 'output' | 'coils' | 'phase' | 'problem'> {
  /** At test point 5. */
  figures: readonly Figure[];
  /** Level against the selected position (against the first that sounds, should that be silent), dB; null: silent. */
  level: number | null;
}

/** A row per position and output. */
export function positionFigures(build: Build): PositionFigures[] {
  const rows = positionTable(build, 5).map(({ position, label, output, coils, phase, problem }) => {
    const here = { ...build, harness: { ...build.harness, selected: position } };
    const figures = problem === null ? outputFigures(here, 5, output) : [];
    return { position, label, output, coils, phase, problem, figures };
  });
  const levels = rows.map(row => figureValue(row.figures, 'level'));
  const selected = rows.findIndex((row, i) => row.position === build.harness.selected && levels[i] !== null);
  const base = levels[selected < 0 ? levels.findIndex(level => level !== null) : selected] ?? 0;
  return rows.map((row, i) => ({ ...row, level: levels[i] === null ? null : levels[i] - base }));
}
