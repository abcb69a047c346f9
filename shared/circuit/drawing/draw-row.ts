/** One row drawn: its items placed, its nets on tracks above and below them. */
import { GROUND } from '../elements.ts';
import { groundSign } from './drawing-symbols.ts';
import type { Context, Item, Pen, Row } from './item.ts';
import { GAP, MARGIN, widthOf } from './rows.ts';

/** Distance of tracks, px. */
const TRACK = 24;
const LOW_TRACK = 12;
/** Room above the highest track for labels, px. */
const HEADROOM = 46;
/** Items may be moved apart by up to this to fill a row, px. */
const STRETCH = 26;

interface Placed {
  item: Item;
  x: number;
}
interface Span {
  net: string;
  from: number;
  to: number;
  track: number;
}

const overlap = (a: Span, b: Span): boolean => a.from <= b.to + 6 && b.from <= a.to + 6;

/** Tracks for spans; `allowed` says whether a span may lie on a track. */
function assignTracks(spans: Span[], allowed: (span: Span, track: number) => boolean): number {
  let most = 0;
  const placed: Span[] = [];
  for (const span of spans) {
    let track = 0;
    while (!allowed(span, track) || placed.some(p => p.track === track && overlap(p, span))) track++;
    span.track = track;
    placed.push(span);
    most = Math.max(most, track + 1);
  }
  return most;
}

/**
 * Draws one row from `y` down; returns where it ends. Longer than other functions: pins, tracks and heights of a row are
 * worked out from each other in one go.
 */
export function drawRow(context: Context, items: readonly Item[], y: number, width: number, pen: Pen): number {
  const spare = Math.max(0, Math.min(STRETCH * (items.length - 1), width - widthOf(items)));
  const step = items.length > 1 ? spare / (items.length - 1) : 0;
  let x = MARGIN;
  const placed: Placed[] = items.map(item => {
    const at = { item, x: Math.round(x) };
    x += item.width + GAP + step;
    return at;
  });
  const pins = placed.flatMap(({ item, x: left }) => item.pins.map(p => ({ ...p, x: left + p.x })));
  const blocks = placed.flatMap(({ item, x: left }) =>
    item.blocks.map(b => ({ from: left + b.from, to: left + b.to, net: b.net })),
  );

  const spansOf = (mine: typeof pins): Span[] => {
    const spans = new Map<string, Span>();
    const counts = new Map<string, number>();
    for (const p of mine) {
      const span = spans.get(p.net) ?? { net: p.net, from: p.x, to: p.x, track: 0 };
      spans.set(p.net, { ...span, from: Math.min(span.from, p.x), to: Math.max(span.to, p.x) });
      counts.set(p.net, (counts.get(p.net) ?? 0) + 1);
    }
    return [...spans.values()].filter(s => counts.get(s.net)! > 1);
  };
  const topPins = pins.filter(p => p.side !== 'bottom');
  const lowPins = pins.filter(p => p.side === 'bottom');
  const busy = (net: string): number =>
    topPins.filter(p => p.net === net).length + 3 * topPins.filter(p => p.net === net && p.side === 'rail').length;
  const high = spansOf(topPins).sort((a, b) => busy(b.net) - busy(a.net) || a.from - b.from);
  const tracks = assignTracks(
    high,
    (span, track) => track > 0 || blocks.every(b => b.net === span.net || span.to <= b.from || span.from >= b.to),
  );
  const low = spansOf(lowPins)
    .filter(s => s.net !== GROUND)
    .sort((a, b) => a.from - b.from);
  const lowTracks = assignTracks(low, () => true);

  const rail = y + HEADROOM + TRACK * Math.max(0, tracks - 1);
  const top = rail + 8;
  const bottom = top + Math.max(...items.map(i => i.height), 60);
  const ground = bottom + (lowTracks > 0 ? LOW_TRACK * (lowTracks + 1) : 0);
  const risers = high.filter(s => s.track > 0);
  const row: Row = {
    rail,
    top,
    bottom,
    clearAbove: (from, to) => !risers.some(s => s.from - 8 <= to && s.to + 8 >= from),
  };
  for (const { item, x: left } of placed) item.draw(left, row, pen);

  const joinAt = (net: string, mine: typeof pins, from: (p: (typeof pins)[number]) => number, line: number) => {
    const own = mine.filter(p => p.net === net).sort((a, b) => a.x - b.x);
    const weight = context.weight(net);
    for (const p of own)
      if (from(p) !== line)
        pen.wire({
          net,
          weight,
          points: [
            [p.x, from(p)],
            [p.x, line],
          ],
        });
    pen.wire({
      net,
      weight,
      points: [
        [own[0].x, line],
        [own[own.length - 1].x, line],
      ],
    });
    own.slice(1, -1).forEach(p => {
      if (from(p) !== line) pen.dot(net, p.x, line, weight);
    });
  };
  for (const { net, track } of high) joinAt(net, topPins, p => (p.side === 'rail' ? rail : top), rail - TRACK * track);
  for (const { net, track } of low) joinAt(net, lowPins, () => bottom, bottom + LOW_TRACK * (track + 1));
  const grounded = lowPins.filter(p => p.net === GROUND).sort((a, b) => a.x - b.x);
  if (grounded.length > 0) {
    if (grounded.length > 1) joinAt(GROUND, lowPins, () => bottom, ground);
    else if (ground !== bottom)
      pen.wire({
        net: GROUND,
        weight: 'normal',
        points: [
          [grounded[0].x, bottom],
          [grounded[0].x, ground],
        ],
      });
    // the sign hangs under the pin in the middle
    const at = grounded[Math.floor((grounded.length - 1) / 2)];
    pen.symbol({
      ...groundSign(at.x, ground),
      kind: 'ground',
      parts: [],
      weight: 'normal',
      pins: [{ net: GROUND, x: at.x, y: ground }],
    });
    if (grounded.length > 1) pen.dot(GROUND, at.x, ground, 'normal');
  }
  return ground + 24;
}
