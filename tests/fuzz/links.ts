/** Links that were changed on the way: characters, cuts, or what is packed in them. None throws; what opens goes round. */
import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { deflateSync, strToU8 } from 'fflate';
import { readLink, writeLink } from '../../src/files/link.ts';
import { LINK_DICTIONARY } from '../../src/files/link-dictionary.ts';
import { LINK_PREFIX, LINK_PREFIXES } from '../../src/files/link-prefix.ts';
import { type Damaged, damaged, documents, isSentence } from './documents.ts';
import type { Program } from './program.ts';

interface Sent {
  /** What is packed. */
  document: Damaged;
  prefix: number;
  /** In the link's text: at a share of its length, so many characters give way to others. */
  hits: readonly { at: number; length: number; text: string }[];
  /** The share that arrives. */
  arrives: number;
}

const dictionary = strToU8(LINK_DICTIONARY);

const cases: fc.Arbitrary<Sent> = fc.record({
  document: documents.cases,
  prefix: fc.nat(LINK_PREFIXES.length - 1),
  hits: fc.array(
    fc.record({
      at: fc.double({ min: 0, max: 0.9999, noNaN: true }),
      length: fc.nat(6),
      text: fc.oneof(fc.string({ maxLength: 6 }), fc.constantFrom('%', '=', '+', '/', '\u0000', '🎸', '#', 'AAAA')),
    }),
    { maxLength: 3 },
  ),
  arrives: fc.oneof(
    { weight: 5, arbitrary: fc.constant(1) },
    { weight: 1, arbitrary: fc.double({ min: 0, max: 1, noNaN: true }) },
  ),
});

function textOf({ document, prefix, hits, arrives }: Sent): string {
  const mark = LINK_PREFIXES[prefix];
  const bytes = strToU8(JSON.stringify(damaged(document)));
  const packed = deflateSync(bytes, mark === LINK_PREFIX ? { level: 1, dictionary } : { level: 1 });
  let text = mark + Buffer.from(packed).toString('base64url');
  for (const { at, length, text: other } of hits) {
    const from = Math.floor(at * text.length);
    text = text.slice(0, from) + other + text.slice(from + length);
  }
  return text.slice(0, Math.ceil(arrives * text.length));
}

export const links: Program<Sent> = {
  cases,
  check: one => {
    const read = readLink(textOf(one));
    if (!read.ok) {
      isSentence(read.message);
      return 'refused';
    }
    const again = readLink(writeLink(read.sheet));
    if (!again.ok) throw new Error(`a link of what it opened does not open: ${again.message}`);
    if (!isDeepStrictEqual(again.sheet, JSON.parse(JSON.stringify(read.sheet))))
      throw new Error('another sheet came back');
    return 'opened';
  },
  batch: 1000,
  usual: 5000,
};
