/** WAV files opened off the main thread, one after the other. */
import { type Wav, WavError } from '../../shared/audio/wav.ts';
import type { FromWavWorker, ToWavWorker } from './wav.worker.ts';

export interface OpenOptions {
  /** What messages call the file; by default its own name. */
  name?: string;
  /** Open what is there of a file that ends too early. */
  allowCut?: boolean;
  /** Aborting ends the work at once; the promise rejects with an AbortError. */
  signal?: AbortSignal;
  /** Part done, 0 to 1. */
  onProgress?: (part: number) => void;
}

/** The last file in the queue; the next waits for it, so that two long ones do not fill the memory together. */
let queue: Promise<unknown> = Promise.resolve();

/** Opens a WAV file. Rejects with a WavError that says what was wrong, or with an AbortError. */
export function openWav(file: File, options: OpenOptions = {}): Promise<Wav> {
  const opened = queue.then(() => decode(file, options));
  queue = opened.catch(() => {});
  return opened;
}

function decode(file: File, { name = file.name, allowCut = false, signal, onProgress }: OpenOptions): Promise<Wav> {
  return new Promise((resolve, reject) => {
    const aborted = () => reject(new DOMException('opening was cancelled', 'AbortError'));
    if (signal?.aborted) {
      aborted();
      return;
    }
    const worker = new Worker(new URL('./wav.worker.ts', import.meta.url), { type: 'module' });
    const end = () => {
      worker.terminate();
      signal?.removeEventListener('abort', abort);
    };
    const abort = () => {
      end();
      aborted();
    };
    signal?.addEventListener('abort', abort);
    worker.onmessage = ({ data }: MessageEvent<FromWavWorker>) => {
      if (data.type === 'progress') {
        onProgress?.(data.part);
        return;
      }
      end();
      if (data.type === 'done') resolve(data.wav);
      else reject(new WavError(data.message, data.readable));
    };
    worker.onerror = event => {
      event.preventDefault();
      end();
      reject(
        new WavError(`${name} could not be opened: this device ran out of memory or the reader failed. Try again.`),
      );
    };
    worker.postMessage({ file, options: { name, allowCut } } satisfies ToWavWorker);
  });
}
