/** How the room that the plan has is shared out: names at the left, lanes of labels and dimensions, one scale for all. */
import { heard, slots, view } from '../../state/page.ts';
import { type Placed, tags } from './draw-dimensions.ts';
import { type Frame, frameFor } from './frame.ts';

/** Lanes that stand above and below the strings. */
export interface Lanes {
  labels: number;
  dimensions: number;
}

interface Given {
  /** CSS px that the plan is wide. */
  free: number;
  compact: boolean;
  /** Lanes that stay open whatever is drawn; null: none. */
  held: Lanes | null;
}

interface Layout {
  frame: Frame;
  /** CSS px left of the saddle line. */
  gutter: number;
  tagged: ReturnType<typeof tags>;
  lanes: Lanes;
}

let known = { size: '', unit: 1 };
/** CSS px for one px of the desk size: asked of the browser when the size has changed, for it lays out the page to answer. */
function unitNow(): number {
  const size = `${view.value.size} ${innerWidth} ${devicePixelRatio}`;
  if (known.size !== size)
    known = { size, unit: Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / 15 };
  return known.unit;
}

/** Lays out `all` pickups with so many `lines` of dimensions. */
export function layout(all: readonly Placed[], lines: number, { free, compact, held }: Given): Layout {
  const build = heard.value;
  const unit = unitNow();
  const narrow = free < 600;
  const names = Math.max(...build.instrument.strings.map(s => s.name.length));
  const behind = Math.max(0, ...build.instrument.strings.map(s => -s.saddle));
  const least = Math.max(narrow ? 44 : 52, names * 7.5 + 24) * unit;
  const room = { width: Math.max(120, free - least), unit, compact, labelLanes: 1, dimensionLanes: 1 };
  const builds = slots.value.map(slot => slot.build);
  const { scale } = frameFor(build, builds, room);
  // saddles behind the saddle line (a bass side of greater scale) are drawn beside the names
  const gutter = Math.round(least + Math.max(0, behind * scale - 6 * unit));
  const width = Math.max(120, free - gutter);
  const tagged = tags(all, view.value.heard, scale, unit);
  const wanted = { labels: Math.max(slots.value.length > 1 ? 2 : 1, tagged.lanes), dimensions: lines };
  const lanes = held
    ? { labels: Math.max(held.labels, wanted.labels), dimensions: Math.max(held.dimensions, wanted.dimensions) }
    : wanted;
  const frame = frameFor(build, builds, {
    width,
    unit,
    compact,
    labelLanes: lanes.labels,
    dimensionLanes: lanes.dimensions,
  });
  return { frame, gutter, tagged, lanes };
}
