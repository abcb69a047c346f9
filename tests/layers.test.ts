/** The house's one rule: arrows point src → worklets → shared, and `shared` knows neither page, audio graph nor Node. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

const sources = (folder: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter(name => /\.(ts|mjs)$/.test(name))
    .map(name => join(folder, name));

/** Static and dynamic imports; a statement begins a line and has no other text before its `from`. */
const IMPORT = /^(?:import|export)\b(?:[^'";]*?\bfrom)?\s*['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]/gm;

const importsOf = (file: string): string[] =>
  [...readFileSync(join(root, file), 'utf8').matchAll(IMPORT)].map(match => match[1] ?? match[2]);

/** Folder at the top that an import of `file` leads to; null: a package. */
const target = (file: string, specifier: string): string | null =>
  specifier.startsWith('.') ? relative('.', normalize(join(dirname(file), specifier))).split(/[\\/]/)[0] : null;

const RULES: Record<string, readonly string[]> = {
  shared: ['shared'],
  worklets: ['worklets', 'shared'],
  src: ['src', 'worklets', 'shared', 'samples'],
};

/** Packages that the model may use: each is pure and has no platform in it. */
const PURE = ['valibot', 'fft.js', 'wavefile'];
/** `window` is also a word of this model (apertures, spectra), so only what the page's own can do gives it away. */
const PLATFORM =
  /\b(?:window|document)\.(?:add|remove|dispatch|get|query|create|body|location|document|match|request|open|inner|set)|\b(navigator|globalThis|localStorage|AudioContext|OfflineAudioContext|AudioWorkletNode|AudioWorkletProcessor|process\.(?:env|argv|cwd|stdout)|Buffer\.from|require\()/;

const withoutComments = (text: string) => text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|\s)\/\/.*$/gm, '$1');

describe('arrows between folders', () => {
  for (const [folder, allowed] of Object.entries(RULES))
    test(`${folder} imports only from ${allowed.join(', ')}`, () => {
      const files = sources(folder);
      expect(files.length).toBeGreaterThan(0);
      const wrong = files.flatMap(file =>
        importsOf(file)
          .map(specifier => ({ file, to: target(file, specifier) }))
          .filter(({ to }) => to !== null && !allowed.includes(to)),
      );
      expect(wrong).toEqual([]);
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
