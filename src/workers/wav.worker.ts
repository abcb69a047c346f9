/** Opens one WAV file, piece by piece, so that a long one never stands in memory twice. Ended by being terminated. */
import {
  type ByteSource,
  finishWav,
  readWavHeader,
  type Wav,
  WavError,
  type WavOptions,
  wavChannels,
} from '../../shared/audio/wav.ts';
import { decodeSamples } from '../../shared/audio/wav-samples.ts';

export interface ToWavWorker {
  file: Blob;
  options: WavOptions;
}
export type FromWavWorker =
  | { type: 'progress'; part: number }
  | { type: 'done'; wav: Wav }
  | { type: 'failed'; message: string; readable: number };

/** Exists in workers only, so the page's types do not know it. */
declare const FileReaderSync: new () => { readAsArrayBuffer(blob: Blob): ArrayBuffer };

const scope = self as unknown as { postMessage(message: FromWavWorker, transfer?: Transferable[]): void };

/** Bytes decoded at a time. */
const PIECE = 4 * 2 ** 20;
/** The header and most small chunks lie here; read once. */
const HEAD = 2 ** 16;

/** A file read where it is asked for; only workers have the reader that waits. */
function blobSource(file: Blob): ByteSource {
  const read = (start: number, end: number) =>
    new Uint8Array(new FileReaderSync().readAsArrayBuffer(file.slice(start, end)));
  const head = read(0, HEAD);
  return { size: file.size, read: (start, end) => (end <= head.length ? head.slice(start, end) : read(start, end)) };
}

async function open({ file, options }: ToWavWorker): Promise<void> {
  const header = readWavHeader(blobSource(file), options);
  const channels = wavChannels(header, options.name);
  const { blockAlign } = header.layout;
  const framesAtOnce = Math.max(1, Math.floor(PIECE / blockAlign));
  let replaced = 0;
  for (let at = 0; at < header.frames; at += framesAtOnce) {
    const frames = Math.min(framesAtOnce, header.frames - at);
    const start = header.dataStart + at * blockAlign;
    const bytes = new Uint8Array(await file.slice(start, start + frames * blockAlign).arrayBuffer());
    replaced += decodeSamples(bytes, header.layout, channels, at, frames);
    scope.postMessage({ type: 'progress', part: (at + frames) / header.frames });
  }
  const wav = finishWav(header, channels, replaced);
  scope.postMessage(
    { type: 'done', wav },
    channels.map(channel => channel.buffer as ArrayBuffer),
  );
}

addEventListener('message', ({ data }: MessageEvent<ToWavWorker>) => {
  open(data).catch((error: unknown) => {
    const known = error instanceof WavError;
    // What is left is the browser's: a file that moved, changed or may not be read any more.
    const name = data.options.name ?? 'The file';
    const message = known ? error.message : `${name} could not be read. Check that it is still there, then try again.`;
    scope.postMessage({ type: 'failed', message, readable: known ? error.readable : 0 });
  });
});
