/**
 * Renders files off the main thread, take by take: the strings' forces through each build's kernels into WAV files and,
 * where there are several, one ZIP.
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
import { words } from '../words/take-words.ts';
import { serve, type Tools } from './serve.ts';

export interface RenderStart {
  options: FileOptions;
  points: TestPoint[];
  /** Name of the ZIP, without its ending. */
  zipName: string;
  /** One file, which needs no ZIP. */
  single: boolean;
}
export interface TakeToRender {
  take: NamedTake;
  builds: LetteredBuild[];
  /** Forces of the take, and for each build which of them are its own. */
  forces: Forces[];
  forcesOf: number[];
}
export interface Rendered {
  name: string;
  bytes: Uint8Array<ArrayBuffer>[];
  files: number;
  /** By how much some take was lowered so that no peak passes the ceiling, dB. */
  lowered: number;
}
export type RenderJobs = {
  start: { ask: RenderStart; answer: null };
  take: { ask: TakeToRender; answer: null };
  end: { ask: null; answer: Rendered };
};

let start: RenderStart | null = null;
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

function renderTake({ take, builds, forces, forcesOf }: TakeToRender, progress: Tools['progress']): void {
  if (!start) throw new RangeError('a take came before the start');
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
        progress(at, `${one.letter}, ${take.name}, ${point}`);
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

function finish(): Rendered {
  if (!start || files === 0) throw new Error(words.nothingPlays);
  if (!lone) {
    zip.end();
    if (problem) throw problem;
  }
  const bytes = lone ? [lone.bytes] : chunks;
  return { name: lone ? lone.name : `${start.zipName}.zip`, bytes, files, lowered };
}

serve<RenderJobs>({
  start(order) {
    start = order;
    return null;
  },
  take(order, { progress }) {
    renderTake(order, progress);
    return null;
  },
  end(_, { transfer }) {
    const rendered = finish();
    transfer(...new Set(rendered.bytes.map(chunk => chunk.buffer)));
    return rendered;
  },
});
