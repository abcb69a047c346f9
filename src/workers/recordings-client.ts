/** Own recordings on the page: files opened, prepared, guessed and estimated, all in one worker. */
import { WavError } from '../../shared/audio/wav-error.ts';
import type { Instrument } from '../../shared/document/build.ts';
import type { Estimate } from '../../shared/take/estimate/estimate.ts';
import { type CompressedHeader, compressedHeader } from '../../shared/take/own/compressed-header.ts';
import type { Heard } from '../../shared/take/own/guess-channels.ts';
import { type OwnTake, soundKey } from '../../shared/take/own/own-take.ts';
import type { PreparedTake } from '../../shared/take/own/prepare.ts';
import { decodeCompressed } from '../audio/context.ts';
import { words } from '../words/recordings-words.ts';
import type { EstimatedString, Opened, RecordingJobs } from './recordings.worker.ts';
import workerUrl from './recordings.worker.ts?worker&url';
import { Remembered } from './remembered.ts';
import { startWorker } from './start-worker.ts';
import { type AskOptions, abortError, WorkerClient } from './worker-client.ts';

type Options = Pick<AskOptions, 'signal' | 'onProgress'>;

/** A kept recording and how to get at its file. */
export interface Source {
  id: string;
  /** What messages call it. */
  name: string;
  file: () => Promise<Blob>;
}

const HEAD = 2 ** 18;
/** Longest compressed file that is tried, bytes: it is decoded in one piece. */
const LONGEST = 400e6;
/** Most samples over all channels of a compressed file: the browser decodes it whole, 480 MB of them. */
const MOST_SAMPLES = 120e6;
const MOST_CHANNELS = 12;
/** Used where a compressed file does not say its rate, Hz. */
const USUAL_RATE = 48000;

const worker = new WorkerClient<RecordingJobs>(() => startWorker(workerUrl));

const isWav = (head: Uint8Array): boolean =>
  /^(RIFF|RIFX|RF64|BW64)$/.test(String.fromCharCode(...head.subarray(0, 4)));

/** Refuses what would unpack to more than this device should be asked for, before anything is unpacked. */
function checkSize(name: string, { channels, seconds, sampleRate }: CompressedHeader): void {
  const rate = sampleRate ?? USUAL_RATE;
  if (channels !== null && channels > MOST_CHANNELS) throw new Error(words.tooManyChannels(name, channels));
  if (seconds !== null && seconds * rate * (channels ?? 2) > MOST_SAMPLES)
    throw new Error(words.unpacksTooLong(name, seconds, channels ?? 2, MOST_SAMPLES / (channels ?? 2) / rate));
}

/** A compressed file as the browser decodes it; null: of no known kind, and it cannot. */
async function decode(file: Blob, name: string, header: CompressedHeader | null): Promise<Float32Array[] | null> {
  if (header) checkSize(name, header);
  if (file.size === 0 || file.size > LONGEST) {
    if (header) throw new Error(words.tooLong(name));
    return null;
  }
  let channels: Float32Array[];
  try {
    channels = await decodeCompressed(await file.arrayBuffer(), header?.sampleRate ?? USUAL_RATE);
  } catch {
    if (header) throw new Error(words.cannotDecode(name, header.format));
    return null;
  }
  if ((channels[0]?.length ?? 0) === 0) {
    if (header) throw new Error(words.nothingInside(name, header.format));
    return null;
  }
  if (channels.length > MOST_CHANNELS) throw new Error(words.tooManyChannels(name, channels.length));
  return channels;
}

/** The recording that the worker holds, and which worker. */
let held: { id: string; generation: number; opened: Opened } | null = null;

/** Hands decoded samples over to the worker; they are gone here. */
async function hold(id: string, channels: Float32Array[], sampleRate: number, options: Options = {}): Promise<Opened> {
  const transfer = channels.map(channel => channel.buffer as ArrayBuffer);
  const opened = await worker.ask('hold', { id, channels, sampleRate }, { ...options, transfer });
  held = { id, generation: worker.generation, opened };
  return opened;
}

async function open(id: string, file: Blob, name: string, allowCut: boolean, options: Options): Promise<Opened> {
  const bytes = async (from: number, to: number) => {
    try {
      return new Uint8Array(await file.slice(from, to).arrayBuffer());
    } catch {
      throw new Error(words.unreadable(name));
    }
  };
  const head = await bytes(0, HEAD);
  const known = compressedHeader(head, await bytes(Math.max(0, file.size - HEAD), file.size), file.size);
  if (options.signal?.aborted) throw abortError();
  const decoded = known || !isWav(head) ? await decode(file, name, known) : null;
  if (options.signal?.aborted) throw abortError();
  if (decoded) {
    const opened = await hold(id, decoded, known?.sampleRate ?? USUAL_RATE, options);
    return known?.sampleRate ? opened : { ...opened, notes: [words.rateUnknown(USUAL_RATE)] };
  }
  try {
    const opened = await worker.ask('open', { id, file, name, allowCut }, options);
    held = { id, generation: worker.generation, opened };
    return opened;
  } catch (error) {
    if (error instanceof Error && 'readable' in error) throw new WavError(error.message, Number(error.readable));
    throw error;
  }
}

let queue: Promise<unknown> = Promise.resolve();
/** The worker holds one recording: what needs it runs to its end before the next is opened. */
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const run = queue.then(work);
  queue = run.catch(() => {});
  return run;
}

/** Runs `work` while the worker holds the recording. */
const whileOpen = <T>(source: Source, options: Options, work: () => Promise<T>): Promise<T> =>
  inTurn(async () => {
    if (options.signal?.aborted) throw abortError();
    if (held?.id !== source.id || held.generation !== worker.generation)
      await open(source.id, await source.file(), source.name, true, options);
    return work();
  });

/** A new recording: what it is, and the pitches in each of its channels. */
export interface NewRecording extends Opened {
  heard: (Heard | null)[];
}

/** Opens a file of any kind. Rejects with an Error whose message names the file, or with an AbortError. */
export const openRecording = (
  id: string,
  file: Blob,
  name: string,
  { allowCut = false, ...options }: Options & { allowCut?: boolean } = {},
): Promise<NewRecording> =>
  inTurn(async () => {
    const opened = await open(id, file, name, allowCut, options);
    return { ...opened, heard: await worker.ask('pitches', { id }, { signal: options.signal }) };
  });

/** Prepared takes kept; about 70 MB a minute of six strings. */
const kept = new Remembered<PreparedTake>(3);

/** The recording as bridge forces on the strings of an instrument; computed once for each take and setting. */
export const loadOwnTake = (
  take: OwnTake,
  file: () => Promise<Blob>,
  instrument: Instrument,
  sampleRate: number,
  options: Options = {},
): Promise<PreparedTake> =>
  kept.get(
    soundKey(take, instrument, sampleRate),
    waiting =>
      whileOpen({ id: take.id, name: take.file ?? take.name, file }, waiting, () =>
        worker.ask('prepare', { take, instrument, sampleRate }, waiting),
      ),
    options,
  );

/** Where the pickup and the plucks were, from the notes of all channels that hold one string. */
export const estimateOwnTake = (
  take: OwnTake,
  file: () => Promise<Blob>,
  strings: EstimatedString[],
  options: Options = {},
): Promise<Estimate> =>
  whileOpen({ id: take.id, name: take.file ?? take.name, file }, options, () =>
    worker.ask('estimate', { take, strings }, options),
  );
