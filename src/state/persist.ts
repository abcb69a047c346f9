/**
 * Where the sheet comes from when the page opens, and how it is kept: link first, then this browser, then the demo.
 *
 * Every tab of the page keeps to one place in the browser's storage. What another tab wrote there, and one's own sheet
 * when a link brings another, is never written over without the person's word: until then the tab is *apart* and keeps
 * its sheet in a place of its own, which lasts as long as the tab does.
 */
import { effect, signal } from '@preact/signals-core';
import { parseSheet } from '../../shared/document/reading/parse-sheet.ts';
import type { Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { LINK_PREFIXES, readLink } from '../files/link.ts';
import { words } from '../words/keep-words.ts';
import type { Store } from './store.ts';

const KEY = 'comb-and-coil/sheet';
const BEFORE_LINK = `${KEY}/before-link`;
/** What could not be read when the page was opened. */
const REFUSED = `${KEY}/refused`;
/** In the tab's own storage: its sheet while it is apart, and why it is. */
const APART = `${KEY}/apart`;
/** Work that a tab had apart and edited when it was left. */
const LEFT = `${KEY}/left`;
/** Pause after the last edit before it is written, ms. */
const SAVE_AFTER = 300;

/** Why this tab does not write where all tabs keep their sheet. */
export type Apart = 'link' | 'other-tab';

export interface Opened {
  sheet: Sheet;
  from: 'link' | 'kept' | 'demo';
  /** The tab is apart from the start; null: it is not. */
  apart: Apart | null;
  /** What could not be opened, in a sentence; null: nothing went wrong. */
  notice: string | null;
}

/** What is work in a sheet, as text; how the page stands is not, nor in what order it was written down. */
const workOf = (sheet: Sheet): string =>
  JSON.stringify({ ...sheet, view: null }, (_, value: unknown) =>
    typeof value === 'object' && value !== null && !Array.isArray(value)
      ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
      : value,
  );

/** A sheet from stored text; null: there is none that can be read. */
function sheetIn(text: string | null): Sheet | null {
  if (text === null) return null;
  try {
    const parsed = parseSheet(JSON.parse(text));
    return parsed.ok ? parsed.sheet : null;
  } catch {
    return null;
  }
}

const workIn = (text: string | null): string | null => {
  const sheet = sheetIn(text);
  return sheet && workOf(sheet);
};

/** The sheet kept in this browser, or a sentence on why there is none. */
function keptSheet(): Sheet | string | null {
  const text = localStorage.getItem(KEY);
  if (text === null) return null;
  try {
    const parsed = parseSheet(JSON.parse(text));
    if (parsed.ok) return parsed.sheet;
    localStorage.setItem(REFUSED, text);
    return words.refusedKept(parsed.message);
  } catch {
    localStorage.setItem(REFUSED, text);
    return words.damaged;
  }
}

/** What this tab had apart when it was last open (a reload); null: nothing. */
function apartSheet(): { sheet: Sheet; why: Apart } | null {
  const text = sessionStorage.getItem(APART);
  const why = text?.startsWith('link ') ? 'link' : 'other-tab';
  const sheet = sheetIn(text?.slice(text.indexOf(' ') + 1) ?? null);
  return sheet && { sheet, why };
}

/** Opens the link's sheet, else the tab's or the browser's own, else the demo. A broken link falls back with a notice. */
export function restoreSheet(): Opened {
  const kept = keptSheet();
  const own = typeof kept === 'string' ? null : kept;
  const fallback = (): Opened => {
    const aside = apartSheet();
    if (aside) localStorage.removeItem(LEFT);
    if (aside && own && workOf(aside.sheet) !== workOf(own))
      return { sheet: aside.sheet, from: aside.why === 'link' ? 'link' : 'kept', apart: aside.why, notice: null };
    if (own) return { sheet: own, from: 'kept', apart: null, notice: null };
    return { sheet: demoSheet(), from: 'demo', apart: null, notice: typeof kept === 'string' ? kept : null };
  };
  if (!LINK_PREFIXES.some(prefix => location.hash.startsWith(prefix))) return fallback();
  const linked = readLink(location.hash);
  if (linked.ok) {
    const apart = own !== null && workOf(own) !== workOf(linked.sheet) ? 'link' : null;
    return { sheet: linked.sheet, from: 'link', apart, notice: null };
  }
  const back = fallback();
  return { ...back, notice: words.brokenLink(linked.message, back.from === 'kept') };
}

/** The text that could not be read and was set aside, the newest; null: none. */
export const refusedText = (): string | null => localStorage.getItem(REFUSED);

/** The sheet that all tabs keep, as it now stands; null: none. */
export const sheetInStorage = (): Sheet | null => sheetIn(localStorage.getItem(KEY));

/** What a linked sheet took the place of, the newest; null: nothing. */
export const sheetBeforeLink = (): Sheet | null => sheetIn(localStorage.getItem(BEFORE_LINK));

/** Work that another tab had apart when it was closed; it is taken out of the storage. Null: none. */
export function takeLeftSheet(): Sheet | null {
  const left = sheetIn(localStorage.getItem(LEFT));
  localStorage.removeItem(LEFT);
  return left;
}

export interface Keeper {
  /** Whether the tab is apart, and why; null: it writes where all tabs do. */
  readonly apart: { readonly value: Apart | null; peek(): Apart | null };
  /** From now on this tab's sheet is the kept one; what stood there before a linked sheet is set aside. */
  keepMine(): void;
  /** Back among the others, with what they have: `replace` is given it. */
  takeTheirs(replace: (theirs: Sheet) => void): void;
  stop(): void;
}

/**
 * Writes the sheet a moment after each change, and at once when the page is left. `failed` gets one sentence when the
 * browser does not let it.
 */
export function keep(store: Store, from: Apart | null, failed: (message: string) => void): Keeper {
  const apart = signal<Apart | null>(from);
  let timer = 0;
  let written: Sheet | null = null;
  /** The text that this tab last wrote or found where all tabs write, and the work in it. */
  let seen = localStorage.getItem(KEY);
  let seenWork = workIn(seen);
  /** Whether others wrote other work since. */
  const overtaken = (): boolean => {
    const now = localStorage.getItem(KEY);
    if (now === seen) return false;
    const theirs = workIn(now);
    if (theirs !== null && theirs !== seenWork && theirs !== workOf(store.sheet.peek())) return true;
    seen = now;
    seenWork = theirs;
    return false;
  };
  const write = () => {
    clearTimeout(timer);
    const sheet = store.sheet.peek();
    if (sheet === written) return;
    try {
      if (apart.peek() === null && overtaken()) apart.value = 'other-tab';
      const why = apart.peek();
      if (why === null) {
        const text = JSON.stringify(sheet);
        localStorage.setItem(KEY, text);
        seen = text;
        seenWork = workOf(sheet);
      } else sessionStorage.setItem(APART, `${why} ${JSON.stringify(sheet)}`);
      written = sheet;
    } catch {
      failed(words.noStorage);
    }
  };
  const join = () => {
    const before = localStorage.getItem(KEY);
    if (apart.peek() === 'link' && before !== null) localStorage.setItem(BEFORE_LINK, before);
    apart.value = null;
    seen = before;
    seenWork = workIn(before);
    sessionStorage.removeItem(APART);
    written = null;
    write();
  };
  const leave = () => {
    write();
    if (apart.peek() !== null && store.past.peek().length > 0)
      localStorage.setItem(LEFT, JSON.stringify(store.sheet.peek()));
  };
  const stop = effect(() => {
    void store.sheet.value;
    clearTimeout(timer);
    timer = window.setTimeout(write, SAVE_AFTER);
  });
  /** Storage events come from other tabs only. */
  const changed = (event: StorageEvent) => {
    if (event.storageArea !== localStorage || event.key !== KEY || apart.peek() !== null) return;
    if (!overtaken()) return;
    apart.value = 'other-tab';
    written = null;
    write();
  };
  addEventListener('storage', changed);
  addEventListener('pagehide', leave);
  return {
    apart,
    keepMine: join,
    takeTheirs(replace) {
      const theirs = sheetInStorage();
      if (theirs) replace(theirs);
      join();
    },
    stop() {
      stop();
      write();
      removeEventListener('storage', changed);
      removeEventListener('pagehide', leave);
    },
  };
}
