/** The house's one rule: arrows point down one list of folders, and `shared` knows neither page, audio graph nor Node. */
import { readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

const sources = (folder: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter(name => /\.(ts|mjs)$/.test(name))
    .map(name => join(folder, name));

/** Static and dynamic imports, and workers by address; a statement begins a line and has no other text before its `from`. */
const IMPORT =
  /^(?:import|export)\b(?:[^'";]*?\bfrom)?\s*['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]|\bnew URL\(\s*['"]([^'"]+\.ts)['"]/gm;

const importsIn = (text: string): string[] => [...text.matchAll(IMPORT)].map(match => match[1] ?? match[2] ?? match[3]);

const importsOf = (file: string): string[] => importsIn(readFileSync(join(root, file), 'utf8'));

/** Every folder that holds code, lowest first: a file imports from its own folder and from those above it in this list. */
const ORDER = [
  'samples',
  'shared',
  'shared/statistics',
  'shared/audio/vector',
  'shared/audio',
  'shared/document',
  'shared/string',
  'shared/sensor',
  'shared/circuit',
  'shared/circuit/drawing',
  'shared/response',
  'shared/take',
  'shared/take/estimate',
  'shared/take/own',
  'shared/document/starting',
  'shared/document/reading',
  'shared/document/edits',
  'shared/document/comparing',
  'worklets',
  'src/words',
  'src/files',
  'src/audio',
  'src/workers',
  'src/state',
  'src/parts',
  'src/recordings',
  'src/sound/plan',
  'src/sound/path',
  'src/sound/readings',
  'src/sound',
  'src/keep',
  'src/paper',
  'src/listening/blind',
  'src/listening',
  'src/page',
  'src/bundling',
  'src/cli',
  'src',
];

/** What breaks the order among files given with their text, as sentences. */
function outOfOrder(files: ReadonlyMap<string, string>, order: readonly string[]): string[] {
  const wrong: string[] = [];
  for (const [file, text] of files) {
    const own = order.indexOf(dirname(file));
    if (own < 0) wrong.push(`${file}: its folder has no place in the order`);
    for (const specifier of importsIn(text)) {
      if (!specifier.startsWith('.')) continue;
      const target = normalize(join(dirname(file), specifier));
      const place = order.indexOf(dirname(target));
      if (place < 0) wrong.push(`${file} → ${target}: the folder has no place in the order`);
      else if (place > own) wrong.push(`${file} → ${target}`);
    }
  }
  return wrong;
}

/** Names that several of `files` have, with those files. */
function sameNames(files: readonly string[]): string[][] {
  const byName = new Map<string, string[]>();
  for (const file of files) byName.set(basename(file), [...(byName.get(basename(file)) ?? []), file]);
  return [...byName.values()].filter(list => list.length > 1);
}

/** Packages that the model may use: each is pure and has no platform in it. */
const PURE = ['valibot', 'fft.js', 'wavefile'];
/** `window` is also a word of this model (apertures, spectra), so only what the page's own can do gives it away. */
const PLATFORM =
  /\b(?:window|document)\.(?:add|remove|dispatch|get|query|create|body|location|document|match|request|open|inner|set)|\b(navigator|globalThis|localStorage|AudioContext|OfflineAudioContext|AudioWorkletNode|AudioWorkletProcessor|process\.(?:env|argv|cwd|stdout)|Buffer\.from|require\()/;

const withoutComments = (text: string) => text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|\s)\/\/.*$/gm, '$1');

describe('arrows between folders', () => {
  test('all point down the order of folders', () => {
    const files = new Map(
      ['shared', 'worklets', 'src'].flatMap(sources).map(file => [file, readFileSync(join(root, file), 'utf8')]),
    );
    expect(files.size).toBeGreaterThan(200);
    expect(outOfOrder(files, ORDER)).toEqual([]);
    const folders = new Set([...files.keys()].map(file => dirname(file)));
    expect(ORDER.filter(folder => folder !== 'samples' && !folders.has(folder))).toEqual([]);
  });

  test('the checker sees an arrow upwards, however it is written, and a folder without a place', () => {
    const check = (file: string, text: string) => outOfOrder(new Map([[file, text]]), ['low', 'low/inner', 'high']);
    expect(check('high/a.ts', "import { b } from '../low/b.ts';\nimport type { c } from './c.ts';")).toEqual([]);
    const upwards = [
      "import { b } from '../high/b.ts';",
      "import type { b } from '../high/b.ts';",
      "import {\n  b,\n  c,\n} from '../high/b.ts';",
      "import '../high/b.ts';",
      "export { b } from '../high/b.ts';",
      "const b = await import('../high/b.ts');",
      "new Worker(new URL('../high/b.ts', import.meta.url));",
    ];
    for (const text of upwards) expect(check('low/a.ts', text)).toEqual(['low/a.ts → high/b.ts']);
    expect(check('low/a.ts', "import './inner/b.ts';")).toEqual(['low/a.ts → low/inner/b.ts']);
    expect(check('elsewhere/a.ts', '')).toEqual(['elsewhere/a.ts: its folder has no place in the order']);
    expect(check('low/a.ts', "import '../elsewhere/b.ts';")).toEqual([
      'low/a.ts → elsewhere/b.ts: the folder has no place in the order',
    ]);
  });

  test('no two files of one name in src', () => {
    expect(sameNames(sources('src'))).toEqual([]);
    expect(sameNames(['a/one.ts', 'b/one.ts', 'a/two.ts'])).toEqual([['a/one.ts', 'b/one.ts']]);
  });

  test('shared uses pure packages only', () => {
    const wrong = sources('shared').flatMap(file =>
      importsOf(file)
        .filter(name => !name.startsWith('.') && !PURE.some(pure => name === pure || name.startsWith(`${pure}/`)))
        .map(name => `${file}: ${name}`),
    );
    expect(wrong).toEqual([]);
  });

  test('shared touches neither DOM, Web Audio nor Node', () => {
    const wrong = sources('shared').filter(file =>
      PLATFORM.test(withoutComments(readFileSync(join(root, file), 'utf8'))),
    );
    expect(wrong).toEqual([]);
  });

  test('only one file knows the audio context library', () => {
    const users = sources('src').filter(file => importsOf(file).includes('standardized-audio-context'));
    expect(users).toEqual([join('src', 'audio', 'context.ts')]);
  });
});
