/** Where a recording holds too little to say what its strings did: shaded in every reading over frequency of that take. */
import type { PlotBand, PlotModel } from '../../parts/plot-model.ts';
import type { CurrentTake } from '../../state/take.ts';
import { words } from '../../words/readings-words.ts';

type Band = readonly [number, number];

/** Stretches that lie in a band of both lists; the bands of a list ascend and do not overlap. */
export function common(a: readonly Band[], b: readonly Band[]): [number, number][] {
  const found: [number, number][] = [];
  for (let i = 0, j = 0; i < a.length && j < b.length; ) {
    const from = Math.max(a[i][0], b[j][0]);
    const to = Math.min(a[i][1], b[j][1]);
    if (from < to) found.push([from, to]);
    if (a[i][1] < b[j][1]) i++;
    else j++;
  }
  return found;
}

/**
 * Bands of a take that say nothing about one string, or, with `string` null, about any of the strings it holds.
 * @param string index of the string
 */
export function weakBands(take: CurrentTake | null, string: number | null): readonly Band[] {
  if (!take?.weak) return [];
  if (string !== null) return take.weak[string] ?? [];
  const [first, ...others] = (take.uncoloured ?? []).map(one => one.weak);
  return first ? others.reduce<readonly Band[]>(common, first) : [];
}

/** The plot with these bands shaded, if it is one over frequency. */
export function shaded(model: PlotModel, bands: readonly Band[]): PlotModel {
  if (bands.length === 0 || model.x.kind !== 'log') return model;
  const added = bands.map(([from, to]): PlotBand => ({ axis: 'x', from, to, label: words.weakInTake, tone: 'hatch' }));
  return { ...model, bands: [...model.bands, ...added] };
}
