/**
 * Renders files off the main thread, take by take: the strings' forces through each build's kernels into WAV files and,
 * where there are several, one ZIP. It is ended by ending the worker.
 */
import './take-engine.ts';
import { Zip, ZipPassThrough } from 'fflate';
import type { TestPoint } from '../../shared/document/build.ts';
import {
  type FileOptions,
  type Forces,
  type LetteredBuild,
  type NamedTake,
  type RenderedFile,
  renderGroup,
} from '../files/render-files.ts';

export type ToRenderWorker =
  | { type: 'start'; options: FileOptions; points: TestPoint[]; zipName: string; single: boolean }
  | {
      type: 'take';
      take: NamedTake;
      builds: LetteredBuild[];
      /** Forces of the take, and for each build which of them are its own. */
      forces: Forces[];
      forcesOf: number[];
    }
  | { type: 'end' };
export type FromRenderWorker =
  /** Part of the present take that is done. */
  | { type: 'progress'; part: number; name: string }
  /** The take is done; the next may come. */
  | { type: 'next' }
  | { type: 'done'; name: string; bytes: Uint8Array<ArrayBuffer>[]; files: number; lowered: number }
  | { type: 'failed'; message: string };

const scope = self as unknown as { postMessage(message: FromRenderWorker, transfer?: Transferable[]): void };

let start: Extract<ToRenderWorker, { type: 'start' }> | null = null;
const chunks: Uint8Array<ArrayBuffer>[] = [];
const names = new Map<string, number>();
let lone: RenderedFile | null = null;
let files = 0;
let lowered = 0;
let problem: Error | null = null;
const zip = new Zip((error, data) => {
  if (error) problem = error;
  else if (data.length > 0) chunks.push(data as Uint8Array<ArrayBuffer>);
});

/** The name, or the name with a number where an earlier file has it already. */
function free(name: string): string {
  const times = (names.get(name) ?? 0) + 1;
  names.set(name, times);
  return times === 1 ? name : name.replace(/\.wav$/, `_${times}.wav`);
}

function renderTake({ take, builds, forces, forcesOf }: Extract<ToRenderWorker, { type: 'take' }>): void {
  if (!start) throw new Error('nothing was started');
  const { options, points, single } = start;
  points.forEach((point, p) => {
    const made = renderGroup(
      builds,
      build => forces[forcesOf[builds.findIndex(one => one.build === build)]],
      take,
      point,
      options,
      (one, part) => {
        const at = (p + (builds.indexOf(one) + part) / builds.length) / points.length;
        scope.postMessage({ type: 'progress', part: at, name: `${one.letter}, ${take.name}, ${point}` });
      },
    );
    for (const file of made) {
      files++;
      lowered = Math.max(lowered, file.lowered);
      if (single) {
        lone = file;
        continue;
      }
      // sound hardly compresses: stored as it is
      const entry = new ZipPassThrough(free(file.name));
      zip.add(entry);
      entry.push(file.bytes, true);
      if (problem) throw problem;
    }
  });
}

function finish(): void {
  if (!start || files === 0) throw new Error('none of the chosen builds can play the chosen takes');
  if (!lone) {
    zip.end();
    if (problem) throw problem;
  }
  const bytes = lone ? [lone.bytes] : chunks;
  const name = lone ? lone.name : `${start.zipName}.zip`;
  scope.postMessage({ type: 'done', name, bytes, files, lowered }, [...new Set(bytes.map(chunk => chunk.buffer))]);
}

addEventListener('message', ({ data }: MessageEvent<ToRenderWorker>) => {
  try {
    if (data.type === 'start') start = data;
    else if (data.type === 'take') {
      renderTake(data);
      scope.postMessage({ type: 'next' });
    } else finish();
  } catch (error) {
    scope.postMessage({ type: 'failed', message: error instanceof Error ? error.message : String(error) });
  }
});
