/** The build that a command is about, from a file, from standard input, or one of a sheet's. */
import { readFileSync } from 'node:fs';
import type { Build } from '../../shared/document/build.ts';
import { parseBuild } from '../../shared/document/reading/parse-build.ts';
import { parseSheet } from '../../shared/document/reading/parse-sheet.ts';
import { LETTERS, type Letter, type Sheet, type Slot, type StringsOf } from '../../shared/document/sheet.ts';
import type { LetteredBuild } from '../files/render-files.ts';
import { Failure } from './failure.ts';

function read(path: string): unknown {
  let text: string;
  try {
    text = readFileSync(path === '-' ? 0 : path, 'utf8');
  } catch (error) {
    throw new Failure(`cannot read "${path}": ${error instanceof Error ? error.message : String(error)}`);
  }
  try {
    // a byte order mark is no part of JSON, but editors write it
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new Failure(`"${path}" is no JSON: ${error instanceof Error ? error.message : String(error)}`);
  }
}

/** A build as it is written, with what its sheet says on the strings it is heard on. */
export interface ReadBuild extends LetteredBuild {
  /** Id of the sheet's take; null: the build came alone. */
  take: string | null;
  strings: StringsOf;
  /** Every letter that the sheet has. */
  among: readonly Letter[];
}

const alone = (build: Build): ReadBuild => ({
  letter: LETTERS[0],
  build,
  take: null,
  strings: 'take',
  among: [LETTERS[0]],
});
const ofSheet = ({ take, strings, builds }: Sheet, slot: Slot): ReadBuild => ({
  ...slot,
  take,
  strings,
  among: builds.map(one => one.letter),
});

function fromSheet(path: string, data: unknown, letter: string | undefined): ReadBuild {
  const parsed = parseSheet(data);
  if (!parsed.ok) throw new Failure(`"${path}": ${parsed.message}`);
  return ofSheet(parsed.sheet, slotOf(path, parsed.sheet, letter ?? parsed.sheet.builds[0].letter));
}

function slotOf(path: string, { builds }: Sheet, letter: string): Slot {
  const wanted = letter.toUpperCase();
  const slot = builds.find(b => b.letter === wanted);
  if (!slot) throw new Failure(`"${path}" has no build ${wanted}; it has ${builds.map(b => b.letter).join(', ')}`);
  return slot;
}

/**
 * Builds with the letters that files are named by: of a sheet those it has (or the wanted ones), single builds in order of
 * the command line. With several files letters are given anew.
 */
export function readBuilds(paths: readonly string[], letters: readonly string[]): ReadBuild[] {
  if (paths.length === 0)
    throw new Failure('which build? Give a file (or - for standard input); "lab example" prints one');
  const found = paths.flatMap(path => {
    const data = read(path);
    if ((data as { format?: unknown } | null)?.format !== 'comb-and-coil/sheet') return [alone(checked(path, data))];
    const parsed = parseSheet(data);
    if (!parsed.ok) throw new Failure(`"${path}": ${parsed.message}`);
    const slots = letters.length === 0 ? parsed.sheet.builds : letters.map(one => slotOf(path, parsed.sheet, one));
    return slots.map(slot => ofSheet(parsed.sheet, slot));
  });
  if (found.length > LETTERS.length)
    throw new Failure(`that is ${found.length} builds; up to ${LETTERS.length} can be rendered together`);
  return paths.length === 1 ? found : found.map((one, i) => ({ ...one, letter: LETTERS[i] }));
}

/** Reads and checks the build at `path` (`-`: standard input); of a sheet, the build `letter` (the first if absent). */
export function readBuild(path: string | undefined, letter?: string): ReadBuild {
  if (path === undefined)
    throw new Failure('which build? Give a file (or - for standard input); "lab example" prints one');
  const data = read(path);
  if ((data as { format?: unknown } | null)?.format === 'comb-and-coil/sheet') return fromSheet(path, data, letter);
  return alone(checked(path, data));
}

function checked(path: string, data: unknown): Build {
  const parsed = parseBuild(data);
  if (parsed.ok) return parsed.build;
  const lines = parsed.issues.slice(0, 8).map(i => (i.path ? `  ${i.path}: ${i.message}` : `  ${i.message}`));
  const more = parsed.issues.length > 8 ? [`  and ${parsed.issues.length - 8} more`] : [];
  throw new Failure([`"${path}" is no build that can be used:`, ...lines, ...more].join('\n'));
}
