/**
 * Reads one recording at a time: guesses its strings, prepares it for listening, estimates. A WAV file is read where it
 * is needed, part by part; what the browser decoded is handed over whole.
 */
import { type ByteSource, readFrames, readWavHeader, replacedNotes } from '../../shared/audio/wav.ts';
import { WavError } from '../../shared/audio/wav-error.ts';
import type { Instrument, StringSpec } from '../../shared/document/build.ts';
import { type Estimate, estimateSteps } from '../../shared/take/estimate/estimate.ts';
import { type Heard, pitchesOf, pitchPieces } from '../../shared/take/own/guess-channels.ts';
import type { OwnTake } from '../../shared/take/own/own-take.ts';
import { type PreparedTake, prepareSteps } from '../../shared/take/own/prepare.ts';
import { words } from '../words/recordings-words.ts';
import { serve } from './serve.ts';

/** What is known of an open recording. */
export interface Opened {
  channels: number;
  frames: number;
  /** Hz. */
  sampleRate: number;
  /** What was odd about the file, as sentences. */
  notes: string[];
}
interface Decoded {
  channels: Float32Array[];
  sampleRate: number;
}
/** A channel (0 the first) that holds one string. */
export interface EstimatedString {
  channel: number;
  string: number;
  spec: StringSpec;
}
export type RecordingJobs = {
  open: { ask: { id: string; file: Blob; name: string; allowCut: boolean }; answer: Opened };
  /** Takes decoded samples over. */
  hold: { ask: { id: string } & Decoded; answer: Opened };
  pitches: { ask: { id: string }; answer: (Heard | null)[] };
  prepare: { ask: { take: OwnTake; instrument: Instrument; sampleRate: number }; answer: PreparedTake };
  estimate: { ask: { take: OwnTake; strings: EstimatedString[] }; answer: Estimate };
};

/** Exists in workers only, so the page's types do not know it. */
declare const FileReaderSync: new () => { readAsArrayBuffer(blob: Blob): ArrayBuffer };

/** The header and most small chunks lie here; read once. */
const HEAD = 2 ** 16;

/** A file read where it is asked for; only workers have the reader that waits. */
function blobSource(file: Blob, name: string): ByteSource {
  const read = (start: number, end: number) => {
    try {
      return new Uint8Array(new FileReaderSync().readAsArrayBuffer(file.slice(start, end)));
    } catch {
      // a file that moved, changed or may not be read any more
      throw new WavError(words.unreadable(name));
    }
  };
  const head = read(0, HEAD);
  return { size: file.size, read: (start, end) => (end <= head.length ? head.slice(start, end) : read(start, end)) };
}

interface Held extends Opened {
  id: string;
  part(from: number, to: number): Float32Array[];
}
let held: Held | null = null;

function heldAs(id: string): Held {
  if (held?.id !== id) throw new Error(words.notOpen);
  return held;
}
const opened = ({ channels, frames, sampleRate, notes }: Held): Opened => ({ channels, frames, sampleRate, notes });

serve<RecordingJobs>({
  *open({ id, file, name, allowCut }) {
    const source = blobSource(file, name);
    const header = readWavHeader(source, { name, allowCut });
    const { frames, sampleRate } = header;
    let replaced = 0;
    // only floats can be no number; they are looked through, and nothing of them is kept
    const step = header.layout.format === 'float' ? Math.ceil(2 ** 20 / header.layout.channels) : frames;
    for (let at = 0; at < frames && header.layout.format === 'float'; at += step) {
      replaced += readFrames(source, header, at, at + step, name).replaced;
      yield Math.min(1, (at + step) / frames);
    }
    const notes = [...header.notes, ...replacedNotes(replaced)];
    const part = (from: number, to: number) => readFrames(source, header, from, to, name).channels;
    held = { id, channels: header.layout.channels, frames, sampleRate, notes, part };
    return opened(held);
  },
  hold({ id, channels, sampleRate }) {
    const part = (from: number, to: number) => channels.map(channel => channel.subarray(from, to));
    held = { id, channels: channels.length, frames: channels[0].length, sampleRate, notes: [], part };
    return opened(held);
  },
  *pitches({ id }) {
    const { channels, frames, sampleRate, part } = heldAs(id);
    const pieces: Float32Array[][] = [];
    for (const [from, to] of pitchPieces(frames, sampleRate)) pieces.push(part(from, to));
    const heard: (Heard | null)[] = [];
    for (let c = 0; c < channels; c++) {
      heard.push(
        pitchesOf(
          pieces.map(piece => piece[c]),
          sampleRate,
        ),
      );
      yield (c + 1) / channels;
    }
    return heard;
  },
  *prepare({ take, instrument, sampleRate }, { transfer }) {
    const prepared = yield* prepareSteps(take, heldAs(take.id).part, instrument, sampleRate);
    transfer(...prepared.channels.map(channel => channel.buffer));
    return prepared;
  },
  *estimate({ take, strings }) {
    const { part, sampleRate } = heldAs(take.id);
    const channels = part(Math.round(take.trim.from * sampleRate), Math.round(take.trim.to * sampleRate));
    return yield* estimateSteps(
      strings.map(({ channel, string, spec }) => ({ samples: channels[channel], string, spec })),
      sampleRate,
    );
  },
});
