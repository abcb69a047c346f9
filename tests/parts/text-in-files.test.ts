/** Text that leaves the page in files: spreadsheets must not run it, XML readers must not choke on it. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { escaped, xmlCharacters } from '../../shared/xml.ts';
import { csv } from '../../src/parts/plot-csv.ts';

test('no field of a table begins as a formula; numbers stay numbers', () => {
  expect(csv([['=cmd()', '+1', '-1', '@a', '\tx', 'a=b', -1, 2]])).toBe("'=cmd(),'+1,'-1,'@a,'\tx,a=b,-1,2\r\n");
  expect(csv([['=a,"b"']])).toBe('"\'=a,""b"""\r\n');
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), text => {
      expect(
        csv([[text]])
          .slice(0, -2)
          .replace(/^"/, ''),
      ).not.toMatch(/^[=+\-@\t\r]/);
    }),
  );
});

test('XML holds only characters that XML 1.0 allows, and nothing of the text reads as markup', () => {
  expect(xmlCharacters('a\u0000b\u001fc\ud800d\uffffe\tf\u{1d11e}')).toBe('abcde\tf\u{1d11e}');
  expect(escaped(`<a b="c" d='e'>&`)).toBe('&lt;a b=&quot;c&quot; d=&#39;e&#39;&gt;&amp;');
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), text => {
      // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must be gone
      expect(escaped(text)).not.toMatch(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff<>"']/);
    }),
  );
});
