/** Several workers of one script, one for each core: a request goes to a worker that has nothing else to do, in turn. */
import { type AskOptions, abortError, type Jobs, type WorkerClient } from './worker-client.ts';

/** More are not started: each holds its own copy of what it works on. */
const MOST = 8;

/** Cores of this machine, as far as the browser tells. */
const cores = (): number => globalThis.navigator?.hardwareConcurrency ?? 2;

export class WorkerPool<J extends Jobs> {
  readonly size: number;
  #make: () => WorkerClient<J>;
  #all: WorkerClient<J>[] = [];
  #idle: WorkerClient<J>[] = [];
  #waiting: ((client: WorkerClient<J> | null) => void)[] = [];
  #closed = false;

  constructor(make: () => WorkerClient<J>, size = cores()) {
    this.#make = make;
    this.size = Math.max(1, Math.min(MOST, size));
  }

  async ask<K extends keyof J & string>(kind: K, ask: J[K]['ask'], options: AskOptions = {}): Promise<J[K]['answer']> {
    const client = await this.#free();
    try {
      return await client.ask(kind, ask, options);
    } finally {
      const next = this.#waiting.shift();
      if (next) next(client);
      else this.#idle.push(client);
    }
  }

  /** Ends every worker; what was asked rejects with an AbortError. */
  close(): void {
    this.#closed = true;
    for (const next of this.#waiting) next(null);
    this.#waiting = [];
    for (const client of this.#all) client.close();
  }

  async #free(): Promise<WorkerClient<J>> {
    if (this.#closed) throw abortError();
    const idle = this.#idle.pop();
    if (idle) return idle;
    if (this.#all.length < this.size) {
      const client = this.#make();
      this.#all.push(client);
      return client;
    }
    const client = await new Promise<WorkerClient<J> | null>(resolve => this.#waiting.push(resolve));
    if (client === null) throw abortError();
    return client;
  }
}
