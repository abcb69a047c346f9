/** What the person writes into title blocks: kept in this browser, and in nothing that is handed on. */
import { signal } from '@preact/signals-core';
import { lasting } from '../state/browser-text.ts';
import { words } from '../words/paper-words.ts';
import type { Paper } from './sheet-svg.ts';
import type { TitleField, TitleFields } from './sheet-title.ts';

const KEY = 'comb-and-coil/title-block';
export const TITLE_FIELDS = Object.keys(words.fields) as TitleField[];
/** Longest entry, characters. */
export const LONGEST = 60;

interface Kept {
  paper: Paper;
  fields: Partial<TitleFields>;
}

function read(): Kept {
  const empty: Kept = { paper: 'a4', fields: {} };
  try {
    const data: unknown = JSON.parse(lasting.get(KEY) ?? '{}');
    if (typeof data !== 'object' || data === null) return empty;
    const { paper, fields } = data as { paper?: unknown; fields?: unknown };
    const known = typeof fields === 'object' && fields !== null ? (fields as Record<string, unknown>) : {};
    return {
      paper: paper === 'letter' ? 'letter' : 'a4',
      fields: Object.fromEntries(
        TITLE_FIELDS.flatMap(name => {
          const value = known[name];
          return typeof value === 'string' ? [[name, value.slice(0, LONGEST)]] : [];
        }),
      ),
    };
  } catch {
    return empty;
  }
}

export const titleBlock = signal<Kept>(read());

export function writeTitleBlock(change: Partial<Kept>): void {
  titleBlock.value = { ...titleBlock.peek(), ...change };
  // the title and the date belong to one sheet, the rest to the person
  const { title, supplement, date, ...ofPerson } = titleBlock.peek().fields;
  // where the browser refuses, it holds for as long as the page is open
  lasting.set(KEY, JSON.stringify({ ...titleBlock.peek(), fields: ofPerson }));
}
