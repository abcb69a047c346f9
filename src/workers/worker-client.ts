/**
 * The page's side of every worker: typed requests with cancel, error and progress. A worker that dies or falls silent
 * fails what was asked of it with a sentence; the next request starts a new one.
 */
import { words } from '../words/work-words.ts';

/** What can be asked of a worker, by kind, and what it answers. */
export type Jobs = Record<string, { ask: unknown; answer: unknown }>;

export type ToWorker =
  | { type: 'ask'; job: number; kind: string; ask: unknown }
  /** The answer is not wanted any more. */
  | { type: 'cancel'; job: number };
export type FromWorker =
  /** The script runs; `lock` is held for as long as the worker lives, null where the browser has no locks. */
  | { type: 'ready'; lock: string | null }
  | { type: 'progress'; job: number; part: number; name?: string | undefined }
  | { type: 'done'; job: number; answer: unknown }
  /** `rest`: what the error carries beside its message. */
  | { type: 'failed'; job: number; name: string; message: string; rest: object };

export interface AskOptions {
  /** Aborting drops the request; its promise rejects with an AbortError. */
  signal?: AbortSignal | undefined;
  /** Part done, 0 to 1, and what is being done. */
  onProgress?: ((part: number, name?: string) => void) | undefined;
  /** Buffers in the request that are handed over. */
  transfer?: Transferable[] | undefined;
}

export interface ClientOptions {
  /** Longest silence of a worker that has something to do, ms. */
  quiet?: number;
}

/** What the client needs of a worker. */
export type WorkerLike = Pick<Worker, 'postMessage' | 'terminate' | 'addEventListener'>;

interface Open {
  resolve: (answer: unknown) => void;
  reject: (error: Error) => void;
  onProgress: AskOptions['onProgress'];
}

const QUIET = 60_000;
/** Looks at the silence in so many turns: a machine that slept makes one turn long, not all. */
const TURNS = 6;

export const abortError = (): Error => new DOMException(words.dropped, 'AbortError');
export const isAbort = (error: unknown): boolean => error instanceof DOMException && error.name === 'AbortError';

export class WorkerClient<J extends Jobs> {
  #make: () => WorkerLike;
  #quiet: number;
  #worker: WorkerLike | null = null;
  #started = 0;
  #ready = false;
  #watch: AbortController | null = null;
  #open = new Map<number, Open>();
  #lastJob = 0;
  #turns = 0;
  #timer: ReturnType<typeof setInterval> | undefined;

  constructor(make: () => WorkerLike, { quiet = QUIET }: ClientOptions = {}) {
    this.#make = make;
    this.#quiet = quiet;
  }

  /** Counts the workers started: what was handed to an earlier one is gone. */
  get generation(): number {
    this.#theWorker();
    return this.#started;
  }

  ask<K extends keyof J & string>(kind: K, ask: J[K]['ask'], options: AskOptions = {}): Promise<J[K]['answer']> {
    const { signal, onProgress, transfer = [] } = options;
    return new Promise((resolve, reject) => {
      if (signal?.aborted) {
        reject(abortError());
        return;
      }
      const worker = this.#theWorker();
      const job = ++this.#lastJob;
      const cancel = () => this.#cancel(job);
      const settle = () => signal?.removeEventListener('abort', cancel);
      this.#open.set(job, {
        resolve: answer => {
          settle();
          resolve(answer);
        },
        reject: error => {
          settle();
          reject(error);
        },
        onProgress,
      });
      signal?.addEventListener('abort', cancel);
      this.#listen();
      worker.postMessage({ type: 'ask', job, kind, ask } satisfies ToWorker, transfer);
    });
  }

  /** Ends the worker; open requests reject with an AbortError. */
  close(): void {
    this.#end(abortError());
  }

  #theWorker(): WorkerLike {
    if (this.#worker) return this.#worker;
    const worker = this.#make();
    this.#worker = worker;
    this.#started++;
    this.#ready = false;
    const mine = (run: () => void) => () => {
      if (this.#worker === worker) run();
    };
    worker.addEventListener('message', event => {
      const { data } = event as MessageEvent<FromWorker>;
      mine(() => this.#receive(data))();
    });
    const broke = (event: Event) => {
      event.preventDefault();
      mine(() => this.#end(new Error(this.#ready ? words.died : words.notLoaded)))();
    };
    worker.addEventListener('error', broke);
    worker.addEventListener('messageerror', broke);
    return worker;
  }

  #receive(data: FromWorker): void {
    this.#turns = 0;
    if (data.type === 'ready') {
      this.#ready = true;
      if (data.lock) this.#watchOver(data.lock);
      return;
    }
    const open = this.#open.get(data.job);
    if (!open) return;
    if (data.type === 'progress') {
      open.onProgress?.(data.part, data.name);
      return;
    }
    this.#open.delete(data.job);
    if (data.type === 'done') open.resolve(data.answer);
    else open.reject(Object.assign(new Error(data.message), { name: data.name, ...data.rest }));
    this.#listen();
  }

  /** Browser workaround 4: nobody is told of a worker's death, but a lock that it holds is free only when it is gone. */
  #watchOver(lock: string): void {
    const watch = new AbortController();
    this.#watch = watch;
    navigator.locks
      .request(lock, { signal: watch.signal }, () => this.#end(new Error(words.died)))
      .catch(() => undefined);
  }

  /** Watches the silence for as long as something is open. */
  #listen(): void {
    if (this.#open.size === 0) {
      clearInterval(this.#timer);
      this.#timer = undefined;
      return;
    }
    if (this.#timer !== undefined) return;
    this.#turns = 0;
    this.#timer = setInterval(() => {
      if (++this.#turns > TURNS) this.#end(new Error(words.hung(Math.round(this.#quiet / 1000))));
    }, this.#quiet / TURNS);
  }

  #cancel(job: number): void {
    const open = this.#open.get(job);
    if (!open) return;
    this.#open.delete(job);
    open.reject(abortError());
    this.#worker?.postMessage({ type: 'cancel', job } satisfies ToWorker);
    this.#listen();
  }

  #end(why: Error): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.#watch?.abort();
    this.#watch = null;
    const open = [...this.#open.values()];
    this.#open.clear();
    this.#listen();
    for (const one of open) one.reject(why);
  }
}
