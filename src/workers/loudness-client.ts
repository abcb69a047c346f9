/**
 * Loudness of builds on the current take, measured in a worker. One measurement runs at a time; of those that wait, the
 * newest of each build counts and older ones are dropped.
 */
import type { PackedKernels } from '../../shared/audio/partition.ts';
import type { FromLoudnessWorker, Loudness, ToLoudnessWorker } from './loudness.worker.ts';

export type { Loudness } from './loudness.worker.ts';

interface Job {
  key: string;
  kernels: PackedKernels;
  resolve: (loudness: Loudness | null) => void;
  reject: (error: Error) => void;
}

export class LoudnessMeter {
  #worker: Worker | null = null;
  #take: { channels: readonly Float32Array[]; sampleRate: number } | null = null;
  #running: Job | null = null;
  #job = 0;
  #waiting = new Map<string, Job>();

  /** The take that all later measurements are of (copied). Waiting and running ones are dropped. */
  setTake(channels: readonly Float32Array[], sampleRate: number): void {
    this.#drop();
    this.#take = { channels, sampleRate };
    if (this.#worker) this.#sendTake(this.#worker);
  }

  /**
   * Measures the take through `kernels` (copied; made for the take's sample rate) for the build known as `key`.
   * Null if a newer request of that build, or another take, came first.
   */
  measure(key: string, kernels: PackedKernels): Promise<Loudness | null> {
    return new Promise((resolve, reject) => {
      this.#waiting.get(key)?.resolve(null);
      this.#waiting.delete(key);
      if (this.#running?.key === key) {
        // It runs on, but what it finds is out of date.
        this.#running.resolve(null);
      }
      this.#waiting.set(key, { key, kernels, resolve, reject });
      this.#next();
    });
  }

  /** Ends the worker; open measurements come to null. */
  close(): void {
    this.#drop();
    this.#worker?.terminate();
    this.#worker = null;
    this.#running = null;
  }

  #drop(): void {
    this.#running?.resolve(null);
    for (const job of this.#waiting.values()) job.resolve(null);
    this.#waiting.clear();
  }

  #next(): void {
    if (this.#running) return;
    const [job] = this.#waiting.values();
    if (!job) return;
    this.#waiting.delete(job.key);
    this.#running = job;
    const worker = this.#ready();
    worker.postMessage({ type: 'measure', job: ++this.#job, kernels: job.kernels } satisfies ToLoudnessWorker);
  }

  #ready(): Worker {
    if (this.#worker) return this.#worker;
    const worker = new Worker(new URL('./loudness.worker.ts', import.meta.url), { type: 'module' });
    this.#worker = worker;
    worker.onmessage = ({ data }: MessageEvent<FromLoudnessWorker>) => {
      if (data.job !== this.#job) return;
      const job = this.#running;
      this.#running = null;
      if (data.type === 'measured') job?.resolve(data.loudness);
      else job?.reject(new Error(data.message));
      this.#next();
    };
    // A worker that broke is replaced at the next request.
    worker.onerror = event => {
      event.preventDefault();
      worker.terminate();
      this.#worker = null;
      const job = this.#running;
      this.#running = null;
      job?.reject(new Error('the loudness could not be measured; try again'));
      this.#next();
    };
    this.#sendTake(worker);
    return worker;
  }

  #sendTake(worker: Worker): void {
    if (!this.#take) return;
    const { channels, sampleRate } = this.#take;
    worker.postMessage({ type: 'take', channels: [...channels], sampleRate } satisfies ToLoudnessWorker);
  }
}
