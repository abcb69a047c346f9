/**
 * The build sheet for the workshop as SVG: plan to scale, distances, nulls, selector, schematic, cautions, a full-size
 * template, each page with a title block after ISO 7200 (fields) on a frame after ISO 5457 (20 mm filing margin). Scales
 * are those of ISO 5455. Pure: the page shows it, the command line writes it.
 */

import { drawSchematic } from '../../shared/circuit/drawing/drawing.ts';
import { schematicGroup } from '../../shared/circuit/drawing/drawing-svg.ts';
import { HUM_FREQUENCY } from '../../shared/circuit/selector-table.ts';
import type { Build } from '../../shared/document/build.ts';
import { positionFigures } from '../../shared/response/selector-figures.ts';
import type { UnitSystem } from '../../shared/units.ts';
import { loadText, modelledLegend } from '../parts/figure-text.ts';
import { END } from '../sound/plan/outlines.ts';
import { dimension } from '../sound/plan/plan-figures.ts';
import { words } from '../words/build-sheet-words.ts';
import {
  dimensionsHeight,
  dimensionsSvg,
  farthestPickup,
  halfAcross,
  type PlanView,
  planSvg,
  rulerSvg,
  stationsSvg,
  stringNames,
} from './sheet-plan.ts';
import { chainLines, distanceRows, pickupRows, selectorRow, stringRows, stringsNote } from './sheet-tables.ts';
import { type Area, TITLE, type TitleFields, titleBlock } from './sheet-title.ts';
import { type Block, gap, heading, INK, line, mm, pagesOf, paragraph, rect, table, text } from './svg-text.ts';

/** Landscape, mm. */
export const PAPERS = { a4: { width: 297, height: 210 }, letter: { width: 279.4, height: 215.9 } } as const;
export type Paper = keyof typeof PAPERS;

export interface SheetOptions {
  paper: Paper;
  units: UnitSystem;
  /** What the title block says; a missing field is left empty, a missing title is the build's name. */
  fields?: Partial<TitleFields>;
}

const MARGIN = { left: 20, other: 10 };

const areaOf = (paper: Paper): Area => {
  const { width, height } = PAPERS[paper];
  return {
    x: MARGIN.left,
    y: MARGIN.other,
    width: width - MARGIN.left - MARGIN.other,
    height: height - 2 * MARGIN.other,
  };
};

/** The plan at the largest scale of ISO 5455 that fits the width, shown past the octave. */
function planBlock(build: Build, width: number, units: UnitSystem): { block: Block; reduction: number } {
  const scaleLength = Math.max(...build.instrument.strings.map(s => s.saddle + s.scale));
  const to = Math.max(0.53 * scaleLength, farthestPickup(build) + 0.02);
  const across = halfAcross(build);
  const reduction = [1, 2, 5, 10].find(n => (to * 1000) / n <= width - 2 && (2 * across * 1000) / n <= 62) ?? 10;
  const scale = 1000 / reduction;
  const half = across * scale + 4;
  const block: Block = {
    height: 2 * half + 4 + dimensionsHeight(build),
    draw: (x, y) => {
      const view: PlanView = { build, from: 0, to, scale, x: x + 1, centre: y + 4 + half, half, id: 'plan' };
      return planSvg(view) + dimensionsSvg(view, units);
    },
  };
  return { block, reduction };
}

/** Coils and load of the selected position in one line. */
function loadBlocks(build: Build, width: number): Block[] {
  const selected = positionFigures(build).find(row => row.position === build.harness.selected);
  const text = selected ? loadText(selected.figures) : '';
  return text ? [paragraph(`${selected!.label}. ${text}`, width, 2.4)] : [];
}

function schematicBlock(build: Build, area: Area): Block {
  const pixels = Math.floor(area.width / 0.235);
  const drawing = drawSchematic(build, pixels);
  const room = area.height - TITLE.height - 70;
  const scale = Math.min(0.235, area.width / drawing.width, Math.max(60, room) / drawing.height);
  return {
    height: drawing.height * scale + 2,
    draw: (x, y) =>
      `<g transform="translate(${mm(x)} ${mm(y + 1)}) scale(${scale.toFixed(4)})">${schematicGroup(drawing)}</g>`,
  };
}

/** Everything but the full-size pages, in order. */
function blocksOf(build: Build, area: Area, units: UnitSystem): Block[] {
  const { width } = area;
  const { block: plan, reduction } = planBlock(build, width, units);
  const strings = build.instrument.strings.length;
  const stringWidth = Math.min(18, (width - 50) / strings);
  const wide = width - 181;
  return [
    ...(build.note === '' ? [] : [paragraph(build.note, width, 2.6, INK.ink), gap(2)]),
    heading(words.plan(build.instrument.name), `${words.scale(reduction)}; ${words.planNote(units)}`),
    plan,
    heading(words.pickups),
    ...table(
      [
        { width: 34 },
        { width: 18 },
        { width: 12 },
        { width: 16 },
        { width: 16 },
        { width: 45 },
        { width: width - 141 },
      ],
      words.pickupColumns,
      pickupRows(build, units),
    ),
    gap(2),
    heading(words.distances(units)),
    ...table(
      [{ width: 50 }, ...build.instrument.strings.map(() => ({ width: stringWidth, align: 'end' as const }))],
      [words.coil, ...build.instrument.strings.map((s, i) => `${i + 1} ${s.name}`)],
      distanceRows(build, units),
    ),
    gap(2),
    heading(words.perString),
    ...table(
      [{ width: 18 }, { width: 22 }, { width: 20 }, { width: 20 }, { width: width - 80 }],
      words.stringColumns,
      stringRows(build, units),
    ),
    paragraph(stringsNote(build), width, 2.2, INK.soft),
    gap(2),
    heading(words.selector),
    { ...paragraph(`${words.selectorNote(HUM_FREQUENCY)} ${modelledLegend()}`, width, 2.2, INK.soft), binds: true },
    ...table(
      [
        { width: 7 },
        { width: 44 },
        { width: wide },
        { width: 16 },
        { width: 18, align: 'end' },
        { width: 18, align: 'end' },
        { width: 18, align: 'end' },
        { width: 44, align: 'end' },
        { width: 16, align: 'end' },
      ],
      words.selectorColumns,
      positionFigures(build).map(row => selectorRow(build, row)),
    ),
    ...loadBlocks(build, width),
    gap(2),
    heading(words.schematic(build.harness.positions[build.harness.selected].label), words.chain),
    ...chainLines(build, units).map(content => ({ ...paragraph(content, width, 2.4), binds: true })),
    schematicBlock(build, area),
    gap(2),
    heading(words.cautions),
    ...words.cautionTexts.map((content, i, all) => ({ ...paragraph(content, width), binds: i < all.length - 1 })),
  ];
}

/** The strings' stretch with the pickups at full size, in as many parts as the paper asks for. */
function templateBlocks(build: Build, area: Area, units: UnitSystem): Block[] {
  const to = farthestPickup(build) + 0.012;
  const most = area.width - 4;
  const parts = Math.ceil((to * 1000) / most);
  const half = Math.min(halfAcross(build) * 1000, (area.height - TITLE.height - 60) / 2);
  return [
    heading(words.template, `${words.fullSize}; ${words.templateNote}`),
    { ...paragraph(words.templateOutline(dimension(END, units)), area.width, 2.6), binds: true },
    { height: 15, binds: true, draw: (x, y) => rulerSvg(x + 3, y + 8) },
    ...Array.from({ length: parts }, (_, part): Block => {
      const from = (part * most) / 1000;
      const end = Math.min(to, from + most / 1000);
      return {
        height: 2 * half + 20,
        draw: (x, y) => {
          const view: PlanView = {
            build,
            from,
            to: end,
            scale: 1000,
            x: x + 3,
            centre: y + half + 6,
            half,
            id: `part-${part}`,
          };
          const mark = (at: number) =>
            line(at, view.centre - half - 3, at, view.centre + half + 3, 0.15, INK.soft, '1 1');
          const marks =
            parts > 1
              ? (part > 0 ? mark(view.x) : '') +
                (part < parts - 1 ? mark(view.x + (end - from) * 1000) : '') +
                text(x + area.width - 1, y + 3, words.segment(part + 1, parts), {
                  size: 2.4,
                  anchor: 'end',
                  colour: INK.soft,
                })
              : '';
          return planSvg(view) + stringNames(view) + stationsSvg(view, units) + marks;
        },
      };
    }),
  ];
}

/** The pages as SVG documents, landscape, in the paper's true size. */
export function sheetPages(build: Build, { paper, units, fields = {} }: SheetOptions): string[] {
  const area = areaOf(paper);
  const { width, height } = PAPERS[paper];
  const inner: Area = { x: area.x + 3, y: area.y + 2, width: area.width - 6, height: area.height - 2 };
  const room = inner.height - TITLE.height - 2;
  const pages = [
    ...pagesOf(blocksOf(build, inner, units), room),
    ...pagesOf(templateBlocks(build, inner, units), room),
  ];
  return pages.map((blocks, i) => {
    const foot = area.y + area.height;
    return `<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}" font-family="'Barlow Semi Condensed', 'Barlow', sans-serif">
<rect width="${width}" height="${height}" fill="#ffffff"/>
${blocks.map(({ y, block }) => block.draw(inner.x, inner.y + y)).join('\n')}
${paragraph(words.model, area.width - TITLE.width - 6, 2.2, INK.soft).draw(area.x + 2, foot - TITLE.height + 2)}
${rect(area.x, area.y, area.width, area.height, 0.5)}
${titleBlock(area, build, fields, i + 1, pages.length)}
</svg>
`
      .replaceAll('id="p', `id="s${i + 1}-p`)
      .replaceAll('url(#p', `url(#s${i + 1}-p`);
  });
}

/** All pages in one SVG document, one below the other. */
export function sheetSvg(build: Build, options: SheetOptions): string {
  const { width, height } = PAPERS[options.paper];
  const pages = sheetPages(build, options);
  const placed = pages.map((page, i) =>
    page
      .replace('<svg ', `<svg y="${mm(i * height)}" `)
      .replace(`width="${width}mm" height="${height}mm"`, `width="${width}" height="${height}"`),
  );
  return `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${mm(pages.length * height)}mm" viewBox="0 0 ${width} ${mm(pages.length * height)}">
${placed.join('')}</svg>
`;
}
