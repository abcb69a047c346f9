/**
 * Computes takes off the main thread, note by note, so that progress shows and a request can be dropped at any time.
 * Recordings are fetched and decoded here once.
 */
import { readWav } from '../../shared/audio/wav.ts';
import type { Instrument } from '../../shared/document/build.ts';
import { type Manifest, recordingOf, type Take } from '../../shared/take/manifest.ts';
import { type Decoded, type RenderedTake, renderTakeSteps } from '../../shared/take/render.ts';

export interface TakeRequest {
  type: 'render';
  job: number;
  take: Take;
  manifest: Manifest;
  instrument: Instrument;
  sampleRate: number;
  pluck: number | null;
  /** Absolute address of each recording by file name. */
  addresses: Record<string, string>;
}
export type ToTakeWorker = TakeRequest | { type: 'cancel'; job: number };
export type FromTakeWorker =
  | { type: 'progress'; job: number; part: number }
  | { type: 'done'; job: number; take: RenderedTake }
  | { type: 'failed'; job: number; message: string };

const scope = self as unknown as { postMessage(message: FromTakeWorker, transfer?: Transferable[]): void };
const cancelled = new Set<number>();
const decoded = new Map<string, Promise<Decoded>>();

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

const load = async (file: string, address: string): Promise<Decoded> => {
  let response: Response;
  try {
    response = await fetch(address);
  } catch {
    throw new Error(`the recording ${file} could not be fetched; check the connection and try again`);
  }
  if (!response.ok) throw new Error(`the recording ${file} could not be fetched (status ${response.status})`);
  return readWav(new Uint8Array(await response.arrayBuffer()));
};

/** A recording, decoded once; a failed one is tried again next time. */
const recording = (file: string, address: string): Promise<Decoded> => {
  let promise = decoded.get(file);
  if (!promise) {
    promise = load(file, address);
    decoded.set(file, promise);
    promise.catch(() => decoded.delete(file));
  }
  return promise;
};

const render = async (request: TakeRequest): Promise<void> => {
  const { job, take, manifest, instrument, sampleRate, pluck, addresses } = request;
  const files = recordingOf(manifest, take)?.channels.map(channel => channel.file) ?? [];
  const recordings = new Map(
    await Promise.all(files.map(async file => [file, await recording(file, addresses[file])] as const)),
  );
  const steps = renderTakeSteps(take, { manifest, instrument, sampleRate, pluck, recordings });
  for (;;) {
    if (cancelled.delete(job)) return;
    const step = steps.next();
    if (step.done) {
      const transfer = step.value.channels.map(channel => channel.buffer as ArrayBuffer);
      scope.postMessage({ type: 'done', job, take: step.value }, transfer);
      return;
    }
    scope.postMessage({ type: 'progress', job, part: step.value });
    await breathe();
  }
};

addEventListener('message', ({ data }: MessageEvent<ToTakeWorker>) => {
  if (data.type === 'cancel') {
    cancelled.add(data.job);
    return;
  }
  render(data).catch((error: unknown) => {
    cancelled.delete(data.job);
    scope.postMessage({
      type: 'failed',
      job: data.job,
      message: error instanceof Error ? error.message : String(error),
    });
  });
});
