/** The worker's side of `WorkerClient`: one function for each kind of request. */
import type { FromWorker, Jobs, ToWorker } from './worker-client.ts';

export interface Tools {
  /** Part done, 0 to 1, and what is being done. */
  progress(part: number, name?: string): void;
  /** Buffers in the answer that are handed over rather than copied. */
  transfer(...buffers: ArrayBufferLike[]): void;
}

/** Work in steps yields the part done after each, so that progress shows and it can be dropped between two. */
type Steps<T> = Generator<number, T, void> | AsyncGenerator<number, T, void>;
type Work<T> = T | Promise<T> | Steps<T>;
export type Handlers<J extends Jobs> = {
  [K in keyof J & string]: (ask: J[K]['ask'], tools: Tools) => Work<J[K]['answer']>;
};

/** What `serve` needs of a worker's global. */
export interface Scope {
  postMessage(message: FromWorker, transfer: Transferable[]): void;
  addEventListener(type: 'message', listener: (event: MessageEvent<ToWorker>) => void): void;
}

/** Lets waiting messages in; unlike a timer it costs no milliseconds. */
const breathe = (): Promise<void> =>
  new Promise(resolve => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });

const isSteps = (work: unknown): work is Steps<unknown> =>
  typeof work === 'object' && work !== null && 'next' in work && 'throw' in work;

/** Answers requests from now on. */
export function serve<J extends Jobs>(handlers: Handlers<J>, scope = self as unknown as Scope): void {
  const cancelled = new Set<number>();
  // nothing is begun before the page can see this worker die
  const held = hold().then(lock => scope.postMessage({ type: 'ready', lock }, []));

  async function work({ job, kind, ask }: ToWorker & { type: 'ask' }): Promise<void> {
    const transfer: Transferable[] = [];
    const progress = (part: number, name?: string) => scope.postMessage({ type: 'progress', job, part, name }, []);
    const tools: Tools = { progress, transfer: (...buffers) => transfer.push(...(buffers as ArrayBuffer[])) };
    try {
      await held;
      // what was cancelled while it waited is not begun
      await breathe();
      if (cancelled.has(job)) return;
      let answer: unknown = handlers[kind](ask, tools);
      if (isSteps(answer)) {
        for (;;) {
          const step = await answer.next();
          if (step.done) {
            answer = step.value;
            break;
          }
          progress(step.value);
          await breathe();
          if (cancelled.has(job)) return;
        }
      }
      scope.postMessage({ type: 'done', job, answer: await answer }, transfer);
    } catch (error) {
      const { name, message } = error instanceof Error ? error : new Error(String(error));
      const rest = error instanceof Error ? { ...error } : {};
      scope.postMessage({ type: 'failed', job, name, message, rest }, []);
    } finally {
      cancelled.delete(job);
    }
  }

  scope.addEventListener('message', ({ data }) => {
    if (data.type === 'cancel') cancelled.add(data.job);
    // what else is handed to a worker has listeners of its own
    else if (data.type === 'ask') void work(data);
  });
}

/** Takes a lock that lasts as long as this worker, where the browser has locks (secure pages), and gives its name. */
async function hold(): Promise<string | null> {
  if (!globalThis.navigator?.locks) return null;
  const lock = `comb-and-coil/worker/${crypto.randomUUID()}`;
  return new Promise(resolve => {
    navigator.locks
      .request(lock, () => {
        resolve(lock);
        return new Promise<never>(() => undefined);
      })
      .catch(() => resolve(null));
  });
}
