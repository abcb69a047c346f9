/** Lists of the document: moving an item, finding an id that is free. */

/** The list with the item at `index` moved by `by` places; the same list where it cannot go. */
export function moved<T>(list: T[], index: number, by: number): T[] {
  const to = index + by;
  if (to < 0 || to >= list.length || index < 0 || index >= list.length) return list;
  const next = [...list];
  const [item] = next.splice(index, 1);
  next.splice(to, 0, item);
  return next;
}

/** The list with the item at `index` changed. */
export const changedAt = <T>(list: T[], index: number, change: (item: T) => T): T[] =>
  list.map((item, i) => (i === index ? change(item) : item));

/** The list without the item at `index`. */
export const withoutAt = <T>(list: T[], index: number): T[] => list.filter((_, i) => i !== index);

/** An id that begins with `stem` and is not among `taken`. */
export function freeId(stem: string, taken: readonly string[]): string {
  const base =
    stem
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 20) || 'part';
  if (!taken.includes(base)) return base;
  for (let n = 2; ; n++) if (!taken.includes(`${base}-${n}`)) return `${base}-${n}`;
}
