/** Results by key: one request is worked on once however many wait for it, and the newest results are kept. */
import { type AskOptions, abortError } from './worker-client.ts';

type Waiting = Pick<AskOptions, 'signal' | 'onProgress'>;

interface Running<T> {
  result: Promise<T>;
  waiters: Set<Waiting>;
  drop: AbortController;
}

export class Remembered<T> {
  #most: number;
  #kept = new Map<string, T>();
  #running = new Map<string, Running<T>>();

  /** @param most results kept */
  constructor(most: number) {
    this.#most = most;
  }

  /** The result for `key`, from `work` if it is not there yet. Work that nobody waits for any more is dropped. */
  get(key: string, work: (options: Waiting) => Promise<T>, waiting: Waiting = {}): Promise<T> {
    if (waiting.signal?.aborted) return Promise.reject(abortError());
    const kept = this.#kept.get(key);
    if (kept !== undefined) {
      this.#keep(key, kept);
      return Promise.resolve(kept);
    }
    const running = this.#running.get(key) ?? this.#start(key, work);
    running.waiters.add(waiting);
    return new Promise((resolve, reject) => {
      const leave = () => {
        running.waiters.delete(waiting);
        reject(abortError());
        if (running.waiters.size > 0 || this.#running.get(key) !== running) return;
        this.#running.delete(key);
        running.drop.abort();
      };
      waiting.signal?.addEventListener('abort', leave, { once: true });
      running.result.then(resolve, reject).finally(() => waiting.signal?.removeEventListener('abort', leave));
    });
  }

  #start(key: string, work: (options: Waiting) => Promise<T>): Running<T> {
    const waiters = new Set<Waiting>();
    const drop = new AbortController();
    const onProgress: AskOptions['onProgress'] = (part, name) => {
      for (const waiter of waiters) waiter.onProgress?.(part, name);
    };
    const result = work({ signal: drop.signal, onProgress });
    const running = { result, waiters, drop };
    this.#running.set(key, running);
    const end = () => {
      if (this.#running.get(key) === running) this.#running.delete(key);
    };
    result.then(found => {
      end();
      this.#keep(key, found);
    }, end);
    return running;
  }

  #keep(key: string, found: T): void {
    this.#kept.delete(key);
    this.#kept.set(key, found);
    if (this.#kept.size > this.#most) this.#kept.delete(this.#kept.keys().next().value!);
  }
}
