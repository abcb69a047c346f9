/**
 * The SVG text that `svg-text.ts` and its like write, as elements. Only what they write is understood: elements, attributes
 * in double quotes, text. The browser's own reader of markup is never asked, so no text can become a program.
 */
/** An element and what it holds; text stands as it is meant, not as it is written. */
export interface Written {
  name: string;
  attributes: [name: string, value: string][];
  children: (Written | string)[];
}

const ENTITIES: Record<string, string> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" };
const meant = (text: string): string => text.replace(/&(amp|lt|gt|quot|#39);/g, (_, name) => ENTITIES[name]);

const PIECE = /<(\/?)([a-zA-Z]+)((?:\s+[\w:-]+="[^"]*")*)\s*(\/?)>|([^<]+)/gy;
const ATTRIBUTE = /([\w:-]+)="([^"]*)"/g;

/** The one element that `text` is. Throws on anything else. */
export function readWritten(text: string): Written {
  const root: Written = { name: '', attributes: [], children: [] };
  const open = [root];
  let end = 0;
  for (const [piece, closes, name, attributes, alone, content] of text.matchAll(PIECE)) {
    end += piece.length;
    const holder = open[open.length - 1];
    if (content !== undefined) {
      if (content.trim() !== '') holder.children.push(meant(content));
    } else if (closes) {
      if (holder.name !== name) throw new RangeError(`</${name}> closes <${holder.name}>`);
      open.pop();
    } else {
      const found = [...attributes.matchAll(ATTRIBUTE)].map(([, key, value]): [string, string] => [key, meant(value)]);
      const element: Written = { name, attributes: found, children: [] };
      holder.children.push(element);
      if (!alone) open.push(element);
    }
  }
  const [only, ...others] = root.children;
  if (end < text.length || open.length > 1 || others.length > 0 || typeof only !== 'object')
    throw new RangeError(`no drawing: it ends at character ${end} of ${text.length}`);
  return only;
}

const SVG = 'http://www.w3.org/2000/svg';

function element({ name, attributes, children }: Written): SVGElement {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of attributes) if (key !== 'xmlns') made.setAttribute(key, value);
  made.append(...children.map(child => (typeof child === 'string' ? child : element(child))));
  return made;
}

/** The drawing that `text` writes. */
export const drawnElement = (text: string): SVGElement => element(readWritten(text));
