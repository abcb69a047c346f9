/** Build sheets as elements: nothing of the text is lost, and only such text is read. */
import { expect, test } from 'vitest';
import { examples } from '../../shared/document/starting/starting-builds.ts';
import { escaped } from '../../shared/xml.ts';
import { readWritten, type Written } from '../../src/paper/drawn-text.ts';
import { sheetPages } from '../../src/paper/sheet-svg.ts';

/** The text again, without the blanks between elements. */
const text = ({ name, attributes, children }: Written): string => {
  const head = `<${name}${attributes.map(([key, value]) => ` ${key}="${escaped(value)}"`).join('')}`;
  return `${head}>${children.map(child => (typeof child === 'string' ? escaped(child) : text(child))).join('')}</${name}>`;
};
const plain = (svg: string): string =>
  svg
    .replace(/>\s+</g, '><')
    .trim()
    .replaceAll("'", '&#39;')
    .replace(/<(\w+)([^<>]*)\/>/g, '<$1$2></$1>');

test('every page of every example comes back as it was written', () => {
  for (const { build } of examples())
    for (const page of sheetPages(build, { paper: 'a4', units: 'mm', fields: { owner: `<b onclick="x">&amp;'"` } }))
      expect(text(readWritten(page))).toBe(plain(page));
});

test('names that look like markup are text', () => {
  const [{ build }] = examples();
  const [page] = sheetPages({ ...build, name: '</text><script>alert(1)</script>' }, { paper: 'a4', units: 'mm' });
  const names = (one: Written): string[] => [
    one.name,
    ...one.children.flatMap(child => (typeof child === 'string' ? [] : names(child))),
  ];
  expect(new Set(names(readWritten(page)))).toEqual(
    new Set(['svg', 'rect', 'text', 'path', 'g', 'circle', 'clipPath']),
  );
});

test.each([
  '',
  'text',
  '<g>',
  '<g></path>',
  '<g/><g/>',
  '<g x=1/>',
  '<!-- --><g/>',
  '<g/>x<',
  '<g>&#39;</g',
  '<?xml?><g/>',
])('%j is refused', svg => expect(() => readWritten(svg)).toThrow());
