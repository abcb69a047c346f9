/** Un-coloured takes: computed once for each take and setting in a worker, the newest few kept. */
import type {
  FromUncolourWorker,
  RecordedThrough,
  ToUncolourWorker,
  UncolouredChannel,
} from '../workers/uncolour.worker.ts';

export type { RecordedThrough, UncolouredChannel } from '../workers/uncolour.worker.ts';

export interface UncolourRequest {
  /** Names the recording: the same id means the same samples. */
  take: string;
  channels: readonly Float32Array[];
  /** String index of each channel. */
  strings: readonly number[];
  sampleRate: number;
  through: RecordedThrough;
  /** dB; 40 if not given. */
  maximumLift?: number;
}

/** About 12 MB for each minute of a string. */
const KEPT = 4;
const kept = new Map<string, Promise<UncolouredChannel[]>>();

function keyOf({ take, strings, sampleRate, through, maximumLift }: UncolourRequest): string {
  const setting = through.kind === 'build' ? through : [[...through.response.re], [...through.response.im]];
  return JSON.stringify([take, strings, sampleRate, setting, maximumLift]);
}

/**
 * The channels of a take without what they were recorded through. `onProgress` is told the part done, 0 to 1. Aborting
 * `signal` ends the work; the promise rejects with an AbortError, or with a sentence if nothing can be recovered.
 */
export function uncolourTake(
  request: UncolourRequest,
  { signal, onProgress }: { signal?: AbortSignal; onProgress?: (part: number) => void } = {},
): Promise<UncolouredChannel[]> {
  const key = keyOf(request);
  const known = kept.get(key);
  if (known) {
    kept.delete(key);
    kept.set(key, known);
    return known;
  }
  const result = compute(request, signal, onProgress);
  kept.set(key, result);
  if (kept.size > KEPT) kept.delete(kept.keys().next().value!);
  // A failure or a cancelled one is tried again next time.
  result.catch(() => {
    if (kept.get(key) === result) kept.delete(key);
  });
  return result;
}

function compute(
  { channels, strings, sampleRate, through, maximumLift = 40 }: UncolourRequest,
  signal: AbortSignal | undefined,
  onProgress: ((part: number) => void) | undefined,
): Promise<UncolouredChannel[]> {
  return new Promise((resolve, reject) => {
    const aborted = () => reject(new DOMException('un-colouring was cancelled', 'AbortError'));
    if (signal?.aborted) {
      aborted();
      return;
    }
    const worker = new Worker(new URL('../workers/uncolour.worker.ts', import.meta.url), { type: 'module' });
    const found: UncolouredChannel[] = [];
    const end = () => {
      worker.terminate();
      signal?.removeEventListener('abort', abort);
    };
    const abort = () => {
      end();
      aborted();
    };
    signal?.addEventListener('abort', abort);
    worker.onmessage = ({ data }: MessageEvent<FromUncolourWorker>) => {
      if (data.type === 'failed') {
        end();
        reject(new Error(data.message));
        return;
      }
      found[data.index] = data.channel;
      const done = data.index + 1;
      onProgress?.(done / channels.length);
      if (done < channels.length) return;
      end();
      resolve(found);
    };
    worker.onerror = event => {
      event.preventDefault();
      end();
      reject(new Error('the take could not be un-coloured; try a shorter part of it'));
    };
    worker.postMessage({
      channels: [...channels],
      strings: [...strings],
      sampleRate,
      through,
      maximumLift,
    } satisfies ToUncolourWorker);
  });
}
