/** Own recordings as this browser keeps them: the files themselves and what is known about them, in a store of their own. */
import { createStore, delMany, get, getMany, keys, set, setMany } from 'idb-keyval';
import type { OwnTake } from '../../shared/take/own/own-take.ts';

let opened: ReturnType<typeof createStore> | null = null;
const shelf = () => (opened ??= createStore('comb-and-coil-recordings', 'recordings'));

interface Kept {
  take: OwnTake;
  /** Removed, but not yet for good. */
  removed: boolean;
}

const about = (id: string) => `about/${id}`;
const file = (id: string) => `file/${id}`;

/** Every take kept, oldest first; what had been removed before the page was left goes now. */
export async function readShelf(): Promise<OwnTake[]> {
  const found: OwnTake[] = [];
  const names = (await keys<string>(shelf())).filter(key => key.startsWith('about/'));
  for (const kept of await getMany<Kept | undefined>(names, shelf())) {
    if (!kept) continue;
    if (kept.removed) await forget(kept.take.id);
    else found.push(kept.take);
  }
  return found.sort((a, b) => a.added - b.added);
}

/** Keeps a take with its file, both or neither. */
export const keepTake = (take: OwnTake, blob: Blob): Promise<void> =>
  setMany(
    [
      [about(take.id), { take, removed: false } satisfies Kept],
      [file(take.id), blob],
    ],
    shelf(),
  );
export const keepAbout = (take: OwnTake, removed = false): Promise<void> =>
  set(about(take.id), { take, removed } satisfies Kept, shelf());
export const fileOf = (id: string): Promise<Blob | undefined> => get<Blob>(file(id), shelf());

/** Deletes a take and its file, both or neither. */
export const forget = (id: string): Promise<void> => delMany([about(id), file(id)], shelf());
