/** Keeping the sheet in this browser, and what is said when another sheet stands in the way. */
import { effect } from '@preact/signals-core';
import type { EditedSheet } from '../../shared/document/edits/builds.ts';
import { repairSheet } from '../../shared/document/edits/repair.ts';
import type { Sheet } from '../../shared/document/sheet.ts';
import { saveFile } from '../parts/plot-export.ts';
import { setAside, showEarlier } from '../state/earlier.ts';
import { type Action, dismiss, notices, notify } from '../state/notices.ts';
import { editSheet, journal, opened, store } from '../state/page.ts';
import { keep, refusedText, sheetInStorage, takeLeftSheet, takeLostSheet } from '../state/persist.ts';
import { words } from '../words/keep-words.ts';
import { replaceSheet } from './replacing.ts';

const open = (step: string) => (sheet: Sheet) => replaceSheet(step, sheet);

/** Keeps the page's sheet from now on. */
export function keepSheet(): void {
  showEarlier(journal);
  const keeper = keep(store, opened.apart, message => notify(message, 'warning'));
  if (opened.notice) notify(opened.notice, 'warning', ...waysToRefused());
  if (opened.apart === null) void offerLeft();
  let said: string | null = null;
  effect(() => {
    const why = keeper.apart.value;
    // a choice made elsewhere takes its question along
    for (const notice of notices.peek()) if (notice.text === said) dismiss(notice.id);
    said = null;
    if (why === 'link') {
      said = words.fromLink;
      notify(
        said,
        'note',
        { label: words.backToOwn, run: () => keeper.takeTheirs(open(words.openOwn)) },
        {
          label: words.keepLinked,
          run: () => {
            const own = sheetInStorage();
            keeper.keepMine();
            if (own) void setAside(own);
            notify(
              words.linkedKept,
              'note',
              own ? { label: words.backToOwn, run: () => open(words.openOwn)(own) } : undefined,
            );
          },
        },
      );
    } else if (why === 'other-tab') {
      said = words.otherTab;
      notify(
        said,
        'warning',
        { label: words.takeTheirs, run: () => keeper.takeTheirs(open(words.takeTheirsStep)) },
        {
          label: words.keepMine,
          run: () => {
            const theirs = sheetInStorage();
            keeper.keepMine();
            if (theirs) void setAside(theirs);
          },
        },
      );
    }
  });
  // the address has said its part; what follows goes on from the sheet
  if (opened.from === 'link' && location.hash) history.replaceState(null, '', location.pathname + location.search);
}

/** What can be done with what was set aside because it could not be read: open what is whole in it, save it as a file. */
function waysToRefused(): [Action?, Action?] {
  const text = opened.from === 'demo' ? refusedText() : null;
  if (text === null) return [];
  const save: Action = {
    label: words.saveRefused,
    run: () => saveFile({ name: words.refusedFile, content: text, type: 'application/json' }),
  };
  let repaired: EditedSheet | null = null;
  try {
    repaired = repairSheet(JSON.parse(text));
  } catch {
    // no JSON: only the file is left
  }
  if (!repaired) return [save];
  const found = repaired;
  return [{ label: words.openRefused, run: () => editSheet(words.openRefusedStep, () => found) }, save];
}

/** Work of a tab that was closed or killed while it was apart is offered, once. */
async function offerLeft(): Promise<void> {
  const left = takeLeftSheet();
  const lost = await takeLostSheet(journal);
  const found = left ?? lost;
  if (found)
    notify(words.left, 'note', {
      label: words.openLeft,
      run: () => replaceSheet(words.openLeftStep, found),
    });
}
