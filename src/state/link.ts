/**
 * Share links: the sheet in the URL fragment, so that it never reaches a server. JSON, raw DEFLATE, base64url, behind
 * a version mark. Takes of one's own are never in it.
 */
import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate';
import { type ParsedSheet, parseSheet } from '../../shared/build/parse-sheet.ts';
import type { Sheet } from '../../shared/build/sheet.ts';

export const LINK_PREFIX = '#s1=';
/** A fragment inflates to at most this, bytes: no link may fill the memory. */
const LARGEST = 2_000_000;

const toBase64Url = (bytes: Uint8Array): string => {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text).replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '');
};

const fromBase64Url = (text: string): Uint8Array =>
  Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), c => c.charCodeAt(0));

/** The fragment, with its `#`, that carries `sheet`. */
export function writeLink(sheet: Sheet): string {
  return LINK_PREFIX + toBase64Url(deflateSync(strToU8(JSON.stringify(sheet)), { level: 9 }));
}

/** The sheet that a fragment carries, or why it carries none. */
export function readLink(hash: string): ParsedSheet {
  if (!hash.startsWith(LINK_PREFIX)) return { ok: false, message: 'it is of a kind that this version does not know.' };
  try {
    const packed = fromBase64Url(hash.slice(LINK_PREFIX.length));
    const bytes = inflateSync(packed, { out: new Uint8Array(LARGEST) });
    return parseSheet(JSON.parse(strFromU8(bytes)));
  } catch {
    return { ok: false, message: 'it is damaged or was cut short.' };
  }
}
