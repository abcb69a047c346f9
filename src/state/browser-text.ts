/**
 * Text that the browser keeps. Where site data is blocked, asking for a storage throws; where it is full, writing does. Both
 * are no reason to stop: what cannot be read is not there, and whoever writes is told.
 */

export interface TextShelf {
  get(key: string): string | null;
  /** false: the browser refused. */
  set(key: string, text: string): boolean;
  remove(key: string): void;
}

function over(open: () => Storage): TextShelf {
  const attempt = <T>(act: (storage: Storage) => T, otherwise: T): T => {
    try {
      return act(open());
    } catch {
      return otherwise;
    }
  };
  return {
    get: key => attempt(storage => storage.getItem(key), null),
    set: (key, text) =>
      attempt(storage => {
        storage.setItem(key, text);
        return true;
      }, false),
    remove: key => attempt(storage => storage.removeItem(key), undefined),
  };
}

/** Shared by all tabs, and lasting. */
export const lasting = over(() => localStorage);
/** The tab's own: it lasts as long as the tab. */
export const ofTab = over(() => sessionStorage);
