/**
 * What is measured of the current take: each string's long-term density at once, and through each build, a moment after
 * its last change, loudness and density of the whole rendering. One measurement runs at a time, what is heard first.
 */
import { effect, signal } from '@preact/signals-core';
import type { PowerSpectrum } from '../../shared/audio/spectrum.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { handEngine } from '../workers/hand-engine.ts';
import type { MeasureJobs, Measurement } from '../workers/measure.worker.ts';
import workerUrl from '../workers/measure.worker.ts?worker&url';
import { startWorker } from '../workers/start-worker.ts';
import { isAbort, WorkerClient } from '../workers/worker-client.ts';
import { slots, view } from './page.ts';
import { type CurrentTake, currentTake } from './take.ts';

/** Pause after the last change before anything is measured, ms. */
const REST = 200;

const worker = new WorkerClient<MeasureJobs>(() => handEngine(startWorker(workerUrl)));
interface Known {
  build: Build;
  point: TestPoint;
  take: CurrentTake;
  found: Measurement;
}
/** Measurements kept: every build at every test point, and some undone ones; 130 kB each. */
const MOST = 64;
let known: Known[] = [];
const find = (build: Build, point: TestPoint, take: CurrentTake | null): Known | undefined =>
  known.find(one => one.build === build && one.point === point && one.take === take);

/** Counts what has become known. */
const arrivals = signal(0);
/** Why something could not be measured; null: nothing failed since the last change. */
export const measureProblem = signal<string | null>(null);
const strings = signal<{ take: CurrentTake; densities: PowerSpectrum[] } | null>(null);

/** What was measured of the current take through a build; null: not yet. Reads signals. */
export function measured(build: Build, point: TestPoint): Measurement | null {
  void arrivals.value;
  return find(build, point, currentTake.value)?.found ?? null;
}

/** Density of each string of the current take; null: not yet. Reads signals. */
export const stringDensities = (): PowerSpectrum[] | null =>
  strings.value?.take === currentTake.value ? (strings.value?.densities ?? null) : null;

let held: { take: CurrentTake; generation: number } | null = null;

/** Hands a take over, once to each worker. */
async function hold(take: CurrentTake): Promise<void> {
  if (held?.take === take && held.generation === worker.generation) return;
  const { channels, sampleRate, uncombed = [] } = take;
  held = { take, generation: worker.generation };
  const densities = await worker.ask('take', { channels, sampleRate, uncombed });
  strings.value = { take, densities };
}

/** The first build that has not been measured, what is heard before the others; null: all have been. */
function missing(take: CurrentTake): Build | null {
  const { point, heard } = view.peek();
  const order = [...slots.peek()].sort((a, b) => Number(b.letter === heard) - Number(a.letter === heard));
  return order.find(({ build }) => !find(build, point, take))?.build ?? null;
}

let running = false;
/** Measures whatever is missing, one after the other, until nothing is. */
async function work(): Promise<void> {
  if (running) return;
  running = true;
  measureProblem.value = null;
  try {
    for (let take = currentTake.peek(); take; take = currentTake.peek()) {
      await hold(take);
      const build = missing(take);
      if (!build) break;
      const { point } = view.peek();
      const found = await worker.ask('measure', { build, point });
      known = [{ build, point, take, found }, ...known.slice(0, MOST - 1)];
      arrivals.value++;
    }
  } catch (error) {
    held = null;
    if (!isAbort(error)) measureProblem.value = error instanceof Error ? error.message : String(error);
  } finally {
    running = false;
  }
}

/** Measures from now on. */
export function startMeasuring(): void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  effect(() => {
    void [currentTake.value, slots.value, view.value.point];
    clearTimeout(timer);
    timer = setTimeout(() => void work(), REST);
  });
}
