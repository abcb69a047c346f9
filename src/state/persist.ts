/** Where the sheet comes from when the page opens, and how it is kept: link first, then this browser, then the demo. */
import { effect } from '@preact/signals-core';
import { parseSheet } from '../../shared/build/parse-sheet.ts';
import type { Sheet } from '../../shared/build/sheet.ts';
import { demoSheet } from './demo.ts';
import { LINK_PREFIX, readLink } from './link.ts';
import type { Store } from './store.ts';

const KEY = 'comb-and-coil/sheet';
/** Pause after the last edit before it is written, ms. */
const SAVE_AFTER = 300;

export interface Opened {
  sheet: Sheet;
  from: 'link' | 'kept' | 'demo';
  /** What could not be opened, in a sentence; null: nothing went wrong. */
  notice: string | null;
}

/** The sheet kept in this browser, or a sentence on why there is none. */
function keptSheet(): Sheet | string | null {
  const text = localStorage.getItem(KEY);
  if (text === null) return null;
  try {
    const parsed = parseSheet(JSON.parse(text));
    if (parsed.ok) return parsed.sheet;
    localStorage.setItem(`${KEY}/refused`, text);
    return `What was kept in this browser could not be read (${parsed.message}). It was set aside, not deleted.`;
  } catch {
    localStorage.setItem(`${KEY}/refused`, text);
    return 'What was kept in this browser is damaged. It was set aside, not deleted.';
  }
}

/** Opens the link's sheet, else the kept one, else the demo. A broken link falls back with a notice. */
export function restoreSheet(): Opened {
  const kept = keptSheet();
  const fallback = (): Opened =>
    kept !== null && typeof kept !== 'string'
      ? { sheet: kept, from: 'kept', notice: null }
      : { sheet: demoSheet(), from: 'demo', notice: kept };
  if (!location.hash.startsWith(LINK_PREFIX)) return fallback();
  const linked = readLink(location.hash);
  if (linked.ok) {
    if (kept !== null && typeof kept !== 'string') localStorage.setItem(`${KEY}/before-link`, JSON.stringify(kept));
    return { sheet: linked.sheet, from: 'link', notice: null };
  }
  const back = fallback();
  return {
    ...back,
    notice: `The link could not be opened: ${linked.message} ${back.from === 'kept' ? 'Your own sheet is shown.' : 'The demo is shown.'}`,
  };
}

/** What this browser kept before a link replaced it; null: nothing. */
export function sheetBeforeLink(): Sheet | null {
  const text = localStorage.getItem(`${KEY}/before-link`);
  if (text === null) return null;
  try {
    const parsed = parseSheet(JSON.parse(text));
    return parsed.ok ? parsed.sheet : null;
  } catch {
    return null;
  }
}

/** Writes the sheet a moment after each change, and at once when the page is left. `failed` gets one sentence. */
export function keep(store: Store, failed: (message: string) => void): () => void {
  let timer = 0;
  let written: Sheet | null = null;
  const write = () => {
    clearTimeout(timer);
    const sheet = store.sheet.peek();
    if (sheet === written) return;
    try {
      localStorage.setItem(KEY, JSON.stringify(sheet));
      written = sheet;
    } catch {
      failed(
        'This browser refuses to keep the sheet (its storage is full or switched off). Save it as a file instead.',
      );
    }
  };
  const stop = effect(() => {
    void store.sheet.value;
    clearTimeout(timer);
    timer = window.setTimeout(write, SAVE_AFTER);
  });
  addEventListener('pagehide', write);
  return () => {
    stop();
    write();
    removeEventListener('pagehide', write);
  };
}
