/** Sentences stand in `src/words` alone: no text of the page is written where it is shown. */
// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the source text that is looked through
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../src', import.meta.url));
/** Words themselves; what a terminal says; what is built, not shown. */
const APART = /^(words|cli|bundling)\//;

const STRAYS: readonly [what: string, pattern: RegExp][] = [
  ['two words between tags', />\s*[A-Za-z’]{2,},? [a-z’]{2,}[^<>`{}=;]*<\//g],
  [
    'a name spoken or shown',
    /\b(?:title|label|hint|alt|placeholder|aria-(?:label|description|valuetext))="[A-Za-z][^"$]* [^"]*"/g,
  ],
  ['the name of a step', /\bedit(?:Heard|At|Sheet)?\(\s*(?:'|`[^`]*[a-z]{2,} \$\{|`[^`]*\} [a-z]{2,})/g],
  ['the name of a field’s step', /\bname: (?:`[a-z]+ \$\{|'[a-z]+ [a-z]+)/g],
  ['a notice or message', /\b(?:notify\(|message = )\s*(?:'[^']* |`[^`]*[a-z]{2,} [a-z]{2,})/g],
];

const straysIn = (text: string): string[] =>
  STRAYS.flatMap(([what, pattern]) => [...text.matchAll(pattern)].map(([found]) => `${what}: ${found}`));

describe('words', () => {
  test('stand in src/words alone', () => {
    const found = readdirSync(root, { recursive: true, encoding: 'utf8' })
      .filter(name => name.endsWith('.ts') && !APART.test(name))
      .flatMap(name => straysIn(readFileSync(join(root, name), 'utf8')).map(stray => `${name}: ${stray}`));
    expect(found).toEqual([]);
  });

  test.each([
    '<p class="small">Nothing here yet</p>',
    'html`<button title="Play or stop">${mark}</button>`',
    '<input aria-label="volume of the page" />',
    "editSheet('change title', sheet => setTitle(sheet, title))",
    'editHeard(`turn ${name}`, build => build)',
    "quantityAt(at, label, 'length', 'position', { name: `move ${pickup.name}` })",
    "notify('Nothing was kept.')",
    'this.message = `${low} to ${high} is accepted here`;',
  ])('are seen where they stray: %s', text => {
    expect(straysIn(text)).not.toEqual([]);
  });

  test.each([
    '<p class="small soft">${words.nothing}</p>',
    '<button title=${words.play} aria-label=${words.stop}>×</button>',
    'editSheet(words.titleStep, sheet => setTitle(sheet, title))',
  ])('are not seen in what only uses them: %s', text => {
    expect(straysIn(text)).toEqual([]);
  });
});
