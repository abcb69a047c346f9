/** Keys of a trial: what is heard, what is answered. */
import type { Heard } from './blind-trial.ts';

interface TrialActions {
  hear: (what: Heard) => void;
  choose: (answer: 0 | 1) => void;
  answer: () => void;
  playOrStop: () => void;
}

export function trialKey(event: KeyboardEvent, does: TrialActions): void {
  const target = event.composedPath()[0];
  if (target instanceof HTMLInputElement) return;
  const actions: Record<string, () => void> = {
    '1': () => does.hear(0),
    '2': () => does.hear(1),
    x: () => does.hear('x'),
    arrowleft: () => does.choose(0),
    arrowright: () => does.choose(1),
    // a focused button has these two for itself
    ...(!(target instanceof HTMLButtonElement) && { enter: does.answer, ' ': does.playOrStop }),
  };
  const action = actions[event.key.toLowerCase()];
  if (!action || (event.repeat && event.key === 'Enter')) return;
  event.preventDefault();
  action();
}
