/**
 * Share links: the sheet in the URL fragment, so that it never reaches a server. JSON, raw DEFLATE, base64url, behind
 * a version mark. From the second version on DEFLATE starts from a dictionary of what every sheet says, which makes links
 * of a few builds half as long. Takes of one's own are never in it.
 */
import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate';
import { type ParsedSheet, parseSheet } from '../../shared/document/reading/parse-sheet.ts';
import type { Sheet } from '../../shared/document/sheet.ts';
import { words } from '../words/keep-words.ts';
import { LINK_DICTIONARY } from './link-dictionary.ts';
import { LINK_PREFIX, LINK_PREFIXES } from './link-prefix.ts';

/** A fragment inflates to at most this, bytes: no link may fill the memory. */
const LARGEST = 2_000_000;

const DICTIONARY = strToU8(LINK_DICTIONARY);

const toBase64Url = (bytes: Uint8Array): string => {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text).replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '');
};

const fromBase64Url = (text: string): Uint8Array =>
  Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), c => c.charCodeAt(0));

/** The fragment, with its `#`, that carries `sheet`. */
export function writeLink(sheet: Sheet): string {
  return LINK_PREFIX + toBase64Url(deflateSync(strToU8(JSON.stringify(sheet)), { level: 9, dictionary: DICTIONARY }));
}

/** The sheet that a fragment carries, or why it carries none. */
export function readLink(hash: string): ParsedSheet {
  const prefix = LINK_PREFIXES.find(one => hash.startsWith(one));
  if (!prefix) return { ok: false, message: words.unknownLink };
  try {
    const packed = fromBase64Url(hash.slice(prefix.length));
    const out = new Uint8Array(LARGEST);
    const bytes = inflateSync(packed, prefix === LINK_PREFIX ? { out, dictionary: DICTIONARY } : { out });
    return parseSheet(JSON.parse(strFromU8(bytes)));
  } catch {
    return { ok: false, message: words.damagedLink };
  }
}
