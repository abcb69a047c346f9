/** A drawn plot as a file that stands alone: SVG with its styles resolved and its settings inside, and PNG from it. */
import fontUrl from '@fontsource/barlow/files/barlow-latin-500-normal.woff2?url';
import { xmlCharacters } from '../../shared/xml.ts';
import type { PlotModel } from './plot-model.ts';

const NS = 'http://www.w3.org/2000/svg';
/** Presentation that the page's style sheets decide and a file of its own needs written down. */
const RESOLVED = [
  'fill',
  'fill-opacity',
  'stroke',
  'stroke-width',
  'stroke-opacity',
  'stroke-dasharray',
  'stroke-linejoin',
  'font-size',
  'font-weight',
  'text-anchor',
  'paint-order',
  'opacity',
] as const;

const element = (name: string, attributes: Record<string, string>, text = ''): SVGElement => {
  const made = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (text) made.textContent = text;
  return made;
};

/** Copies computed presentation from the live drawing to its clone, element by element. */
function resolve(live: Element, clone: Element): void {
  const style = getComputedStyle(live);
  for (const name of RESOLVED) {
    const value = style.getPropertyValue(name);
    if (value) clone.setAttribute(name, value);
  }
  clone.removeAttribute('class');
  clone.removeAttribute('style');
  for (let i = 0; i < live.children.length; i++) resolve(live.children[i], clone.children[i]);
}

async function fontFace(): Promise<string> {
  try {
    const bytes = new Uint8Array(await (await fetch(fontUrl)).arrayBuffer());
    let binary = '';
    for (const byte of bytes) binary += String.fromCharCode(byte);
    return `@font-face{font-family:"Barlow";font-weight:400 600;src:url(data:font/woff2;base64,${btoa(binary)}) format("woff2")}`;
  } catch {
    // without the face the reader's own sans-serif stands in
    return '';
  }
}

/**
 * The plot as SVG text: title, settings and legend above the drawing, the same in `<title>`, `<desc>` and
 * `<metadata>` (JSON). `live` is the drawing on the page; parts marked `data-passing` (cursor) are left out.
 */
export async function plotSvg(live: SVGSVGElement, model: PlotModel): Promise<string> {
  const width = live.clientWidth || Number(live.getAttribute('width'));
  const height = live.clientHeight || Number(live.getAttribute('height'));
  const main = model.series.filter(one => !one.quiet);
  const settings = Object.entries(model.settings).map(([name, value]) => `${name}: ${value}`);
  const line = 17;
  const head = line * (2 + main.length) + 12;

  const clone = live.cloneNode(true) as SVGSVGElement;
  resolve(live, clone);
  for (const passing of [...clone.querySelectorAll('[data-passing]')]) passing.remove();
  for (const comment of commentsIn(clone)) comment.remove();

  const style = getComputedStyle(live);
  const ink = style.getPropertyValue('--ink').trim() || '#000';
  const paper = style.getPropertyValue('--panel').trim() || '#fff';
  const file = element('svg', {
    xmlns: NS,
    width: String(width),
    height: String(height + head),
    viewBox: `0 0 ${width} ${height + head}`,
    'font-family': 'Barlow, system-ui, sans-serif',
    role: 'img',
  });
  file.append(
    element('title', {}, model.title),
    element('desc', {}, settings.join('; ')),
    element('metadata', {}, JSON.stringify({ title: model.title, ...model.settings })),
  );
  const face = await fontFace();
  if (face) file.append(element('style', {}, face));
  file.append(element('rect', { width: '100%', height: '100%', fill: paper }));
  const text = { x: '12', fill: ink, 'font-size': '13' };
  file.append(element('text', { ...text, y: String(line + 3), 'font-weight': '600' }, model.title));
  file.append(element('text', { ...text, y: String(2 * line + 3), 'font-size': '11' }, settings.join(' · ')));
  main.forEach((one, i) => {
    const y = (3 + i) * line;
    const probe = document.createElement('span');
    probe.style.color = one.colour;
    live.parentElement?.append(probe);
    const colour = getComputedStyle(probe).color;
    probe.remove();
    file.append(
      element('path', {
        d: `M12 ${y - 1}h34`,
        stroke: colour,
        'stroke-width': '2',
        'stroke-dasharray': one.dash || 'none',
        fill: 'none',
      }),
      element('text', { ...text, x: '54', y: String(y + 3), fill: colour }, one.name),
    );
  });
  const body = element('g', { transform: `translate(0 ${head})` });
  body.append(...clone.children);
  file.append(body);
  return `<?xml version="1.0" encoding="UTF-8"?>\n${xmlCharacters(new XMLSerializer().serializeToString(file))}\n`;
}

function commentsIn(root: Node): ChildNode[] {
  const walker = document.createTreeWalker(root, NodeFilter.SHOW_COMMENT);
  const found: ChildNode[] = [];
  while (walker.nextNode()) found.push(walker.currentNode as ChildNode);
  return found;
}

/** An SVG file drawn at `scale` pixels per CSS pixel. */
export async function svgToPng(svg: string, scale = 2): Promise<Blob> {
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image();
    image.src = url;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = Math.round(image.naturalWidth * scale);
    canvas.height = Math.round(image.naturalHeight * scale);
    const context = canvas.getContext('2d');
    if (!context) throw new Error('no canvas');
    context.drawImage(image, 0, 0, canvas.width, canvas.height);
    return await new Promise((done, fail) =>
      canvas.toBlob(blob => (blob ? done(blob) : fail(new Error('no picture'))), 'image/png'),
    );
  } finally {
    URL.revokeObjectURL(url);
  }
}

export interface SavedFile {
  name: string;
  content: Blob | string;
  /** MIME type of a text; a blob knows its own. */
  type?: string;
}

/** Hands a file to the person. Named fields: name and content are both text and must not change places unseen. */
export function saveFile({ name, content, type = 'text/plain' }: SavedFile): void {
  const blob = typeof content === 'string' ? new Blob([content], { type }) : content;
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
