/** Own recordings as this browser keeps them: the files themselves and what is known about them, in a store of their own. */
import { createStore, del, delMany, get, keys, set, setMany } from 'idb-keyval';
import { isOwnTake, type OwnTake } from '../../shared/take/own/own-take.ts';
import { words } from '../words/recordings-words.ts';

/** Longest waits, ms: for the store to open, again once it has kept silent, and for what is asked of an open one. */
const PATIENCE = { open: 8000, again: 500, work: 120_000 };
let silent = false;
let opened: ReturnType<typeof createStore> | null = null;

async function within<T>(patience: number, asked: Promise<T>): Promise<T> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const giveUp = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(words.shelfSilent)), patience);
  });
  return Promise.race([asked, giveUp]).finally(() => clearTimeout(timer));
}

/** What `ask` gives of the store; rejects with a sentence where there is none, or none that answers. */
async function shelf<T>(ask: (store: ReturnType<typeof createStore>) => Promise<T>): Promise<T> {
  try {
    opened ??= createStore('comb-and-coil-recordings', 'recordings');
    await within(
      silent ? PATIENCE.again : PATIENCE.open,
      opened('readonly', () => Promise.resolve()),
    ).catch(error => {
      silent = true;
      throw error;
    });
    silent = false;
    return await within(PATIENCE.work, ask(opened));
  } catch (error) {
    // what failed to open is opened anew next time
    opened = null;
    throw error;
  }
}

interface Kept {
  take: OwnTake;
  /** Removed, but not yet for good. */
  removed: boolean;
}

const about = (id: string) => `about/${id}`;
const file = (id: string) => `file/${id}`;

/**
 * Every take kept, oldest first, and how many records could not be read; what had been removed before the page was left
 * goes now.
 */
export async function readShelf(): Promise<{ takes: OwnTake[]; damaged: number }> {
  const takes: OwnTake[] = [];
  let damaged = 0;
  for (const key of (await shelf(store => keys<string>(store))).filter(key => String(key).startsWith('about/'))) {
    // one by one: a record that is damaged hides no other
    const kept = await shelf(store => get<Partial<Kept>>(key, store)).catch(() => undefined);
    if (!isOwnTake(kept?.take)) damaged++;
    else if (kept.removed) await forget(kept.take.id).catch(() => undefined);
    else takes.push(kept.take);
  }
  return { takes: takes.sort((a, b) => a.added - b.added), damaged };
}

/** Keeps a take with its file, both or neither. */
export const keepTake = (take: OwnTake, blob: Blob): Promise<void> =>
  shelf(store =>
    setMany(
      [
        [about(take.id), { take, removed: false } satisfies Kept],
        [file(take.id), blob],
      ],
      store,
    ),
  );
export const keepAbout = (take: OwnTake, removed = false): Promise<void> =>
  shelf(store => set(about(take.id), { take, removed } satisfies Kept, store));
export const fileOf = (id: string): Promise<Blob | undefined> => shelf(store => get<Blob>(file(id), store));

/** Deletes a take and its file, both or neither. */
export const forget = (id: string): Promise<void> => shelf(store => delMany([about(id), file(id)], store));

/** A recording under way: its pieces are kept as they come. */
export interface Unfinished {
  id: string;
  /** Hz. */
  sampleRate: number;
}
const under = (id: string) => `live/${id}`;
const pieceKey = (id: string, n: number) => `piece/${id}/${String(n).padStart(6, '0')}`;

export const beginUnfinished = (one: Unfinished): Promise<void> => shelf(store => set(under(one.id), one, store));
/** Keeps piece `n`: some samples of every channel. */
export const keepPiece = (id: string, n: number, piece: readonly Float32Array[]): Promise<void> =>
  shelf(store => set(pieceKey(id, n), piece, store));

const piecesOf = async (id: string): Promise<string[]> =>
  (await shelf(store => keys<string>(store))).filter(key => String(key).startsWith(`piece/${id}/`)).sort();

export async function dropUnfinished(id: string): Promise<void> {
  const pieces = await piecesOf(id);
  await shelf(store => delMany(pieces, store));
  await shelf(store => del(under(id), store));
}

/** Recordings that were never ended. */
export async function unfinished(): Promise<Unfinished[]> {
  const found: Unfinished[] = [];
  for (const key of (await shelf(store => keys<string>(store))).filter(key => String(key).startsWith('live/'))) {
    const one = await shelf(store => get<Unfinished>(key, store)).catch(() => undefined);
    if (one && typeof one.id === 'string' && one.sampleRate > 0) found.push(one);
  }
  return found;
}

/** What there is of a recording that was never ended: its pieces in order, up to the first that is missing. */
export async function readPieces(id: string): Promise<Float32Array[][]> {
  const pieces: Float32Array[][] = [];
  for (const key of await piecesOf(id)) {
    const piece = await shelf(store => get<Float32Array[]>(key, store)).catch(() => undefined);
    if (key !== pieceKey(id, pieces.length) || !piece?.length) break;
    pieces.push(piece);
  }
  return pieces;
}
