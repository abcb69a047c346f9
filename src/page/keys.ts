/**
 * The page's keys: Ctrl+Z and its like undo and redo, a digit chooses a selector position, a build's letter switches to it,
 * space plays and stops. They work everywhere but where a text is being typed, in dialogs and during a listening test.
 * Enter ends typing.
 */
import type { Letter } from '../../shared/document/sheet.ts';
import { inDialog, isTyping, leaveOnEnter, takesSpace } from '../parts/typing.ts';
import { selectPosition } from '../sound/path/edits.ts';
import { slots, store } from '../state/page.ts';
import { blindOverride, toggle } from '../state/sound.ts';
import { redo, undo } from './undo.ts';

/** A text field with something typed in it keeps its own undo. */
const hasOwnUndo = (event: KeyboardEvent): boolean => {
  const target = event.composedPath()[0];
  return target instanceof HTMLInputElement && target.type === 'text' && target.value !== target.defaultValue;
};

function withControl(event: KeyboardEvent): void {
  const key = event.key.toLowerCase();
  if ((key !== 'z' && key !== 'y') || hasOwnUndo(event)) return;
  event.preventDefault();
  if (key === 'y' || event.shiftKey) redo();
  else undo();
}

/** What a key does by itself; null: nothing. */
function meaning(event: KeyboardEvent): (() => void) | null {
  if (event.key === ' ') return takesSpace(event) ? null : () => void toggle();
  if (isTyping(event)) return null;
  if (/^[1-9]$/.test(event.key)) return event.repeat ? null : () => selectPosition(Number(event.key) - 1);
  const letter = event.key.toUpperCase() as Letter;
  return slots.peek().some(slot => slot.letter === letter) ? () => store.look({ heard: letter }) : null;
}

export function pageKeys(event: KeyboardEvent): void {
  if (event.altKey) return;
  leaveOnEnter(event);
  if (event.ctrlKey || event.metaKey) {
    withControl(event);
    return;
  }
  if (event.defaultPrevented || blindOverride.peek() || inDialog(event)) return;
  const act = meaning(event);
  if (!act) return;
  // a list would jump to the entry that begins with this letter
  event.preventDefault();
  act();
}
