/** Rendering files from the page: takes are loaded as for listening, a worker of its own does the rest. */
import type { Instrument, TestPoint } from '../../shared/document/build.ts';
import type { StringsOf } from '../../shared/document/sheet.ts';
import { asHeard } from '../../shared/take/heard-strings.ts';
import type { FileOptions, Forces, LetteredBuild } from '../files/render-files.ts';
import { keptFile, ownTakes } from '../state/own-recordings.ts';
import { handEngine } from '../workers/hand-engine.ts';
import { loadOwnTake } from '../workers/recordings-client.ts';
import type { RenderJobs } from '../workers/render.worker.ts';
import workerUrl from '../workers/render.worker.ts?worker&url';
import { loadTake, manifest, playableTakes, takes } from '../workers/shipped-takes.ts';
import { startWorker } from '../workers/start-worker.ts';
import { WorkerClient } from '../workers/worker-client.ts';

export interface RenderOrder extends FileOptions {
  builds: LetteredBuild[];
  /** Ids of takes. */
  takes: string[];
  points: TestPoint[];
  /** Hz. */
  sampleRate: number;
  /** Pluck point of modelled takes, m; null: as the score says. */
  pluck: number | null;
  /** Whose strings recorded takes are heard on. */
  strings: StringsOf;
  /** Name of the ZIP, without its ending. */
  zipName: string;
}

export interface RenderResult {
  name: string;
  blob: Blob;
  files: number;
  /** By how much some take was lowered so that no peak passes the ceiling, dB. */
  lowered: number;
}

/** Shipped takes and own recordings, as they can be chosen. */
export const everyTake = (): { id: string; name: string }[] => [...takes, ...ownTakes.value];

const isOwn = (id: string): boolean => ownTakes.peek().some(one => one.id === id);

/** The builds of an order that can play a take. */
export const ableBuilds = (builds: readonly LetteredBuild[], take: string): LetteredBuild[] =>
  isOwn(take)
    ? [...builds]
    : builds.filter(({ build }) => playableTakes(build.instrument).some(one => one.id === take));

/** A take, shipped or own, as forces on an instrument's strings. */
async function loadForces(
  id: string,
  instrument: Instrument,
  order: RenderOrder,
  signal: AbortSignal,
): Promise<Forces> {
  const own = ownTakes.peek().find(one => one.id === id);
  if (own) {
    const { channels, uncombed } = await loadOwnTake(own, keptFile(own), instrument, order.sampleRate, { signal });
    return { channels, sampleRate: order.sampleRate, uncombed };
  }
  const { channels, sampleRate } = await loadTake(id, instrument, order.sampleRate, order.pluck, { signal });
  return { channels, sampleRate };
}

export const countFiles = ({ builds, takes, points }: Pick<RenderOrder, 'builds' | 'takes' | 'points'>): number =>
  takes.reduce((sum, take) => sum + ableBuilds(builds, take).length, 0) * points.length;

/** Forces of a take on each distinct instrument of `builds`, and which build has which. */
async function forcesFor(builds: readonly LetteredBuild[], take: string, order: RenderOrder, signal: AbortSignal) {
  const keys: string[] = [];
  const instruments: Instrument[] = [];
  const forcesOf = builds.map(({ build }) => {
    const key = JSON.stringify(build.instrument);
    if (!keys.includes(key)) {
      keys.push(key);
      instruments.push(build.instrument);
    }
    return keys.indexOf(key);
  });
  const forces: Forces[] = [];
  for (const instrument of instruments) forces.push(await loadForces(take, instrument, order, signal));
  return { forces, forcesOf };
}

/**
 * Renders an order. `onProgress` gets the part done and what is being done; aborting ends the worker.
 * @throws Error with a sentence for the person; an AbortError when `signal` aborts
 */
export async function renderOrder(
  order: RenderOrder,
  signal: AbortSignal,
  onProgress: (part: number, name: string) => void,
): Promise<RenderResult> {
  const worker = new WorkerClient<RenderJobs>(() => handEngine(startWorker(workerUrl)));
  try {
    const { bits, matched, reference, points, zipName } = order;
    const options = { bits, matched, reference };
    await worker.ask('start', { options, points, zipName, single: countFiles(order) === 1 }, { signal });
    for (const [i, id] of order.takes.entries()) {
      const builds = ableBuilds(order.builds, id).map(({ letter, build }) => ({
        letter,
        build: asHeard(build, manifest, id, order.strings),
      }));
      if (builds.length === 0) continue;
      const name = everyTake().find(one => one.id === id)?.name ?? id;
      const take = isOwn(id) ? { id, name, stem: name } : { id, name };
      const at = (part: number, what = name) => onProgress((i + part) / order.takes.length, what);
      at(0);
      const loaded = await forcesFor(builds, id, order, signal);
      await worker.ask('take', { take, builds, ...loaded }, { signal, onProgress: at });
    }
    const { name, bytes, files, lowered } = await worker.ask('end', null, { signal });
    const type = name.endsWith('.zip') ? 'application/zip' : 'audio/wav';
    return { name, blob: new Blob(bytes, { type }), files, lowered };
  } finally {
    worker.close();
  }
}
