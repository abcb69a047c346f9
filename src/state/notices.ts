/** Short messages to the person: shown at the top of the page and spoken. */
import { signal } from '@preact/signals-core';

export interface Notice {
  id: number;
  tone: 'note' | 'warning';
  text: string;
  action?: Action;
  /** The other way. */
  also?: Action;
}

export interface Action {
  label: string;
  run: () => void;
}

export const notices = signal<readonly Notice[]>([]);
let last = 0;

/** Shows a notice; a plain note leaves by itself after a while, a warning or one with an action stays. */
export function notify(text: string, tone: Notice['tone'] = 'note', action?: Action, also?: Action): void {
  const id = ++last;
  const others = notices.peek().filter(notice => notice.text !== text);
  notices.value = [...others.slice(-2), { id, tone, text, ...(action && { action }), ...(also && { also }) }];
  if (tone === 'note' && !action) setTimeout(() => dismiss(id), 8000);
}

export function dismiss(id: number): void {
  notices.value = notices.peek().filter(notice => notice.id !== id);
}
