/** Undo and redo as the page offers them: said in words when they are done. */
import { notify } from '../state/notices.ts';
import { store } from '../state/page.ts';
import { words } from '../words/page-words.ts';

export function undo(): void {
  const name = store.undoName.peek();
  store.undo();
  if (name) notify(words.undone(name));
}

export function redo(): void {
  const name = store.redoName.peek();
  store.redo();
  if (name) notify(words.redone(name));
}
