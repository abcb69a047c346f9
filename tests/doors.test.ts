/** DEVELOPERS.md is true: what it names is there, every door holds what its question asks for. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { PROGRAMS } from './fuzz/programs.ts';

const root = fileURLToPath(new URL('..', import.meta.url));
const read = (path: string): string => readFileSync(join(root, path), 'utf8');
const text = read('DEVELOPERS.md');
const section = (name: string): string => text.split(`\n## ${name}\n`)[1].split('\n## ')[0];
/** Cells of the rows of a section's table. */
const rows = (name: string): string[][] =>
  [...section(name).matchAll(/^\| (.*) \|$/gm)].map(([, row]) => row.split(' | ').map(cell => cell.trim())).slice(2);
const quoted = (cell: string): string[] => [...cell.matchAll(/`([^`]+)`/g)].map(([, name]) => name);

describe('DEVELOPERS.md', () => {
  test('every file and folder that it names is there', () => {
    const named = quoted(text.replace(/```[\s\S]*?```/g, '')).filter(name =>
      /^(?:src|shared|worklets|samples|tests|\.ci)\/\S*$/.test(name),
    );
    expect(named.length).toBeGreaterThan(40);
    expect(named.filter(name => !existsSync(join(root, name)))).toEqual([]);
  });

  test('the house has the folders of the tree, and the tree every folder of the house', () => {
    const [, tree] = section('The house').split('```');
    // what stands further in is a description
    const listed: string[] = [];
    for (const [, indent, name] of tree.matchAll(/^( {0,4})([a-z-]+)\/ /gm)) {
      const parent = indent === '' ? '' : listed.findLast(one => one.split('/').length === indent.length / 2);
      listed.push(join(parent ?? '', name));
    }
    expect(listed.filter(name => !existsSync(join(root, name)))).toEqual([]);
    const folders = ['shared', 'src'].flatMap(top =>
      readdirSync(join(root, top), { withFileTypes: true })
        .filter(one => one.isDirectory())
        .map(one => join(top, one.name)),
    );
    expect(folders.filter(name => !listed.includes(name))).toEqual([]);
  });

  test('behind every door stands what is asked for', () => {
    const doors = rows('Doors');
    expect(doors.length).toBeGreaterThanOrEqual(15);
    const closed = doors.flatMap(([question, door, sign]) => {
      const paths = quoted(door);
      const files = paths.flatMap(path =>
        path.endsWith('/') ? readdirSync(join(root, path)).map(name => path + name) : path,
      );
      const all = files
        .filter(file => file.endsWith('.ts'))
        .map(read)
        .join('\n');
      const missing = quoted(sign).filter(word => !new RegExp(`\\b${word}\\b`).test(all));
      return paths.length === 0 || quoted(sign).length === 0 || missing.length > 0 ? [`${question} ${missing}`] : [];
    });
    expect(closed).toEqual([]);
  });

  test('its commands are there, the fuzz programs too', () => {
    const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> };
    const run = [...text.matchAll(/`(?:SEED=\S+ )?npm (?:run )?([a-z:]+)/g)].map(([, name]) => name);
    expect(run.length).toBeGreaterThan(4);
    expect(run.filter(name => !(name in scripts))).toEqual([]);
    const [, programs] = /npm run fuzz -- (\S+) RUNS SEED FROM/.exec(text)!;
    expect(programs.split('|')).toEqual(Object.keys(PROGRAMS));
  });

  test('its numbered workarounds are those of the code, each with its test or the reason why there is none', () => {
    const numbersIn = (one: string) => [...one.matchAll(/\bworkaround (\d+)\b/gi)].map(([, n]) => Number(n));
    const listed = rows('Browser workarounds');
    expect(listed.map(([n]) => Number(n))).toEqual(listed.map((_, i) => i + 1));
    const tested = numbersIn(read('tests/browser/workarounds.test.ts'));
    for (const [n, , place, proof] of listed) {
      expect(
        quoted(place).some(file => numbersIn(read(file)).includes(Number(n))),
        `workaround ${n} at its place`,
      ).toBe(true);
      expect(proof === 'yes', `workaround ${n}: ${proof}`).toBe(tested.includes(Number(n)));
    }
    const inCode = readdirSync(join(root, 'src'), { recursive: true, encoding: 'utf8' })
      .filter(name => name.endsWith('.ts'))
      .flatMap(name => numbersIn(read(join('src', name))));
    expect([...new Set(inCode)].sort((a, b) => a - b)).toEqual(listed.map((_, i) => i + 1));
  });
});
