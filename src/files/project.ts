/**
 * The project file: the sheet as JSON, the same that the command line reads. A file of a single build opens too, as one
 * more build of the sheet that is open. Pure.
 */
import { addBuild, freeLetter } from '../../shared/document/edits/builds.ts';
import { parseBuild } from '../../shared/document/reading/parse-build.ts';
import { type ParsedSheet, parseSheet } from '../../shared/document/reading/parse-sheet.ts';
import type { Sheet } from '../../shared/document/sheet.ts';
import { words } from '../words/keep-words.ts';
import { fileStem } from './file-names.ts';

/** A larger file is no project, bytes. */
export const LARGEST_PROJECT = 8_000_000;

/** The text of a project file. */
export const writeProject = (sheet: Sheet): string => `${JSON.stringify(sheet, null, 1)}\n`;

export const projectName = (sheet: Sheet): string => `${fileStem(sheet.title) || 'sheet'}.json`;

/** `sheet` with a build from a file at the next free letter. */
function withBuildAdded(sheet: Sheet, data: unknown): ParsedSheet {
  const parsed = parseBuild(data);
  if (!parsed.ok) {
    const [first] = parsed.issues;
    return { ok: false, message: first.path ? `${first.path}: ${first.message}` : first.message };
  }
  if (!freeLetter(sheet)) return { ok: false, message: words.noRoom };
  return { ok: true, sheet: addBuild(sheet, parsed.build).sheet };
}

/** The sheet that a file's text stands for beside the `open` one, or a sentence on what is wrong with it. */
export function readProject(text: string, open: Sheet): ParsedSheet {
  let data: unknown;
  try {
    // a byte order mark is no part of JSON, but editors write it
    data = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch {
    return { ok: false, message: words.noJson };
  }
  const format = typeof data === 'object' && data !== null ? (data as { format?: unknown }).format : undefined;
  if (format === 'comb-and-coil/build') return withBuildAdded(open, data);
  if (format === 'comb-and-coil/sheet') return parseSheet(data);
  return { ok: false, message: words.foreign };
}
