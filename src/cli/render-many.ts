/** `lab render` into a folder: several builds, takes and test points, named and levelled as the page does it. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { type FileOptions, type Forces, type NamedTake, renderGroup } from '../files/render-files.ts';
import { onStringsOf, stringForces, takeName } from './cli-takes.ts';
import { Failure } from './failure.ts';
import type { ReadBuild } from './read-build.ts';

export interface ManyRequest extends FileOptions {
  builds: ReadBuild[];
  takes: string[];
  points: TestPoint[];
  /** Folder to write to; it is made. */
  out: string;
  /** Hz; null: 48 kHz, or a WAV file's own. */
  rate: number | null;
}

/** A shipped take goes by its id, a file by its name. */
function named(take: string): NamedTake {
  const name = takeName(take);
  return /\.wave?$/i.test(take) ? { id: name, name, stem: name.replace(/\.wave?$/i, '') } : { id: take, name };
}

const dB = (x: number): string => (Number.isFinite(x) ? x.toFixed(2) : 'none');

/** Renders and writes; returns a line of CSV for each file. */
export function renderMany(request: ManyRequest): string {
  const { builds, takes, points, out, rate } = request;
  try {
    mkdirSync(out, { recursive: true });
  } catch (error) {
    throw new Failure(`cannot make the folder "${out}": ${error instanceof Error ? error.message : String(error)}`);
  }
  const lines = ['file,loudness_lufs,true_peak_dbtp,gain_db'];
  const taken = new Set<string>();
  for (const take of takes) {
    const heard = builds.map(({ letter, build, strings }) => ({ letter, build: onStringsOf(build, take, strings) }));
    const known = new Map<string, Forces>();
    const forces = (build: Build): Forces => {
      const key = JSON.stringify(build.instrument);
      let found = known.get(key);
      if (!found) known.set(key, (found = stringForces(build, take, rate, null)));
      return found;
    };
    for (const point of points)
      for (const file of renderGroup(heard, forces, named(take), point, request)) {
        let name = file.name;
        for (let n = 2; taken.has(name); n++) name = file.name.replace(/\.wav$/, `_${n}.wav`);
        taken.add(name);
        const path = join(out, name);
        try {
          writeFileSync(path, file.bytes);
        } catch (error) {
          throw new Failure(`cannot write "${path}": ${error instanceof Error ? error.message : String(error)}`);
        }
        lines.push([name, dB(file.loudness), dB(file.peak), dB(file.gain)].join(','));
      }
  }
  return `${lines.join('\n')}\n`;
}
