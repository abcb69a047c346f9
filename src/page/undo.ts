/**
 * Undo and redo as the page offers them: the build that changes is brought to where it is seen and heard, and what was
 * done is said in one line, which takes the place of the one before it.
 */
import type { Letter, Sheet } from '../../shared/document/sheet.ts';
import { notifyOf } from '../state/notices.ts';
import { store } from '../state/page.ts';
import { words } from '../words/page-words.ts';

/** Letters of the builds that are otherwise in `after`, those that came or went included. */
export function changedBuilds(before: Sheet, after: Sheet): Letter[] {
  const was = new Map(before.builds.map(slot => [slot.letter, slot.build]));
  const is = new Map(after.builds.map(slot => [slot.letter, slot.build]));
  return [...new Set([...was.keys(), ...is.keys()])].filter(letter => was.get(letter) !== is.get(letter)).sort();
}

/** The one pickup of a build that is otherwise; null: none, or more than one. */
function changedPickup(before: Sheet, after: Sheet, letter: Letter): string | null {
  const of = ({ builds }: Sheet) => builds.find(slot => slot.letter === letter)?.build.pickups ?? [];
  const changed = of(after).filter(pickup => !of(before).includes(pickup));
  return changed.length === 1 ? changed[0].id : null;
}

function go(name: string | null, step: () => void, say: (name: string, letter: Letter | null) => string): void {
  if (!name) return;
  const before = store.sheet.peek();
  step();
  const after = store.sheet.peek();
  const changed = changedBuilds(before, after);
  const there = changed.filter(letter => after.builds.some(slot => slot.letter === letter));
  const seen = there.includes(after.view.heard) || there.length === 0 ? after.view.heard : there[0];
  const pickup = changedPickup(before, after, seen);
  store.look({ heard: seen, ...(pickup !== null && { pickup }) });
  const many = Math.max(before.builds.length, after.builds.length) > 1;
  notifyOf('steps', say(name, many && changed.length === 1 ? changed[0] : null));
}

export const undo = (): void => go(store.undoName.peek(), () => store.undo(), words.undone);
export const redo = (): void => go(store.redoName.peek(), () => store.redo(), words.redone);
