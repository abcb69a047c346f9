/** The shipped takes on the page: what there is, and each rendered for an instrument in a worker, kept for a while. */
import manifestJson from '../../samples/manifest.json';
import type { Instrument } from '../../shared/document/build.ts';
import { misfit, parseManifest, type Take, takesFor } from '../../shared/take/manifest.ts';
import type { RenderedTake } from '../../shared/take/render.ts';
import { words } from '../words/take-words.ts';
import { Remembered } from './remembered.ts';
import { startWorker } from './start-worker.ts';
import type { TakeJobs } from './take.worker.ts';
import workerUrl from './take.worker.ts?worker&url';
import { type AskOptions, WorkerClient } from './worker-client.ts';

export const manifest = parseManifest(manifestJson);
/** Every shipped take, in the order shown. */
export const takes: readonly Take[] = manifest.takes;
/** The takes an instrument can play. */
export const playableTakes = (instrument: Instrument): Take[] => takesFor(manifest, instrument);

const FILES = import.meta.glob<string>('../../samples/*.wav', { query: '?url', import: 'default', eager: true });

/** Absolute address of each recording by its file name: a worker has another base than the page. */
const addresses = (): Record<string, string> =>
  Object.fromEntries(
    Object.entries(FILES).map(([path, address]) => [path.split('/').pop(), new URL(address, document.baseURI).href]),
  );

/** Rendered takes kept: a few takes, or a pluck point moved back and forth. About 10 MB each. */
const kept = new Remembered<RenderedTake>(6);
const worker = new WorkerClient<TakeJobs>(() => startWorker(workerUrl));

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
export function loadTake(
  id: string,
  instrument: Instrument,
  sampleRate: number,
  pluck: number | null,
  options: Pick<AskOptions, 'signal' | 'onProgress'> = {},
): Promise<RenderedTake> {
  const take = takes.find(one => one.id === id);
  if (!take) return Promise.reject(new Error(words.unknown(id)));
  const unfit = misfit(manifest, take, instrument);
  if (unfit) return Promise.reject(new Error(words.misfit(unfit)));
  const ask = { take, manifest, instrument, sampleRate, pluck, addresses: addresses() };
  return kept.get(keyOf(take, instrument, sampleRate, pluck), waiting => worker.ask('render', ask, waiting), options);
}
