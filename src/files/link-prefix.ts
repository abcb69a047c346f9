/** How a fragment of the address is known for a link, apart from what reads one (`link.ts`), which few visits need. */

export const LINK_PREFIX = '#s2=';
/** First version: no dictionary. */
const PLAIN_PREFIX = '#s1=';
/** Every kind of link that opens. */
export const LINK_PREFIXES = [LINK_PREFIX, PLAIN_PREFIX] as const;

export const isLink = (hash: string): boolean => LINK_PREFIXES.some(prefix => hash.startsWith(prefix));
