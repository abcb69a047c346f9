/** Sentences stand in `src/words` alone: no text of the page is written where it is shown. */
// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the source text that is looked through
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../src', import.meta.url));
const model = fileURLToPath(new URL('../shared', import.meta.url));
/** Words themselves; what a terminal says; what is built, not shown. */
const APART = /^(?:words|cli|bundling)\/|\bstyles\.ts$|link-dictionary\.ts$/;

/** The model speaks in these alone, beginning of the path and why. */
const SPEAKS: readonly [where: string, why: string][] = [
  ['document/build.ts', 'the schema says what it expects where it refuses'],
  ['document/sheet.ts', 'likewise'],
  ['document/reading/', 'the parser names the place and what was expected there'],
  ['units.ts', 'typed values are parsed: what was expected'],
  ['take/manifest.ts', 'the schema of the list of takes'],
  ['audio/wav.ts', 'the reader says what a file lacks and what would open'],
  ['take/own/prepare.ts', 'refuses a recording’s channels that contradict each other'],
  ['take/estimate/', 'what notes leave open; refuses notes that tell nothing'],
  [
    'circuit/',
    'names of parts, places and ready wirings, in netlist, command line and page; what a network contradicts',
  ],
  ['sensor/typical.ts', 'names of ready pickups'],
  ['string/', 'names of ready instruments; where a string’s figure came from'],
  ['document/starting/', 'names and notes of what a page begins with'],
  ['document/comparing/', 'names of what differs'],
];

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
const SENTENCES: typeof STRAYS = [
  ['a sentence', /'[A-Z“][^'\n]* [^'\n]*[.!?…]'|`[A-Z“][^`\n]* [^`\n]*[.!?…]`/g],
  // what breaks a contract between parts of the program (RangeError, TypeError) is told to nobody but who writes it
  [
    'three words in a row',
    /(?<![A-Za-z0-9)\]}'`]|\b(?:Range|Type)Error\(\s*)(?:'[^'\n<>]*|`[^`\n<>]*)\b(?:[a-z]{2,},? [a-z]{2,}|[a-z]{2,} [a-z]{2,},) [a-z]{2,}[^'`\n<>]*['`]/g,
  ],
];
const COMMENT = /\/\*[\s\S]*?\*\/|(?<=^|\s)\/\/ .*$/gm;

const straysIn = (text: string, kinds: typeof STRAYS = [...STRAYS, ...SENTENCES]): string[] =>
  kinds.flatMap(([what, pattern]) =>
    [...text.replace(COMMENT, '').matchAll(pattern)].map(([found]) => `${what}: ${found}`),
  );

describe('words', () => {
  test('stand in src/words alone', () => {
    const found = readdirSync(root, { recursive: true, encoding: 'utf8' })
      .filter(name => name.endsWith('.ts') && !APART.test(name))
      .flatMap(name => straysIn(readFileSync(join(root, name), 'utf8')).map(stray => `${name}: ${stray}`));
    expect(found).toEqual([]);
  });

  test('are said by the model only where it must, and every such place still does', () => {
    const saying = readdirSync(model, { recursive: true, encoding: 'utf8' }).filter(
      name => name.endsWith('.ts') && straysIn(readFileSync(join(model, name), 'utf8'), SENTENCES).length > 0,
    );
    expect(saying.filter(name => !SPEAKS.some(([where]) => name.startsWith(where)))).toEqual([]);
    expect(SPEAKS.filter(([where]) => !saying.some(name => name.startsWith(where)))).toEqual([]);
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
    "return { ok: false, message: 'it is damaged or was cut short.' };",
    "pluck === null ? 'none, every partial alike' : mm(pluck)",
    "throw new Error('none of the chosen builds can play the chosen takes')",
    'ambiguities.push(`Either place may be ${mirrored} instead.`)',
    'matched ? matchedText : `true levels, reference ${letter}`',
  ])('are seen where they stray: %s', text => {
    expect(straysIn(text)).not.toEqual([]);
  });

  test.each([
    '<p class="small soft">${words.nothing}</p>',
    '<button title=${words.play} aria-label=${words.stop}>×</button>',
    'editSheet(words.titleStep, sheet => setTitle(sheet, title))',
    "throw new RangeError('every trial has its answer')",
    "/** Why it isn't said here: `words` has it and nobody else. */",
  ])('are not seen in what only uses them: %s', text => {
    expect(straysIn(text)).toEqual([]);
  });
});
