/** Computes takes note by note; recordings are fetched and decoded here once. */
import { readWav } from '../../shared/audio/wav.ts';
import type { Instrument } from '../../shared/document/build.ts';
import { type Manifest, recordingOf, type Take } from '../../shared/take/manifest.ts';
import { type Decoded, type RenderedTake, renderTakeSteps } from '../../shared/take/render.ts';
import { fetchBytes } from '../files/fetch-bytes.ts';
import { serve } from './serve.ts';

export interface TakeRequest {
  take: Take;
  manifest: Manifest;
  instrument: Instrument;
  sampleRate: number;
  pluck: number | null;
  /** Absolute address of each recording by file name. */
  addresses: Record<string, string>;
}
export type TakeJobs = { render: { ask: TakeRequest; answer: RenderedTake } };

const decoded = new Map<string, Promise<Decoded>>();

/** A recording, decoded once; a failed one is tried again next time. */
function recording(file: string, address: string): Promise<Decoded> {
  let promise = decoded.get(file);
  if (!promise) {
    promise = fetchBytes(file, address).then(bytes => readWav(bytes));
    decoded.set(file, promise);
    promise.catch(() => decoded.delete(file));
  }
  return promise;
}

serve<TakeJobs>({
  async *render({ take, manifest, instrument, sampleRate, pluck, addresses }, { transfer }) {
    const files = recordingOf(manifest, take)?.channels.map(channel => channel.file) ?? [];
    const recordings = new Map(
      await Promise.all(files.map(async file => [file, await recording(file, addresses[file])] as const)),
    );
    const rendered = yield* renderTakeSteps(take, { manifest, instrument, sampleRate, pluck, recordings });
    transfer(...rendered.channels.map(channel => channel.buffer));
    return rendered;
  },
});
