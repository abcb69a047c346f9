/** One sheet in place of another, as a step that undo takes back; what was there is kept among the earlier ones besides. */
import { openSheet } from '../../shared/document/edits/sheet.ts';
import type { Sheet } from '../../shared/document/sheet.ts';
import { setAside } from '../state/earlier.ts';
import { editSheet, store } from '../state/page.ts';

/** Paper, size and loudness stay the reader's own. */
export function replaceSheet(step: string, sheet: Sheet): void {
  const before = store.sheet.peek();
  const { sheet: paper, size, volume } = before.view;
  editSheet(step, () => openSheet({ ...sheet, view: { ...sheet.view, sheet: paper, size, volume } }));
  if (store.sheet.peek() !== before) void setAside(before);
}
