/** Packs labels and dimension lines into lanes so that none covers another. */

export interface Span {
  from: number;
  to: number;
}

/** The first free lane for each span, in the order given; lane 0 is the nearest. Spans closer than `gap` do not share one. */
export function lanes(spans: readonly Span[], gap: number): number[] {
  const taken: Span[][] = [];
  return spans.map(span => {
    const free = taken.findIndex(lane =>
      lane.every(other => span.from >= other.to + gap || span.to + gap <= other.from),
    );
    const lane = free === -1 ? taken.length : free;
    if (!taken[lane]) taken[lane] = [];
    taken[lane].push(span);
    return lane;
  });
}
