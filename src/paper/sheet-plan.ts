/** Strings, frets and pickups from above at a drawing scale, as SVG text in millimetres. Pure. */
import type { Build, Instrument, Pickup } from '../../shared/document/build.ts';
import { stringAt, stringLine } from '../../shared/sensor/placement.ts';
import { stoppedLength } from '../../shared/string/frets.ts';
import { INCH, type UnitSystem } from '../../shared/units.ts';
import { bodyOf, coilOutlines, facesOn } from '../sound/plan/outlines.ts';
import { dimensionNumber } from '../sound/plan/plan-figures.ts';
import { words } from '../words/build-sheet-words.ts';
import { INK, line, mm, text, widthOf } from './svg-text.ts';

/** A stretch of the instrument on paper. */
export interface PlanView {
  build: Build;
  /** m from the saddle line: what is shown. */
  from: number;
  to: number;
  /** mm of paper for a metre. */
  scale: number;
  /** Paper: x of `from`, y of the centre line, half the height of what is shown, mm. */
  x: number;
  centre: number;
  half: number;
  /** Unique in the document. */
  id: string;
}

/** Half of what strings and pickups take across, m. */
export const halfAcross = ({ instrument, pickups }: Build): number => {
  const reach = pickups.map(pickup => {
    const { bass, treble, from, to } = bodyOf(coilOutlines(instrument, pickup));
    const across = Math.max(Math.abs(bass), Math.abs(treble)) * Math.cos(pickup.slant);
    return across + Math.max(Math.abs(from), Math.abs(to)) * Math.abs(Math.sin(pickup.slant));
  });
  return Math.max(instrument.spread.saddle / 2, ...reach) + 2e-3;
};

/** How far from the saddle line the pickups reach, m. */
export const farthestPickup = ({ instrument, pickups }: Build): number =>
  Math.max(
    ...pickups.map(pickup => {
      const { bass, treble, to } = bodyOf(coilOutlines(instrument, pickup));
      return pickup.position + to + Math.max(-bass, treble) * Math.abs(Math.sin(pickup.slant));
    }),
  );

const xOf = (view: PlanView, x: number): number => view.x + (x - view.from) * view.scale;
const yOf = (view: PlanView, y: number): number => view.centre - y * view.scale;

function strings(view: PlanView, instrument: Instrument): string {
  return instrument.strings
    .map((string, index) => {
      const { nut, saddle } = stringLine(instrument, index);
      const start = Math.min(saddle.x, Math.max(0, view.from));
      const weight = Math.min(0.9, Math.max(0.15, string.gauge * view.scale * 0.6));
      return line(
        xOf(view, start),
        yOf(view, stringAt(instrument, index, start)),
        xOf(view, nut.x),
        yOf(view, nut.y),
        Number(weight.toFixed(2)),
      );
    })
    .join('');
}

function frets(view: PlanView, instrument: Instrument): string {
  const count = instrument.strings.length;
  return Array.from({ length: instrument.frets + 1 }, (_, fret) => {
    const at = (index: number) => {
      const x = stringLine(instrument, index).saddle.x + stoppedLength(instrument.strings[index].scale, fret);
      return { x, y: stringAt(instrument, index, x) };
    };
    const [first, last] = [at(0), at(count - 1)];
    const x = (first.x + last.x) / 2;
    if (x < view.from || x > view.to) return '';
    const over = 3e-3;
    const drawn = line(
      xOf(view, first.x),
      yOf(view, first.y + over),
      xOf(view, last.x),
      yOf(view, last.y - over),
      0.2,
      INK.soft,
    );
    if (xOf(view, view.to) - xOf(view, x) < 1.5) return drawn;
    return (
      drawn +
      text(xOf(view, x), view.centre + view.half - 0.6, String(fret), { size: 1.8, anchor: 'middle', colour: INK.soft })
    );
  }).join('');
}

function pickupShape(view: PlanView, instrument: Instrument, pickup: Pickup): string {
  const s = view.scale;
  const shapes = coilOutlines(instrument, pickup).map(outline => {
    const coil = pickup.coils.find(c => c.id === outline.id)!;
    const width = outline.width * s;
    const body = `<rect x="${mm(outline.along * s - width / 2)}" y="${mm(-outline.treble * s)}" width="${mm(width)}" height="${mm((outline.treble - outline.bass) * s)}" rx="${mm(width / 2)}" fill="${INK.fill}" fill-opacity="0.7" stroke="${INK.ink}" stroke-width="0.3"/>`;
    const faces = outline.below ? [] : facesOn(instrument, pickup, coil);
    const poles = faces
      .map(({ x, y, along, across, round }) => {
        const ink = `fill="none" stroke="${INK.ink}" stroke-width="0.2"`;
        return round
          ? `<circle cx="${mm(x * s)}" cy="${mm(-y * s)}" r="${mm((along / 2) * s)}" ${ink}/>`
          : `<rect x="${mm((x - along / 2) * s)}" y="${mm((-y - across / 2) * s)}" width="${mm(along * s)}" height="${mm(across * s)}" ${ink}/>`;
      })
      .join('');
    return body + poles;
  });
  const { bass, treble } = bodyOf(coilOutlines(instrument, pickup));
  const axis = `<path d="M0 ${mm(-treble * s - 2)}V${mm(-bass * s + 2)}" stroke="${INK.ink}" stroke-width="0.15" stroke-dasharray="4 1 1 1" fill="none"/>`;
  const turn = (-pickup.slant * 180) / Math.PI;
  return `<g transform="translate(${mm(xOf(view, pickup.position))} ${mm(view.centre)}) rotate(${mm(turn)})">${shapes.join('')}${axis}</g>`;
}

/** The plan of what is between `from` and `to`. */
export function planSvg(view: PlanView): string {
  const { build, id, x, centre, half, from, to, scale } = view;
  const { instrument, pickups } = build;
  const width = (to - from) * scale;
  const saddle =
    from <= 0
      ? line(xOf(view, 0), centre - half, xOf(view, 0), centre + half, 0.5) +
        text(xOf(view, 0) + 0.8, centre - half - 0.8, words.saddle, { size: 2, colour: INK.soft })
      : '';
  return `<clipPath id="${id}"><rect x="${mm(x - 0.3)}" y="${mm(centre - half)}" width="${mm(width + 0.3)}" height="${mm(2 * half)}"/></clipPath>
<g clip-path="url(#${id})">${frets(view, instrument)}${strings(view, instrument)}${pickups.map(p => pickupShape(view, instrument, p)).join('')}</g>${saddle}`;
}

const LANE = 5.2;

/** Height that the dimension lines below a plan take, mm. */
export const dimensionsHeight = (build: Build): number => build.pickups.length * LANE + 2;

/** Dimension lines from the saddle line to the centre of each pickup, shortest first, below the plan. */
export function dimensionsSvg(view: PlanView, units: UnitSystem): string {
  const { build, centre, half } = view;
  const zero = xOf(view, 0);
  const arrow = (x: number, y: number, way: 1 | -1) =>
    `<path d="M${mm(x)} ${mm(y)}l${mm(way * 2.6)} -0.55v1.1z" fill="${INK.ink}"/>`;
  const sorted = [...build.pickups].sort((a, b) => a.position - b.position);
  return sorted
    .map((pickup, lane) => {
      const y = centre + half + 3 + lane * LANE;
      const x = xOf(view, pickup.position);
      const label = dimensionNumber(pickup.position, units);
      const long = `${label}  ${pickup.name}`;
      const inside = x - zero > widthOf(label, 3) + 10;
      const middle = (zero + x) / 2;
      const half3 = widthOf(label, 3) / 2 + 1;
      return [
        line(x, centre + half - 4, x, y + 1.2, 0.15),
        line(zero, centre + half, zero, y + 1.2, 0.15),
        inside ? line(zero, y, middle - half3, y) + line(middle + half3, y, x, y) : line(zero, y, x, y),
        arrow(zero, y, 1),
        arrow(x, y, -1),
        inside
          ? text(middle, y + 1.05, label, { size: 3, anchor: 'middle', weight: 600 }) +
            text(x + 2, y + 0.95, pickup.name, { colour: INK.soft })
          : text(x + 2, y + 1, long, { size: 3, weight: 600 }),
      ].join('');
    })
    .join('');
}

/** Ticks along the strings every 10 mm, or quarter of an inch, from the saddle line with their distances, below a full-size plan. */
export function stationsSvg(view: PlanView, units: UnitSystem): string {
  const y = view.centre + view.half + 2;
  const step = units === 'mm' ? 0.01 : INCH / 4;
  const first = Math.ceil(view.from / step - 1e-9);
  const last = Math.floor(view.to / step + 1e-9);
  const every = units === 'mm' ? 2 : 4;
  const ticks = Array.from({ length: last - first + 1 }, (_, i) => first + i).map(n => {
    const x = xOf(view, n * step);
    const named = n % every === 0;
    const name = units === 'mm' ? String(n * 10) : String(n / 4);
    return (
      line(x, y, x, y + (named ? 2 : 1.2), 0.15) + (named ? text(x, y + 4.4, name, { size: 2, anchor: 'middle' }) : '')
    );
  });
  const centres = view.build.pickups
    .filter(p => p.position >= view.from && p.position <= view.to)
    .map(p => {
      const x = xOf(view, p.position);
      return (
        line(x, view.centre - view.half - 2, x, y + 6, 0.18, INK.ink, '4 1 1 1') +
        text(x + 1, y + 8, `${p.name} ${dimensionNumber(p.position, units)} ${units}`, { size: 2.6, weight: 600 })
      );
    });
  return line(xOf(view, Math.max(0, view.from)), y, xOf(view, view.to), y) + ticks.join('') + centres.join('');
}

/** Number and name of every string, on it, where a part of the plan begins. */
export const stringNames = (view: PlanView): string =>
  view.build.instrument.strings
    .map(({ name }, index) =>
      text(
        xOf(view, view.from) + 1.2,
        yOf(view, stringAt(view.build.instrument, index, view.from)) - 0.7,
        `${index + 1} ${name}`,
        { size: 2, colour: INK.soft },
      ),
    )
    .join('');

/** A ruler of 100 mm. */
export function rulerSvg(x: number, y: number): string {
  const ticks = Array.from({ length: 101 }, (_, i) => {
    const height = i % 10 === 0 ? 4 : i % 5 === 0 ? 3 : 1.8;
    return (
      line(x + i, y, x + i, y - height, 0.15) +
      (i % 10 === 0 ? text(x + i, y - 4.6, String(i), { size: 2, anchor: 'middle' }) : '')
    );
  });
  return `<g data-ruler="100">${line(x, y, x + 100, y, 0.3)}${ticks.join('')}${text(x, y + 3.4, words.ruler, { size: 2.4 })}</g>`;
}
