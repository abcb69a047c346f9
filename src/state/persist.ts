/**
 * Where the sheet comes from when the page opens, and how it is kept: link first, then this browser, then the demo.
 *
 * Every tab of the page keeps to one place in the browser's storage. What another tab wrote there, and one's own sheet
 * when a link brings another, is never written over without the person's word: until then the tab is *apart* and keeps
 * its sheet in a place of its own, which lasts as long as the tab does. Beside the text that all tabs see at once, every tab
 * writes a journal with its way back, which survives a browser that is killed; the later of the two is opened.
 */
import { effect, signal } from '@preact/signals-core';
import { type ParsedSheet, parseSheet } from '../../shared/document/reading/parse-sheet.ts';
import type { Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { words } from '../words/keep-words.ts';
import { lasting, ofTab } from './browser-text.ts';
import { type Entry, forgetJournal, SHARED, writeJournal } from './journal.ts';
import type { Step, Store } from './store.ts';
import { workOf } from './work.ts';

const KEY = 'comb-and-coil/sheet';
/** What could not be read when the page was opened. */
const REFUSED = `${KEY}/refused`;
/** In the tab's own storage: its sheet while it is apart, and why it is. */
const APART = `${KEY}/apart`;
/** Work that a tab had apart and edited when it was left. */
const LEFT = `${KEY}/left`;
/** This tab's own place in the journal. */
const TAB = `${KEY}/tab`;
/** Pause after the last edit before it is written, ms: a hand at rest is safe within a tenth of a second. */
const SAVE_AFTER = 50;
/** A hand that never rests is written this often, ms. */
const SAVE_AT_LEAST = 500;

/** Why this tab does not write where all tabs keep their sheet. */
export type Apart = 'link' | 'other-tab';

export interface Opened {
  sheet: Sheet;
  from: 'link' | 'kept' | 'demo';
  /** The tab is apart from the start; null: it is not. */
  apart: Apart | null;
  /** What could not be opened, in a sentence; null: nothing went wrong. */
  notice: string | null;
  /** The way back from before the page was left. */
  past: readonly Step[];
}

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
  const text = lasting.get(KEY);
  if (text === null) return null;
  const aside = (why: { setAside: string; notKept: string }) =>
    lasting.set(REFUSED, text) ? why.setAside : why.notKept;
  try {
    const parsed = parseSheet(JSON.parse(text));
    return parsed.ok ? parsed.sheet : aside(words.refusedKept(parsed.message));
  } catch {
    return aside(words.damaged);
  }
}

/** When the kept text was written, ms since 1970; 0: it does not say. */
function keptAt(): number {
  try {
    const { keptAt } = JSON.parse(lasting.get(KEY) ?? '{}') as { keptAt?: unknown };
    return typeof keptAt === 'number' ? keptAt : 0;
  } catch {
    return 0;
  }
}

/** What this tab had apart when it was last open (a reload); null: nothing. */
function apartSheet(): { sheet: Sheet; why: Apart } | null {
  const text = ofTab.get(APART);
  const why = text?.startsWith('link ') ? 'link' : 'other-tab';
  const sheet = sheetIn(text?.slice(text.indexOf(' ') + 1) ?? null);
  return sheet && { sheet, why };
}

/**
 * Opens the sheet of the address's link (`linked`; null where it has none), else the tab's or the browser's own, else the
 * demo. A broken link falls back with a notice.
 */
export function restoreSheet(journal: ReadonlyMap<string, Entry>, linked: ParsedSheet | null): Opened {
  const text = keptSheet();
  const entry = journal.get(SHARED);
  const later = entry && entry.at > keptAt() ? entry : null;
  // a killed browser may not have written the text out
  if (later) lasting.set(KEY, JSON.stringify({ ...later.sheet, keptAt: later.at }));
  const kept = later?.sheet ?? text;
  const own = typeof kept === 'string' ? null : kept;
  /** The way back from `sheet`, where the journal knows it. */
  const pastOf = (sheet: Sheet): readonly Step[] => {
    const work = workOf(sheet);
    return [journal.get(tabPlace()), entry].find(one => one && workOf(one.sheet) === work)?.past ?? [];
  };
  const fallback = (): Opened => {
    const aside = apartSheet();
    if (aside) lasting.remove(LEFT);
    if (aside && own && workOf(aside.sheet) !== workOf(own))
      return {
        sheet: aside.sheet,
        from: aside.why === 'link' ? 'link' : 'kept',
        apart: aside.why,
        notice: null,
        past: pastOf(aside.sheet),
      };
    if (own) return { sheet: own, from: 'kept', apart: null, notice: null, past: pastOf(own) };
    const notice = typeof kept === 'string' ? kept : null;
    return { sheet: demoSheet(), from: 'demo', apart: null, notice, past: [] };
  };
  if (linked === null) return fallback();
  if (linked.ok) {
    const apart = own !== null && workOf(own) !== workOf(linked.sheet) ? 'link' : null;
    // undo goes back to what the link took the place of
    const past = own && apart ? [...pastOf(own), { name: words.openLinkStep, before: own }] : [];
    return { sheet: linked.sheet, from: 'link', apart, notice: null, past };
  }
  const back = fallback();
  return { ...back, notice: words.brokenLink(linked.message, back.from === 'kept') };
}

/** The text that could not be read and was set aside, the newest; null: none. */
export const refusedText = (): string | null => lasting.get(REFUSED);

/** This tab's place in the journal; a tab that cannot remember its own has a new one each time. */
function tabPlace(): string {
  const known = ofTab.get(TAB);
  if (known) return `tab/${known}`;
  const made = crypto.randomUUID?.() ?? String(Math.random()).slice(2);
  ofTab.set(TAB, made);
  return `tab/${made}`;
}

/** The sheet that all tabs keep, as it now stands; null: none. */
export const sheetInStorage = (): Sheet | null => sheetIn(lasting.get(KEY));

/** Work that another tab had apart when it was closed; it is taken out of the storage. Null: none. */
export function takeLeftSheet(): Sheet | null {
  const left = sheetIn(lasting.get(LEFT));
  lasting.remove(LEFT);
  return left;
}

/**
 * Work of tabs that were apart and are gone without having been left (a killed browser), the newest; null: none. A tab that
 * is there holds a lock of its place's name.
 */
export async function takeLostSheet(journal: ReadonlyMap<string, Entry>): Promise<Sheet | null> {
  if (!navigator.locks) return null;
  const own = tabPlace();
  void navigator.locks.request(own, () => new Promise(() => undefined));
  const { held = [] } = await navigator.locks.query();
  const there = new Set(held.map(lock => lock.name));
  const lost = [...journal].filter(([place]) => place.startsWith('tab/') && place !== own && !there.has(place));
  await forgetJournal(lost.map(([place]) => place));
  const [newest] = lost.map(([, entry]) => entry).sort((a, b) => b.at - a.at);
  return newest?.sheet ?? null;
}

export interface Keeper {
  /** Whether the tab is apart, and why; null: it writes where all tabs do. */
  readonly apart: { readonly value: Apart | null; peek(): Apart | null };
  /** From now on this tab's sheet is the kept one. */
  keepMine(): void;
  /** Back among the others, with what they have: `replace` is given it. */
  takeTheirs(replace: (theirs: Sheet) => void): void;
  stop(): void;
}

/**
 * Writes the sheet a moment after each change, and at once when the page is left. `failed` gets one sentence when the
 * browser does not let it. Longer than other functions: timer, tab and store are one state that only these steps touch.
 */
export function keep(store: Store, from: Apart | null, failed: (message: string) => void): Keeper {
  const apart = signal<Apart | null>(from);
  const place = tabPlace();
  const untouched = store.past.peek();
  let timer = 0;
  /** When the first edit that is not yet written was made; 0: all are. */
  let waitingSince = 0;
  let written: Sheet | null = null;
  let refused = false;
  /** Said once: it does not become truer with every edit. */
  const said = () => {
    if (!refused) failed(words.noStorage);
    refused = true;
  };
  /** The text that this tab last wrote or found where all tabs write, and the work in it. */
  let seen = lasting.get(KEY);
  let seenWork = workIn(seen);
  /** Whether others wrote other work since. */
  const overtaken = (): boolean => {
    const now = lasting.get(KEY);
    if (now === seen) return false;
    const theirs = workIn(now);
    if (theirs !== null && theirs !== seenWork && theirs !== workOf(store.sheet.peek())) return true;
    seen = now;
    seenWork = theirs;
    return false;
  };
  const write = () => {
    clearTimeout(timer);
    waitingSince = 0;
    const sheet = store.sheet.peek();
    if (sheet === written) return;
    if (apart.peek() === null && overtaken()) apart.value = 'other-tab';
    // taken back to what all tabs keep, it is one of them again
    else if (apart.peek() === 'link' && seenWork !== null && seenWork === workOf(sheet)) {
      apart.value = null;
      ofTab.remove(APART);
    }
    const why = apart.peek();
    const at = Date.now();
    written = sheet;
    let kept: boolean;
    if (why === null) {
      const text = JSON.stringify({ ...sheet, keptAt: at });
      kept = lasting.set(KEY, text);
      if (kept) {
        seen = text;
        seenWork = workOf(sheet);
      }
    } else kept = ofTab.set(APART, `${why} ${JSON.stringify(sheet)}`);
    // what was only looked at while apart is no work that could be lost
    if (why !== null && store.past.peek() === untouched) return;
    void writeJournal(why === null ? SHARED : place, { at, sheet, past: store.past.peek() }).then(
      journalled => kept || journalled || said(),
    );
  };
  const join = () => {
    const before = lasting.get(KEY);
    apart.value = null;
    seen = before;
    seenWork = workIn(before);
    ofTab.remove(APART);
    written = null;
    write();
  };
  const leave = () => {
    write();
    if (apart.peek() !== null && store.past.peek() !== untouched) lasting.set(LEFT, JSON.stringify(store.sheet.peek()));
  };
  const stop = effect(() => {
    void store.sheet.value;
    clearTimeout(timer);
    waitingSince ||= Date.now();
    timer = window.setTimeout(write, Math.max(0, Math.min(SAVE_AFTER, waitingSince + SAVE_AT_LEAST - Date.now())));
  });
  /** Storage events come from other tabs only. */
  const changed = (event: StorageEvent) => {
    if (event.key !== KEY || apart.peek() !== null) return;
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
