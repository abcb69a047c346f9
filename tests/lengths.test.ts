/** No file of the page's view code is too long to be read in one go, and no function anywhere, unless it says why. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));
const FILE = 300;
const FUNCTION = 80;
/** Folders of what is seen and operated. */
const VIEWS = ['page', 'sound', 'paper', 'listening', 'recordings', 'keep', 'parts'].map(name => `src/${name}`);

const sources = (folder: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter(name => name.endsWith('.ts'))
    .map(name => join(folder, name));
const linesOf = (file: string): string[] => readFileSync(join(root, file), 'utf8').trimEnd().split('\n');

interface Stretch {
  name: string;
  lines: number;
  comment: string;
}

/** A function or a method that begins at column 0 or 2 of formatted code, ends with its closing brace at that column. */
const BEGIN =
  /^( {2})?(?:export )?(?:default )?(?:override )?(?:async )?(?:static )?(?:function\*? (\w+)|(?:const )?(#?\w+)(?:: [^=]+)? = (?:async )?(?:\([^)]*\)?|\w+)|(?:get |\*)?(#?\w+)(?:<[^>]*>)?\()(?!.*;$)/;

function functionsIn(lines: readonly string[]): Stretch[] {
  return lines.flatMap((line, from) => {
    const found = BEGIN.exec(line);
    if (!found) return [];
    const indent = found[1] ?? '';
    const length = lines
      .slice(from + 1)
      .findIndex(next => /^\S/.test(next.slice(indent.length)) && !/^ *\)/.test(next));
    const to = from + 1 + length;
    if (length < 0 || !/^\}/.test(lines[to].slice(indent.length))) return [];
    let top = from;
    while (top > 0 && /^\s*(\/\*\*|\*|\/\/)/.test(lines[top - 1])) top--;
    const name = found[2] ?? found[3] ?? found[4];
    return [{ name, lines: to - from + 1, comment: lines.slice(top, from).join('\n') }];
  });
}

/** Functions that are too long and give no reason (“Longer than other functions: …”) in the comment before them. */
const tooLong = (lines: readonly string[]): string[] =>
  functionsIn(lines)
    .filter(one => one.lines > FUNCTION && !/\blonger than other functions: \w/i.test(one.comment))
    .map(one => `${one.name} has ${one.lines} lines`);

describe('lengths', () => {
  test('no file of view code has more than 300 lines', () => {
    const long = VIEWS.flatMap(sources).filter(file => linesOf(file).length > FILE);
    expect(long).toEqual([]);
  });

  test('no function has more than 80 lines without a reason in its comment', () => {
    const wrong = ['src', 'shared', 'worklets']
      .flatMap(sources)
      .filter(file => !file.startsWith('src/words/'))
      .flatMap(file => tooLong(linesOf(file)).map(what => `${file}: ${what}`));
    expect(wrong).toEqual([]);
  });

  test('functions are found and measured in all their forms', () => {
    const body = (head: string, foot = '}', indent = '') => [
      `${indent}${head}`,
      ...Array.from({ length: 79 }, () => `${indent}  step();`),
      `${indent}${foot}`,
    ];
    for (const [head, foot, indent] of [
      ['function draw(a: number): void {'],
      ['export async function draw() {'],
      ['export const draw = (a: number): string => {', '};'],
      ['  #draw(a: number) {', '  }', ''],
      ['  override render() {', '  }', ''],
      ['  #draw = async (event: Event): Promise<void> => {', '  };', ''],
      ['  get draw(): string {', '  }', ''],
    ]) {
      const lines = head.startsWith('  ') ? body(head.trim(), foot!.trim(), '  ') : body(head, foot, indent);
      expect(tooLong(lines), head).toHaveLength(1);
      expect(tooLong(lines.slice(0, -2).concat(lines.at(-1)!)), head).toHaveLength(0);
      expect(tooLong(['/** Longer than other functions: one step after the other. */', ...lines]), head).toHaveLength(
        0,
      );
    }
  });
});
