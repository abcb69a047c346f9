/**
 * Long-term spectra of the take at a test point: at once as an estimate (powers of the strings, filtered and added,
 * which holds when the strings move independently), and a moment later exactly, rendered by a worker.
 */
import { signal } from '@preact/signals-core';
import { smoothed } from '../../shared/audio/smoothing.ts';
import type { PowerSpectrum } from '../../shared/audio/spectrum.ts';
import { power, type Spectrum } from '../../shared/complex.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import type { Answer, Order } from '../workers/long-term.worker.ts';
import type { CurrentTake } from './take.ts';

/** Rest after the last change of a build before it is rendered, ms. */
const REST = 250;

interface Job {
  build: Build;
  point: TestPoint;
}

export class LongTerm {
  /** Counts what has become known; read it to be told. */
  readonly known = signal(0);
  readonly failure = signal<string | null>(null);
  #worker: Worker | null = null;
  #take: CurrentTake | null = null;
  #takeNumber = 0;
  #strings: PowerSpectrum[] | null = null;
  #onGrid = new WeakMap<Float64Array, Float64Array[]>();
  #exact = new WeakMap<Build, Map<TestPoint, PowerSpectrum>>();
  #jobs = new Map<number, Job>();
  #jobNumber = 0;
  #busy = false;
  #timer = 0;
  #wanted: Job[] = [];

  #send(order: Order): void {
    if (!this.#worker) {
      this.#worker = new Worker(new URL('../workers/long-term.worker.ts', import.meta.url), { type: 'module' });
      this.#worker.addEventListener('message', (event: MessageEvent<Answer>) => this.#receive(event.data));
      this.#worker.addEventListener('error', event => {
        this.failure.value = event.message || 'error';
        this.#busy = false;
      });
    }
    this.#worker.postMessage(order);
  }

  /** Takes up a take (at once) and what is wanted of it (after a rest); what is known already is not done again. */
  want(take: CurrentTake | null, builds: readonly Build[], point: TestPoint): void {
    if (take !== this.#take) {
      this.#take = take;
      this.#takeNumber++;
      this.#strings = null;
      this.#onGrid = new WeakMap();
      this.#exact = new WeakMap();
      this.#busy = false;
      this.failure.value = null;
      if (take) {
        const { channels, sampleRate, uncombed = [] } = take;
        this.#send({ kind: 'take', take: this.#takeNumber, channels, sampleRate, uncombed });
      }
    }
    clearTimeout(this.#timer);
    this.#wanted = [];
    if (!take) return;
    const missing = builds.filter(build => !this.exact(build, point)).map(build => ({ build, point }));
    this.#timer = window.setTimeout(() => {
      this.#wanted = missing;
      this.#next();
    }, REST);
  }

  #next(): void {
    if (this.#busy) return;
    const job = this.#wanted.shift();
    if (!job) return;
    this.#busy = true;
    const number = ++this.#jobNumber;
    this.#jobs.set(number, job);
    this.#send({ kind: 'render', take: this.#takeNumber, job: number, ...job });
  }

  #receive(answer: Answer): void {
    if (answer.take !== this.#takeNumber) return;
    if (answer.kind === 'strings') this.#strings = answer.densities;
    else {
      this.#busy = false;
      const job = this.#jobs.get(answer.job);
      this.#jobs.delete(answer.job);
      if (answer.kind === 'failed') this.failure.value = answer.message;
      else if (job) {
        const points = this.#exact.get(job.build) ?? new Map<TestPoint, PowerSpectrum>();
        points.set(job.point, answer.density);
        this.#exact.set(job.build, points);
        this.failure.value = null;
      }
      this.#next();
    }
    this.known.value++;
  }

  /** The rendered take's density; null: not yet. */
  exact(build: Build, point: TestPoint): PowerSpectrum | null {
    return this.#exact.get(build)?.get(point) ?? null;
  }

  /** Σ over strings of P_i |H_i|² on `frequencies`; null: the take has not been analysed yet. */
  estimate(frequencies: Float64Array, responses: readonly Spectrum[]): Float64Array | null {
    if (!this.#strings) return null;
    let strings = this.#onGrid.get(frequencies);
    if (!strings) {
      strings = this.#strings.map(one => smoothed(one.frequencies, one.power, frequencies, 0));
      this.#onGrid.set(frequencies, strings);
    }
    const sum = new Float64Array(frequencies.length);
    strings.slice(0, responses.length).forEach((density, s) => {
      const response = responses[s];
      for (let i = 0; i < sum.length; i++) sum[i] += density[i] * power(response, i);
    });
    return sum;
  }

  /** Ends the worker; everything can be asked again. */
  stop(): void {
    clearTimeout(this.#timer);
    this.#worker?.terminate();
    this.#worker = null;
    this.#take = null;
    this.#busy = false;
    this.#wanted = [];
  }
}
