/** Short messages to the person: shown at the top of the page and spoken. */
import { signal } from '@preact/signals-core';

export interface Notice {
  id: number;
  tone: 'note' | 'warning';
  text: string;
  action?: Action;
  /** The other way. */
  also?: Action;
  /** Of several about one thing the newest stands alone. */
  topic?: string;
}

export interface Action {
  label: string;
  run: () => void;
}

export const notices = signal<readonly Notice[]>([]);
let last = 0;

function show(notice: Omit<Notice, 'id'>): void {
  const id = ++last;
  const others = notices
    .peek()
    .filter(({ text, topic }) => text !== notice.text && (topic === undefined || topic !== notice.topic));
  notices.value = [...others.slice(-2), { id, ...notice }];
  if (notice.tone === 'note' && !notice.action) setTimeout(() => dismiss(id), 8000);
}

/** Shows a notice; a plain note leaves by itself after a while, a warning or one with an action stays. */
export const notify = (text: string, tone: Notice['tone'] = 'note', action?: Action, also?: Action): void =>
  show({ tone, text, ...(action && { action }), ...(also && { also }) });

/** Shows a plain note in the place of the one before it about the same thing. */
export const notifyOf = (topic: string, text: string): void => show({ tone: 'note', text, topic });

export function dismiss(id: number): void {
  notices.value = notices.peek().filter(notice => notice.id !== id);
}
