/** What is worked out when a hand rests, and until then shows what it showed. */
import { store as ofPage } from './page.ts';
import type { Store } from './store.ts';

/** `compute`, but its last result again as long as a hand is at work on the sheet. Reads signals. */
export function atRest<T>(compute: () => T, store?: Store): () => T {
  let last: { value: T } | null = null;
  return () => {
    if (!last || !(store ?? ofPage).working.value) last = { value: compute() };
    return last.value;
  };
}
