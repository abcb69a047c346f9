/** Text for XML and SVG files: names come from files and links that anybody can make. */

/** The text without what XML 1.0 (section 2.2) has no place for: control characters, halves of surrogate pairs, U+FFFE, U+FFFF. */
export const xmlCharacters = (text: string): string =>
  text.replace(/[^\t\n\r\u{20}-\u{d7ff}\u{e000}-\u{fffd}\u{10000}-\u{10ffff}]/gu, '');

/** The text as the content of an element or of an attribute. */
export const escaped = (text: string): string =>
  xmlCharacters(text)
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;');
