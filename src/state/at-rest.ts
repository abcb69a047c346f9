/** What is worked out when a hand rests, and until then shows what it showed. */
import { store } from './page.ts';

/** `compute`, but its last result again as long as a hand is at work on the sheet. Reads signals. */
export function atRest<T>(compute: () => T): () => T {
  let last: { value: T } | null = null;
  return () => {
    if (!last || !store.working.value) last = { value: compute() };
    return last.value;
  };
}
