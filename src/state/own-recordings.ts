/** Own recordings: brought, kept in this browser, changed, removed with a way back. Nothing leaves the machine. */
import { effect, signal } from '@preact/signals-core';
import { WavError } from '../../shared/audio/wav-error.ts';
import { writeWav } from '../../shared/audio/wav-write.ts';
import { chooseTake } from '../../shared/document/edits/sheet.ts';
import { guessRoles } from '../../shared/take/own/guess-channels.ts';
import { type OwnTake, SHORTEST } from '../../shared/take/own/own-take.ts';
import { words } from '../words/recordings-words.ts';
import { type NewRecording, openRecording } from '../workers/recordings-client.ts';
import { isAbort } from '../workers/worker-client.ts';
import { notices, notify } from './notices.ts';
import { editSheet, heard, store } from './page.ts';
import { fileOf, forget, keepAbout, keepTake, readShelf } from './recording-shelf.ts';

export interface BringJob {
  id: number;
  name: string;
  /** 0 to 1. */
  part: number;
  cancel: () => void;
}
export interface Problem {
  id: number;
  text: string;
  action?: { label: string; run: () => void };
}

export const ownTakes = signal<readonly OwnTake[]>([]);
/** The shelf has been read. */
export const shelfRead = signal(false);
export const bringing = signal<readonly BringJob[]>([]);
export const problems = signal<readonly Problem[]>([]);
/** Bytes this page uses and may use; null: the browser does not say. */
export const storage = signal<{ used: number; quota: number } | null>(null);

/** A long recording plays its first part until it is trimmed otherwise, s: six strings of it are 70 MB. */
const FIRST_PART = 60;

let last = 0;

export const dismissProblem = (id: number): void => {
  problems.value = problems.peek().filter(problem => problem.id !== id);
};
export function report(text: string, action?: Problem['action']): void {
  const id = ++last;
  problems.value = [...problems.peek().slice(-5), action ? { id, text, action } : { id, text }];
}

async function measure(): Promise<void> {
  try {
    const { usage = 0, quota = 0 } = await navigator.storage.estimate();
    storage.value = { used: usage, quota };
  } catch {
    storage.value = null;
  }
}

/** `name`, with a number if another take already has it. */
function freeName(name: string): string {
  const used = new Set(ownTakes.peek().map(take => take.name));
  if (!used.has(name)) return name;
  for (let i = 2; ; i++) if (!used.has(`${name} ${i}`)) return `${name} ${i}`;
}

/** Files that the browser would not keep: they last as long as the page. */
const unkept = new Map<string, Blob>();

/** The kept file of a take. */
export const keptFile = (take: OwnTake) => async (): Promise<Blob> => {
  const file = unkept.get(take.id) ?? (await fileOf(take.id));
  if (!file) throw new Error(words.gone(take.name));
  return file;
};

/** An id that no other take has; `crypto.randomUUID` is missing on pages that are not secure. */
export const newId = (): string =>
  `own-${Array.from(crypto.getRandomValues(new Uint8Array(8)), byte => byte.toString(16).padStart(2, '0')).join('')}`;

const nameFor = (file: string): string => file.replace(/\.[^.]{1,5}$/, '').slice(0, 60) || file.slice(0, 60);

/** Puts an opened recording on the shelf and chooses it. */
async function keep(
  id: string,
  file: Blob,
  fileName: string | null,
  name: string,
  recording: NewRecording,
): Promise<void> {
  const { sampleRate, frames, notes } = recording;
  const take: OwnTake = {
    id,
    name: freeName(name),
    file: fileName,
    added: Date.now(),
    sampleRate,
    frames,
    size: file.size,
    notes: frames / sampleRate > FIRST_PART ? [...notes, words.firstPart(FIRST_PART)] : notes,
    trim: { from: 0, to: Math.min(frames / sampleRate, FIRST_PART) },
    pitches: recording.heard.map(one => one?.low ?? null),
    roles: guessRoles(recording.heard, heard.peek().instrument),
    through: { kind: 'unknown' },
    maximumLift: 30,
    corner: null,
  };
  try {
    await keepTake(take, file);
    // asked for where there is something to lose; browsers decide by themselves or ask the person
    void navigator.storage?.persist?.().catch(() => false);
  } catch {
    unkept.set(id, file);
    report(words.notKept(fileName ?? name));
  }
  ownTakes.value = [...ownTakes.peek(), take];
  choose(id);
  void measure();
}

/** Opens files one after the other and keeps those that can be read; each that cannot is reported by its name. */
export async function bring(files: readonly File[]): Promise<void> {
  await Promise.all(files.map(file => bringOne(file)));
}

let turn: Promise<unknown> = Promise.resolve();
function bringOne(file: File, allowCut = false): Promise<void> {
  const id = ++last;
  const request = new AbortController();
  const done = () => {
    bringing.value = bringing.peek().filter(job => job.id !== id);
  };
  bringing.value = [...bringing.peek(), { id, name: file.name, part: 0, cancel: () => request.abort() }];
  const work = async () => {
    try {
      const takeId = newId();
      const opened = await openRecording(takeId, file, file.name, {
        allowCut,
        signal: request.signal,
        onProgress: part => {
          bringing.value = bringing.peek().map(job => (job.id === id ? { ...job, part: 0.9 * part } : job));
        },
      });
      if (request.signal.aborted) return;
      await keep(takeId, file, file.name, nameFor(file.name), opened);
    } catch (error) {
      if (request.signal.aborted || isAbort(error)) return;
      const text = error instanceof Error ? error.message : String(error);
      if (error instanceof WavError && error.readable > 0)
        report(text, { label: words.openCut(error.readable), run: () => void bringOne(file, true) });
      else report(text);
    } finally {
      done();
    }
  };
  const result = turn.then(work);
  turn = result;
  return result;
}

/** Keeps what was recorded in the page, as a WAV file of 32-bit floats. */
export async function keepRecorded(
  channels: readonly Float32Array[],
  sampleRate: number,
): Promise<'kept' | 'too short' | 'failed'> {
  if ((channels[0]?.length ?? 0) < SHORTEST * sampleRate) return 'too short';
  const name = words.recordedName(ownTakes.peek().filter(take => take.file === null).length + 1);
  try {
    const id = newId();
    const blob = new Blob([writeWav(channels, { sampleRate, bits: '32f' })], { type: 'audio/wav' });
    await keep(id, blob, null, name, await openRecording(id, blob, name));
    return unkept.has(id) ? 'failed' : 'kept';
  } catch (error) {
    report(error instanceof Error ? error.message : String(error));
    return 'failed';
  }
}

export function choose(id: string): void {
  editSheet(words.chooseStep, sheet => chooseTake(sheet, id));
}

export function change(id: string, part: Partial<Omit<OwnTake, 'id'>>): void {
  const before = ownTakes.peek().find(take => take.id === id);
  if (!before) return;
  const after = { ...before, ...part };
  ownTakes.value = ownTakes.peek().map(take => (take.id === id ? after : take));
  if (!unkept.has(id)) keepAbout(after).catch(() => report(words.noRoom(after.name)));
}

/** Removed takes by the text of the notice that offers them back; gone for good when it is. */
const offered = new Map<string, OwnTake>();

export function remove(id: string): void {
  const take = ownTakes.peek().find(one => one.id === id);
  if (!take) return;
  ownTakes.value = ownTakes.peek().filter(one => one.id !== id);
  keepAbout(take, true).catch(() => undefined);
  const text = words.removed(take.name);
  const wasChosen = store.sheet.peek().take === id;
  offered.set(text, take);
  notify(text, 'note', {
    label: words.bringBack,
    run: () => {
      offered.delete(text);
      ownTakes.value = [...ownTakes.peek(), take].sort((a, b) => a.added - b.added);
      keepAbout(take).catch(() => undefined);
      if (wasChosen) choose(id);
    },
  });
}

/** Reads the shelf, and lets removed takes go with the notice that offers them back. */
export function startOwnRecordings(): Promise<void> {
  const read = readShelf()
    .then(
      ({ takes, damaged }) => {
        ownTakes.value = [...takes, ...ownTakes.peek()];
        if (damaged > 0) report(words.damaged(damaged));
      },
      () => report(words.noShelf),
    )
    .finally(() => {
      shelfRead.value = true;
      void measure();
    });
  effect(() => {
    const shown = new Set(notices.value.map(notice => notice.text));
    for (const [text, take] of offered) {
      if (shown.has(text)) continue;
      // what runs when the notice is answered comes first
      setTimeout(() => {
        if (!offered.delete(text)) return;
        unkept.delete(take.id);
        forget(take.id)
          .catch(() => undefined)
          .finally(() => void measure());
      });
    }
  });
  return read;
}
