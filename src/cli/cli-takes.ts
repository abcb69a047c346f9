/** The shipped takes, their recordings, and WAV files as takes: the force of every string on the bridge. */
import { existsSync, readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import { resample } from '../../shared/audio/resample.ts';
import { readWav, type Wav } from '../../shared/audio/wav.ts';
import { WavError } from '../../shared/audio/wav-error.ts';
import type { Build } from '../../shared/document/build.ts';
import type { StringsOf } from '../../shared/document/sheet.ts';
import { asHeard } from '../../shared/take/heard-strings.ts';
import { type Manifest, misfit, parseManifest, recordingOf } from '../../shared/take/manifest.ts';
import { type Decoded, renderTake } from '../../shared/take/render.ts';
import { words } from '../words/take-words.ts';
import { Failure } from './failure.ts';

const sample = (file: string): string => fileURLToPath(new URL(`../../samples/${file}`, import.meta.url));

/** The list of shipped takes. */
const manifest = (): Manifest => parseManifest(JSON.parse(readFileSync(sample('manifest.json'), 'utf8')));

/** A build on the strings that a take is heard on; no take, or a file: its own. */
export const onStringsOf = (build: Build, take: string | null, strings: StringsOf): Build =>
  take === null ? build : asHeard(build, manifest(), take, strings);

/** A line for each take: id, kind, instruments, name, what its sound already contains. */
export const takesText = (list = manifest()): string =>
  list.takes.map(t => `${t.id}\t${t.kind}\t${t.families.join(' ')}\t${t.name}\t${t.contains}\n`).join('');

/** Name of a shipped take; a file's own name otherwise. */
export const takeName = (take: string): string => manifest().takes.find(t => t.id === take)?.name ?? basename(take);

export interface StringForces {
  /** Bridge force of each string, N, string 1 first. */
  channels: Float32Array[];
  sampleRate: number;
}

function decode(path: string): Wav {
  try {
    return readWav(readFileSync(path), { name: path });
  } catch (error) {
    if (error instanceof WavError) throw new Failure(error.message);
    throw new Failure(`cannot read "${path}": ${error instanceof Error ? error.message : String(error)}`);
  }
}

function shippedTake(build: Build, id: string, rate: number): StringForces {
  const list = manifest();
  const take = list.takes.find(t => t.id === id);
  if (!take)
    throw new Failure(
      `there is no take "${id}" and no such file; takes are ${list.takes.map(t => t.id).join(', ')}, or give a WAV file with one channel for each string`,
    );
  const unfit = misfit(list, take, build.instrument);
  if (unfit) throw new Failure(words.misfit(unfit));
  const files = recordingOf(list, take)?.channels.map(c => c.file) ?? [];
  const recordings = new Map<string, Decoded>(files.map(file => [file, decode(sample(file))]));
  const { channels } = renderTake(take, { manifest: list, instrument: build.instrument, sampleRate: rate, recordings });
  return { channels, sampleRate: rate };
}

function fileTake(build: Build, path: string, rate: number | null, string: number | null): StringForces {
  const wav = decode(path);
  const count = build.instrument.strings.length;
  if (wav.channels.length > count)
    throw new Failure(
      `"${path}" has ${wav.channels.length} channels, the instrument ${count} strings; expected one channel for each string, string 1 (the highest) first`,
    );
  if (string !== null && wav.channels.length > 1)
    throw new Failure(`--string is for a file of one channel; "${path}" has ${wav.channels.length}`);
  if (string === null && wav.channels.length === 1 && count > 1)
    throw new Failure(`"${path}" has one channel; say which string it is with --string 1 to ${count}`);
  const sampleRate = rate ?? wav.sampleRate;
  const own = wav.channels.map(c => (sampleRate === wav.sampleRate ? c : resample(c, wav.sampleRate, sampleRate)));
  const silent = new Float32Array(own[0]?.length ?? 0);
  const channels = build.instrument.strings.map(
    (_, i) => own[string === null ? i : i === string - 1 ? 0 : -1] ?? silent,
  );
  return { channels, sampleRate };
}

/**
 * String forces of a shipped take or of a WAV file (full scale stands for 1 N).
 * @param rate Hz; null: the file's own, 48 kHz for a shipped take
 * @param string of a file with one channel, the string it is
 */
export const stringForces = (build: Build, take: string, rate: number | null, string: number | null): StringForces =>
  existsSync(take) || /\.wave?$/i.test(take)
    ? fileTake(build, take, rate, string)
    : shippedTake(build, take, rate ?? 48_000);
