/** Rendering files from the page: takes are loaded as for listening, a worker of its own does the rest. */
import type { Instrument, TestPoint } from '../../shared/document/build.ts';
import type { StringsOf } from '../../shared/document/sheet.ts';
import { asHeard } from '../../shared/take/heard-strings.ts';
import {
  type FileOptions,
  type Forces,
  type LetteredBuild,
  levelsOf,
  type RenderedFile,
} from '../files/render-files.ts';
import { keptFile, ownTakes } from '../state/own-recordings.ts';
import { words } from '../words/take-words.ts';
import { handEngine } from '../workers/hand-engine.ts';
import { loadOwnTake } from '../workers/recordings-client.ts';
import type { RenderJobs } from '../workers/render.worker.ts';
import workerUrl from '../workers/render.worker.ts?worker&url';
import { loadTake, manifest, playableTakes, takes } from '../workers/shipped-takes.ts';
import { startWorker } from '../workers/start-worker.ts';
import { WorkerClient } from '../workers/worker-client.ts';
import { WorkerPool } from '../workers/worker-pool.ts';

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

/** Every second file of a name gets a number. */
function numbered(): (name: string) => string {
  const taken = new Map<string, number>();
  return name => {
    const times = (taken.get(name) ?? 0) + 1;
    taken.set(name, times);
    return times === 1 ? name : name.replace(/\.wav$/, `_${times}.wav`);
  };
}

/** The files of one take, each test point's levelled together. `onProgress` gets each file's part done, in their order. */
async function takeFiles(
  id: string,
  order: RenderOrder,
  pool: WorkerPool<RenderJobs>,
  signal: AbortSignal,
  onProgress: (file: number, part: number, name: string) => void,
): Promise<RenderedFile[]> {
  const { bits, matched, reference, points } = order;
  const options: FileOptions = { bits, matched, reference };
  const builds = ableBuilds(order.builds, id).map(({ letter, build }) => ({
    letter,
    build: asHeard(build, manifest, id, order.strings),
  }));
  if (builds.length === 0) return [];
  const name = everyTake().find(one => one.id === id)?.name ?? id;
  const take = isOwn(id) ? { id, name, stem: name } : { id, name };
  const { forces, forcesOf } = await forcesFor(builds, id, order, signal);
  const groups = points.map(async (point, p) => {
    const report = (b: number) => (part: number) =>
      onProgress(p * builds.length + b, part, `${builds[b].letter}, ${name}, ${point}`);
    const sounds = await Promise.all(
      builds.map((one, b) =>
        pool.ask('sound', { one, forces: forces[forcesOf[b]], point }, { signal, onProgress: report(b) }),
      ),
    );
    const { gains, ...rest } = levelsOf(sounds, options);
    return Promise.all(
      sounds.map((sound, b) =>
        pool.ask(
          'write',
          { sound, level: { gain: gains[b], ...rest }, title: { ...builds[b], take, point, options } },
          { signal, transfer: sound.outputs.map(output => output.buffer) },
        ),
      ),
    );
  });
  return (await Promise.all(groups)).flat();
}

/**
 * Renders an order, on every core. `onProgress` gets the part done and what is being done; aborting ends the workers.
 * @throws Error with a sentence for the person; an AbortError when `signal` aborts
 */
export async function renderOrder(
  order: RenderOrder,
  signal: AbortSignal,
  onProgress: (part: number, name: string) => void,
): Promise<RenderResult> {
  const total = countFiles(order);
  if (total === 0) throw new Error(words.nothingPlays);
  const pool = new WorkerPool(() => new WorkerClient<RenderJobs>(() => handEngine(startWorker(workerUrl))));
  const gatherer = new WorkerClient<RenderJobs>(() => startWorker(workerUrl));
  const parts = new Map<string, number>();
  const free = numbered();
  const files: RenderedFile[] = [];
  const gather = async (made: readonly RenderedFile[]) => {
    for (const file of made) {
      if (total > 1)
        await gatherer.ask('add', { name: free(file.name), bytes: file.bytes }, { transfer: [file.bytes.buffer] });
      files.push(file);
    }
  };
  try {
    // so many takes at once that every worker has something to do
    const atOnce = Math.ceil(pool.size / (order.builds.length * order.points.length));
    const open: Promise<RenderedFile[]>[] = [];
    let gathered = Promise.resolve();
    for (const id of order.takes) {
      await open.at(-atOnce);
      const made = takeFiles(id, order, pool, signal, (file, part, name) => {
        parts.set(`${id} ${file}`, part);
        onProgress([...parts.values()].reduce((sum, one) => sum + one, 0) / total, name);
      });
      open.push(made);
      gathered = gathered.then(async () => gather(await made));
      // what fails is told by the end of the chain
      made.catch(() => undefined);
      gathered.catch(() => undefined);
    }
    await gathered;
    const lowered = Math.max(...files.map(file => file.lowered));
    const [name, type, bytes] =
      total === 1
        ? [files[0].name, 'audio/wav', [files[0].bytes]]
        : [`${order.zipName}.zip`, 'application/zip', await gatherer.ask('end', null, { signal })];
    return { name, blob: new Blob(bytes, { type }), files: total, lowered };
  } finally {
    pool.close();
    gatherer.close();
  }
}
