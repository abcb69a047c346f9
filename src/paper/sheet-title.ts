/** Title block of a build sheet, fields of ISO 7200. Pure. */
import type { Build } from '../../shared/document/build.ts';
import { words } from '../words/build-sheet-words.ts';
import { words as paperWords } from '../words/paper-words.ts';
import { fitted, INK, rect, text } from './svg-text.ts';

export type TitleField = keyof typeof paperWords.fields;
export type TitleFields = Record<TitleField, string>;

/** Size of the block, mm. */
export const TITLE = { width: 180, height: 27 };

/** A stretch of paper, mm. */
export interface Area {
  x: number;
  y: number;
  width: number;
  height: number;
}

export function titleBlock(area: Area, build: Build, fields: Partial<TitleFields>, sheet: number, of: number): string {
  const x = area.x + area.width - TITLE.width;
  const y = area.y + area.height - TITLE.height;
  const labels = paperWords.fields;
  const cell = (left: number, row: number, width: number, label: string, value: string, strong = false) =>
    rect(x + left, y + row * 9, width, 9, 0.25) +
    text(x + left + 1, y + row * 9 + 2.4, label, { size: 1.8, colour: INK.soft }) +
    text(x + left + 1, y + row * 9 + 7, fitted(value, width - 2, strong ? 3.4 : 3), {
      size: strong ? 3.4 : 3,
      weight: strong ? 600 : 400,
    });
  const of7200 = (name: TitleField) => fields[name] ?? '';
  const title = of7200('title') || build.name;
  return [
    cell(0, 0, 45, labels.department, of7200('department')),
    cell(45, 0, 45, labels.reference, of7200('reference')),
    cell(90, 0, 45, labels.type, of7200('type') || words.type),
    cell(135, 0, 45, labels.status, of7200('status')),
    cell(0, 1, 50, labels.owner, of7200('owner')),
    cell(50, 1, 85, labels.title, of7200('supplement') ? `${title}: ${of7200('supplement')}` : title, true),
    cell(135, 1, 45, labels.number, of7200('number')),
    cell(0, 2, 45, labels.creator, of7200('creator')),
    cell(45, 2, 45, labels.approval, of7200('approval')),
    cell(90, 2, 15, labels.revision, of7200('revision')),
    cell(105, 2, 30, labels.date, of7200('date')),
    cell(135, 2, 15, words.language, words.languageCode),
    cell(150, 2, 30, words.sheetNumber, words.sheet(sheet, of)),
    rect(x, y, TITLE.width, TITLE.height, 0.5),
  ].join('');
}
