/**
 * Makes files off the main thread. Several of these workers render and write the sounds of an order; one of them, alone,
 * gathers the files into a ZIP.
 */
import { Zip, ZipPassThrough } from 'fflate';
import type { TestPoint } from '../../shared/document/build.ts';
import {
  type FileTitle,
  type Forces,
  type LetteredBuild,
  type RenderedFile,
  renderSound,
  type Sound,
  writeSound,
} from '../files/render-files.ts';
import { serve } from './serve.ts';
import { engineTaken } from './take-engine.ts';

export type RenderJobs = {
  sound: { ask: { one: LetteredBuild; forces: Forces; point: TestPoint }; answer: Sound };
  write: {
    ask: { sound: Sound; level: { gain: number; lowered: number; length: number }; title: FileTitle };
    answer: RenderedFile;
  };
  add: { ask: { name: string; bytes: Uint8Array<ArrayBuffer> }; answer: null };
  /** The ZIP in pieces. */
  end: { ask: null; answer: Uint8Array<ArrayBuffer>[] };
};

const chunks: Uint8Array<ArrayBuffer>[] = [];
let problem: Error | null = null;
const zip = new Zip((error, data) => {
  if (error) problem = error;
  else if (data.length > 0) chunks.push(data as Uint8Array<ArrayBuffer>);
});

serve<RenderJobs>({
  async sound({ one, forces, point }, { progress, transfer }) {
    await engineTaken();
    const sound = renderSound(one, forces, point, progress);
    transfer(...sound.outputs.map(output => output.buffer));
    return sound;
  },
  write({ sound, level, title }, { transfer }) {
    const file = writeSound(sound, level, title);
    transfer(file.bytes.buffer);
    return file;
  },
  add({ name, bytes }) {
    // sound hardly compresses: stored as it is
    const entry = new ZipPassThrough(name);
    zip.add(entry);
    entry.push(bytes, true);
    if (problem) throw problem;
    return null;
  },
  end(_, { transfer }) {
    zip.end();
    if (problem) throw problem;
    transfer(...new Set(chunks.map(chunk => chunk.buffer)));
    return chunks;
  },
});
