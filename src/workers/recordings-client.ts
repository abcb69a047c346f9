/** Own recordings on the page: files opened, and their samples prepared, guessed and estimated in one worker. */
import type { Instrument, StringSpec } from '../../shared/document/build.ts';
import type { Estimate } from '../../shared/take/own/estimate-channel.ts';
import type { Heard } from '../../shared/take/own/guess-channels.ts';
import { headerRate } from '../../shared/take/own/header-rate.ts';
import { type OwnTake, soundKey } from '../../shared/take/own/own-take.ts';
import type { PreparedTake } from '../../shared/take/own/prepare.ts';
import { decodeCompressed } from '../audio/context.ts';
import { words } from '../words/recordings-words.ts';
import type { FromRecordingsWorker, ToRecordingsWorker } from './recordings.worker.ts';
import { openWav } from './wav-client.ts';

export interface OpenedRecording {
  channels: Float32Array[];
  /** Hz. */
  sampleRate: number;
  notes: string[];
}

export interface WorkOptions {
  signal?: AbortSignal | undefined;
  /** Part done, 0 to 1. */
  onProgress?: ((part: number) => void) | undefined;
}

const HEAD = 2 ** 18;
/** Longest compressed file that is tried, bytes: it is decoded in one piece. */
const LONGEST = 400e6;
const MOST_CHANNELS = 12;
/** Used where a compressed file does not say its rate, Hz. */
const USUAL_RATE = 48000;

const abortError = (): Error => new DOMException('the work was cancelled', 'AbortError');

const isWav = (head: Uint8Array): boolean =>
  /^(RIFF|RIFX|RF64|BW64)$/.test(String.fromCharCode(...head.subarray(0, 4)));

/** Channels of a file of a kind that is not known here, if the browser can decode it; null: it cannot. */
async function decodeOther(
  file: Blob,
  bytes: (from: number, to: number) => Promise<Uint8Array>,
): Promise<Float32Array[] | null> {
  if (file.size === 0 || file.size > LONGEST) return null;
  try {
    const channels = await decodeCompressed((await bytes(0, file.size)).buffer as ArrayBuffer, USUAL_RATE);
    return (channels[0]?.length ?? 0) > 0 && channels.length <= MOST_CHANNELS ? channels : null;
  } catch {
    return null;
  }
}

/** Opens a recording of any kind. Rejects with an Error whose message names the file, or with an AbortError. */
export async function openRecording(
  file: Blob,
  name: string,
  { signal, onProgress, allowCut = false }: WorkOptions & { allowCut?: boolean } = {},
): Promise<OpenedRecording> {
  const bytes = async (from: number, to: number) => {
    try {
      return new Uint8Array(await file.slice(from, to).arrayBuffer());
    } catch {
      throw new Error(words.unreadable(name));
    }
  };
  const head = await bytes(0, HEAD);
  const known = headerRate(head, await bytes(Math.max(0, file.size - HEAD), file.size));
  if (signal?.aborted) throw abortError();
  if (known === null) {
    const other = isWav(head) ? null : await decodeOther(file, bytes);
    if (other) return { channels: other, sampleRate: USUAL_RATE, notes: [words.rateUnknown(USUAL_RATE)] };
    const { channels, sampleRate, notes } = await openWav(file as File, {
      name,
      allowCut,
      ...(signal && { signal }),
      ...(onProgress && { onProgress }),
    });
    return { channels, sampleRate, notes };
  }
  if (file.size > LONGEST) throw new Error(words.tooLong(name));
  const rate = known.sampleRate ?? USUAL_RATE;
  const whole = await bytes(0, file.size);
  let channels: Float32Array[];
  try {
    channels = await decodeCompressed(whole.buffer as ArrayBuffer, rate);
  } catch {
    throw new Error(words.cannotDecode(name, known.format));
  }
  if (signal?.aborted) throw abortError();
  if ((channels[0]?.length ?? 0) === 0) throw new Error(words.nothingInside(name, known.format));
  if (channels.length > MOST_CHANNELS) throw new Error(words.tooManyChannels(name, channels.length));
  onProgress?.(1);
  return { channels, sampleRate: rate, notes: known.sampleRate === null ? [words.rateUnknown(USUAL_RATE)] : [] };
}

interface Waiter {
  resolve: (data: FromRecordingsWorker) => void;
  reject: (error: Error) => void;
  onProgress: ((part: number) => void) | undefined;
}

let worker: Worker | null = null;
/** The recording whose samples the worker holds. */
let held: string | null = null;
let nextJob = 1;
const waiting = new Map<number, Waiter>();
let queue: Promise<unknown> = Promise.resolve();

function theWorker(): Worker {
  if (worker) return worker;
  worker = new Worker(new URL('./recordings.worker.ts', import.meta.url), { type: 'module' });
  worker.onmessage = ({ data }: MessageEvent<FromRecordingsWorker>) => {
    const waiter = waiting.get(data.job);
    if (!waiter) return;
    if (data.type === 'progress') {
      waiter.onProgress?.(data.part);
      return;
    }
    waiting.delete(data.job);
    if (data.type === 'failed') waiter.reject(new Error(data.message));
    else waiter.resolve(data);
  };
  worker.onerror = event => {
    event.preventDefault();
    worker?.terminate();
    worker = null;
    held = null;
    for (const waiter of waiting.values()) waiter.reject(new Error(words.outOfMemory));
    waiting.clear();
  };
  return worker;
}

const post = (message: ToRecordingsWorker, transfer: Transferable[] = []) => theWorker().postMessage(message, transfer);

/** Hands decoded samples over to the worker; they are gone here. */
export function hold(id: string, { channels, sampleRate }: OpenedRecording): void {
  held = id;
  const transfer = channels.map(channel => channel.buffer as ArrayBuffer);
  post({ type: 'load', id, channels, sampleRate }, transfer);
}

/** Runs `work` while the worker holds the samples of `id`, one after the other. */
export function withSamples<T>(id: string, open: () => Promise<OpenedRecording>, work: () => Promise<T>): Promise<T> {
  const run = queue.then(async () => {
    theWorker();
    if (held !== id) hold(id, await open());
    return work();
  });
  queue = run.catch(() => {});
  return run;
}

type Ask = ToRecordingsWorker extends infer M ? (M extends { job: number } ? Omit<M, 'job'> : never) : never;

function ask(message: Ask, { signal, onProgress }: WorkOptions = {}): Promise<FromRecordingsWorker> {
  return new Promise((resolve, reject) => {
    if (signal?.aborted) {
      reject(abortError());
      return;
    }
    const job = nextJob++;
    waiting.set(job, { resolve, reject, onProgress });
    signal?.addEventListener(
      'abort',
      () => {
        if (!waiting.delete(job)) return;
        post({ type: 'cancel', job });
        reject(abortError());
      },
      { once: true },
    );
    post({ ...message, job } as ToRecordingsWorker);
  });
}

/** Pitches in each channel of the recording that the worker holds. */
export async function pitchesHeld(id: string, options: WorkOptions = {}): Promise<(Heard | null)[]> {
  const answer = await ask({ type: 'pitches', id }, options);
  return answer.type === 'pitches' ? answer.heard : [];
}

/** Prepared takes kept; about 70 MB a minute of six strings. */
const KEPT = 3;
const kept = new Map<string, PreparedTake>();

/** The recording as bridge forces on the strings of an instrument; computed once for each take and setting. */
export function loadOwnTake(
  take: OwnTake,
  open: () => Promise<OpenedRecording>,
  instrument: Instrument,
  sampleRate: number,
  options: WorkOptions = {},
): Promise<PreparedTake> {
  const key = soundKey(take, instrument, sampleRate);
  const known = kept.get(key);
  if (known) {
    kept.delete(key);
    kept.set(key, known);
    return Promise.resolve(known);
  }
  return withSamples(take.id, open, async () => {
    if (options.signal?.aborted) throw abortError();
    const answer = await ask({ type: 'prepare', take, instrument, sampleRate }, options);
    if (answer.type !== 'prepared') throw new Error(words.outOfMemory);
    kept.set(key, answer.take);
    if (kept.size > KEPT) kept.delete(kept.keys().next().value!);
    return answer.take;
  });
}

/** Where pickup and pluck were, from the notes of one channel. */
export function estimateOwnTake(
  take: OwnTake,
  open: () => Promise<OpenedRecording>,
  channel: number,
  string: number,
  spec: StringSpec,
): Promise<Estimate> {
  return withSamples(take.id, open, async () => {
    const answer = await ask({ type: 'estimate', take, channel, string, spec });
    if (answer.type !== 'estimated') throw new Error(words.outOfMemory);
    return answer.estimate;
  });
}
