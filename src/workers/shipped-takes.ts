/** The shipped takes on the page: what there is, and each rendered for an instrument in a worker, kept for a while. */
import manifestJson from '../../samples/manifest.json';
import type { Instrument } from '../../shared/document/build.ts';
import { parseManifest, type Take, takesFor, whyNot } from '../../shared/take/manifest.ts';
import type { RenderedTake } from '../../shared/take/render.ts';
import type { FromTakeWorker, ToTakeWorker } from './take.worker.ts';

export type { RenderedTake } from '../../shared/take/render.ts';

export const manifest = parseManifest(manifestJson);
/** Every shipped take, in the order shown. */
export const takes: readonly Take[] = manifest.takes;
/** The takes an instrument can play. */
export const playableTakes = (instrument: Instrument): Take[] => takesFor(manifest, instrument);

const ADDRESSES: Record<string, string> = Object.fromEntries(
  Object.entries(
    import.meta.glob<string>('../../samples/*.wav', { query: '?url', import: 'default', eager: true }),
  ).map(([path, address]) => [path.split('/').pop() ?? path, new URL(address, document.baseURI).href]),
);

export interface LoadOptions {
  /** Aborting drops the request; its promise rejects with an AbortError. */
  signal?: AbortSignal;
  /** Part done, 0 to 1. */
  onProgress?: (part: number) => void;
}

/** Rendered takes kept: a few takes, or a pluck point moved back and forth. About 10 MB each. */
const KEPT = 6;

interface Waiter {
  resolve: (take: RenderedTake) => void;
  reject: (error: Error) => void;
  onProgress: ((part: number) => void) | undefined;
}
interface Job {
  id: number;
  key: string;
  waiters: Set<Waiter>;
}

let worker: Worker | null = null;
let nextJob = 1;
const jobs = new Map<string, Job>();
const kept = new Map<string, RenderedTake>();

const jobById = (id: number): Job | undefined => [...jobs.values()].find(job => job.id === id);
const post = (message: ToTakeWorker): void => theWorker().postMessage(message);

const finish = (job: Job, settle: (waiter: Waiter) => void): void => {
  jobs.delete(job.key);
  for (const waiter of job.waiters) settle(waiter);
};

function theWorker(): Worker {
  if (worker) return worker;
  worker = new Worker(new URL('./take.worker.ts', import.meta.url), { type: 'module' });
  worker.onmessage = ({ data }: MessageEvent<FromTakeWorker>) => {
    const job = jobById(data.job);
    if (!job) return;
    if (data.type === 'progress') for (const waiter of job.waiters) waiter.onProgress?.(data.part);
    else if (data.type === 'failed') finish(job, waiter => waiter.reject(new Error(data.message)));
    else {
      kept.set(job.key, data.take);
      if (kept.size > KEPT) kept.delete(kept.keys().next().value!);
      finish(job, waiter => waiter.resolve(data.take));
    }
  };
  // A worker that broke is replaced at the next request.
  worker.onerror = event => {
    event.preventDefault();
    worker?.terminate();
    worker = null;
    for (const job of [...jobs.values()])
      finish(job, waiter => waiter.reject(new Error('the take could not be computed; try again')));
  };
  return worker;
}

/** What the sound of a take depends on. */
const keyOf = (take: Take, instrument: Instrument, sampleRate: number, pluck: number | null): string =>
  JSON.stringify([
    take.id,
    sampleRate,
    take.kind === 'modelled' ? pluck : null,
    take.kind === 'modelled' ? instrument.strings : instrument.strings.map(s => s.pitch),
    instrument.frets,
  ]);

/**
 * The bridge force of every string of a take, N. The same request is computed once; the newest few are kept.
 * @param pluck pluck point of modelled takes, m from the saddle; null: as the score says
 * @throws Error with a sentence for the person; an AbortError when `signal` aborts
 */
export const loadTake = (
  id: string,
  instrument: Instrument,
  sampleRate: number,
  pluck: number | null,
  { signal, onProgress }: LoadOptions = {},
): Promise<RenderedTake> => {
  const take = takes.find(one => one.id === id);
  if (!take) return Promise.reject(new Error(`there is no take “${id}”; choose one of the list`));
  const reason = whyNot(manifest, take, instrument);
  if (reason) return Promise.reject(new Error(reason));
  if (signal?.aborted) return Promise.reject(abortError());
  const key = keyOf(take, instrument, sampleRate, pluck);
  const ready = kept.get(key);
  if (ready) {
    kept.delete(key);
    kept.set(key, ready);
    return Promise.resolve(ready);
  }
  return new Promise((resolve, reject) => {
    let job = jobs.get(key);
    if (!job) {
      job = { id: nextJob++, key, waiters: new Set() };
      jobs.set(key, job);
      const { id: number } = job;
      post({ type: 'render', job: number, take, manifest, instrument, sampleRate, pluck, addresses: ADDRESSES });
    }
    const joined = job;
    const waiter: Waiter = { resolve, reject, onProgress };
    joined.waiters.add(waiter);
    signal?.addEventListener(
      'abort',
      () => {
        if (!joined.waiters.delete(waiter)) return;
        reject(abortError());
        if (joined.waiters.size > 0 || jobs.get(key) !== joined) return;
        jobs.delete(key);
        post({ type: 'cancel', job: joined.id });
      },
      { once: true },
    );
  });
};

const abortError = (): Error => new DOMException('the request was dropped', 'AbortError');
