/** Items over rows: where they break, flags where a line goes on, wires between the two sides of a row. */
import { GROUND } from '../elements.ts';
import type { Context, Item } from './item.ts';
import { flagItem, gutterItem } from './signs.ts';

export const GAP = 10;
export const MARGIN = 8;

const LETTERS = 'abcdefghijklmnopqrstuvwxyz';

/** Items with the wires between the top and the bottom of their row put in, and its full width. */
function withGutters(context: Context, items: readonly Item[]): Item[] {
  const out: Item[] = [];
  const sides = new Map<string, { top: boolean; bottom: boolean }>();
  for (const item of items)
    for (const { net, side } of item.pins) {
      const seen = sides.get(net) ?? { top: false, bottom: false };
      if (side === 'bottom') seen.bottom = true;
      else seen.top = true;
      sides.set(net, seen);
    }
  const open = new Set([...sides].filter(([, s]) => s.top && s.bottom).map(([net]) => net));
  for (const item of items) {
    out.push(item);
    for (const { net } of item.pins) if (open.delete(net)) out.push(gutterItem(context, net));
  }
  return out;
}

export const widthOf = (items: readonly Item[]): number =>
  items.reduce((sum, item) => sum + item.width + GAP, 0) - GAP + 2 * MARGIN;

/** First and last item of every net. */
function reaches(items: readonly Item[]): Map<string, { first: number; last: number }> {
  const found = new Map<string, { first: number; last: number }>();
  items.forEach((item, at) => {
    for (const { net } of item.pins) found.set(net, { first: found.get(net)?.first ?? at, last: at });
  });
  return found;
}

/** The row of `items[from..to)`, with flags where its lines go on in another row. */
function rowOf(
  context: Context,
  items: readonly Item[],
  from: number,
  to: number,
  reach: ReturnType<typeof reaches>,
  letters: ReadonlyMap<string, string> = new Map(),
): Item[] {
  const before: Item[] = [];
  const after: Item[] = [];
  const own = new Set(items.slice(from, to).flatMap(i => i.pins.map(p => p.net)));
  for (const net of own) {
    if (net === GROUND) continue;
    const { first, last } = reach.get(net)!;
    if (first < from) before.push(flagItem(context, net, letters.get(net) ?? '', -1));
    if (last >= to) after.push(flagItem(context, net, letters.get(net) ?? '', 1));
  }
  return withGutters(context, [...before, ...items.slice(from, to), ...after]);
}

/**
 * Items over as few rows as fit into `width` (a single item may be wider), broken where the rows come out most alike and
 * the fewest lines go on.
 */
export function rowsOf(context: Context, items: readonly Item[], width: number): Item[][] {
  const whole = withGutters(context, items);
  if (widthOf(whole) <= width) return [whole];
  const reach = reaches(items);
  const best: { cost: number; from: number }[] = [{ cost: 0, from: 0 }];
  for (let to = 1; to <= items.length; to++) {
    best[to] = { cost: Infinity, from: to - 1 };
    for (let from = to - 1; from >= 0; from--) {
      const row = rowOf(context, items, from, to, reach);
      const wide = widthOf(row);
      if (wide > width && from < to - 1) {
        if (wide > 2 * width) break;
        continue;
      }
      const empty = Math.max(0, 1 - wide / width);
      const cost = best[from].cost + 10 + 8 * empty * empty + 0.4 * row.filter(i => i.flag).length;
      if (cost < best[to].cost) best[to] = { cost, from };
    }
  }
  const breaks = [items.length];
  for (let to = items.length; to > 0; to = best[to].from) breaks.unshift(best[to].from);
  const letters = new Map<string, string>();
  for (let r = 0; r + 1 < breaks.length; r++)
    for (const item of rowOf(context, items, breaks[r], breaks[r + 1], reach))
      if (item.flag && !letters.has(item.flag)) letters.set(item.flag, LETTERS[letters.size % 26]);
  return breaks.slice(1).map((to, r) => rowOf(context, items, breaks[r], to, reach, letters));
}
