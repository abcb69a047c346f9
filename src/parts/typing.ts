/** Whether a key belongs to what has the focus or to the whole page. Pure. */

/** Inputs that letters and digits do nothing in. */
const SILENT = ['checkbox', 'radio', 'range', 'button', 'submit', 'file', 'color'];

const targetOf = (event: Event): EventTarget | undefined => event.composedPath()[0];

/** A text is being written: every key is the field's. */
export function isTyping(event: Event): boolean {
  const target = targetOf(event);
  if (target instanceof HTMLInputElement) return !SILENT.includes(target.type);
  return target instanceof HTMLTextAreaElement;
}

/** The space bar means something to what has the focus: it can be pressed, ticked or opened. */
export function takesSpace(event: Event): boolean {
  const target = targetOf(event);
  if (isTyping(event)) return true;
  return target instanceof HTMLElement && target.closest('button, summary, input, select, a, [role=tab]') !== null;
}

/** It happens in a dialog, which keeps its keys. */
export const inDialog = (event: Event): boolean => event.composedPath().some(node => node instanceof HTMLDialogElement);

/** A text field of the page is left when Enter has put its text in: the keys go back to the page. A refused text keeps it. */
export function leaveOnEnter(event: KeyboardEvent): void {
  const target = targetOf(event);
  if (event.key !== 'Enter' || !(target instanceof HTMLInputElement) || !isTyping(event) || inDialog(event)) return;
  // whether it is refused stands after its change
  setTimeout(() => {
    if (target.getAttribute('aria-invalid') !== 'true') target.blur();
  });
}
