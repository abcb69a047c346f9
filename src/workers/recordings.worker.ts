/** Keeps the samples of one recording off the main thread: guesses its strings, prepares it for listening, estimates. */
import type { Instrument, StringSpec } from '../../shared/document/build.ts';
import { type Estimate, estimate } from '../../shared/take/own/estimate-channel.ts';
import { type Heard, pitchesOf } from '../../shared/take/own/guess-channels.ts';
import type { OwnTake } from '../../shared/take/own/own-take.ts';
import { type PreparedTake, prepareSteps } from '../../shared/take/own/prepare.ts';

export type ToRecordingsWorker =
  | { type: 'load'; id: string; channels: Float32Array[]; sampleRate: number }
  | { type: 'pitches'; job: number; id: string }
  | { type: 'prepare'; job: number; take: OwnTake; instrument: Instrument; sampleRate: number }
  | { type: 'estimate'; job: number; take: OwnTake; channel: number; string: number; spec: StringSpec }
  | { type: 'cancel'; job: number };
export type FromRecordingsWorker =
  | { type: 'progress'; job: number; part: number }
  | { type: 'pitches'; job: number; heard: (Heard | null)[] }
  | { type: 'prepared'; job: number; take: PreparedTake }
  | { type: 'estimated'; job: number; estimate: Estimate }
  | { type: 'failed'; job: number; message: string };

const scope = self as unknown as { postMessage(message: FromRecordingsWorker, transfer?: Transferable[]): void };
const cancelled = new Set<number>();
let loaded: { id: string; channels: Float32Array[]; sampleRate: number } | null = null;

const breathe = (): Promise<void> =>
  new Promise(resolve => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });

function samplesOf(id: string) {
  if (loaded?.id !== id) throw new Error('the recording is no longer open; try again');
  return loaded;
}

async function prepare({ job, take, instrument, sampleRate }: ToRecordingsWorker & { type: 'prepare' }): Promise<void> {
  const steps = prepareSteps(take, samplesOf(take.id).channels, instrument, sampleRate);
  for (;;) {
    if (cancelled.delete(job)) return;
    const step = steps.next();
    if (step.done) {
      const transfer = step.value.channels.map(channel => channel.buffer as ArrayBuffer);
      scope.postMessage({ type: 'prepared', job, take: step.value }, transfer);
      return;
    }
    scope.postMessage({ type: 'progress', job, part: step.value });
    await breathe();
  }
}

async function answer(data: ToRecordingsWorker): Promise<void> {
  if (data.type === 'load') {
    loaded = data;
  } else if (data.type === 'pitches') {
    const { channels, sampleRate } = samplesOf(data.id);
    scope.postMessage({
      type: 'pitches',
      job: data.job,
      heard: channels.map(channel => pitchesOf(channel, sampleRate)),
    });
  } else if (data.type === 'prepare') {
    await prepare(data);
  } else if (data.type === 'estimate') {
    const { take, channel, string, spec, job } = data;
    const { channels, sampleRate } = samplesOf(take.id);
    const part = channels[channel].subarray(
      Math.round(take.trim.from * sampleRate),
      Math.round(take.trim.to * sampleRate),
    );
    scope.postMessage({ type: 'estimated', job, estimate: estimate(part, sampleRate, spec, string) });
  }
}

addEventListener('message', ({ data }: MessageEvent<ToRecordingsWorker>) => {
  if (data.type === 'cancel') {
    cancelled.add(data.job);
    return;
  }
  answer(data).catch((error: unknown) => {
    if (data.type === 'load') return;
    const message = error instanceof Error ? error.message : String(error);
    scope.postMessage({ type: 'failed', job: data.job, message });
  });
});
