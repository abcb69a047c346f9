/**
 * WAV files of every common kind, whole and damaged: a whole one gives every frame it holds, a damaged one finite samples
 * within what the reader promises, or a refusal in a sentence.
 */
import fc from 'fast-check';
import { readWav, WAV_LIMITS } from '../../shared/audio/wav.ts';
import { WavError } from '../../shared/audio/wav-error.ts';
import { dice } from '../circuit/random.ts';
import { isSentence } from './documents.ts';
import type { Program } from './program.ts';

const CONTAINERS = ['RIFF', 'RIFX', 'RF64', 'BW64'] as const;
/** Format tags of the Multimedia Programming Interface and Data Specifications 1.0 (1991) with their bits of a sample. */
const KINDS = [
  ...[8, 16, 24, 32].map(bits => ({ tag: 1, bits })),
  ...[32, 64].map(bits => ({ tag: 3, bits })),
  { tag: 6, bits: 8 },
  { tag: 7, bits: 8 },
];
const EXTENSIBLE = 0xfffe;
const GUID_TAIL = [0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x80, 0x00, 0x00, 0xaa, 0x00, 0x38, 0x9b, 0x71];

type Damage =
  | { do: 'write'; at: number; bytes: readonly number[] }
  | { do: 'cut'; at: number }
  | { do: 'insert'; at: number; bytes: readonly number[] }
  | { do: 'remove'; at: number; length: number };
interface File {
  container: (typeof CONTAINERS)[number];
  kind: number;
  extensible: boolean;
  channels: number;
  rate: number;
  frames: number;
  seed: number;
  /** Chunks before the samples, by name and length. */
  before: readonly { id: string; length: number }[];
  allowCut: boolean;
  damage: readonly Damage[];
}

const byte = fc.oneof(fc.constantFrom(0, 1, 0x7f, 0x80, 0xff), fc.nat(255));
const bytes = fc.array(byte, { minLength: 1, maxLength: 8 });
/** Most damage goes to the head, where it tells. */
const place = fc.oneof(fc.nat(9999), fc.nat(1500)).map(part => part / 10_000);
const damage: fc.Arbitrary<Damage> = fc.oneof(
  { weight: 4, arbitrary: fc.record({ do: fc.constant('write' as const), at: place, bytes }) },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('cut' as const), at: place }) },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('insert' as const), at: place, bytes }) },
  {
    weight: 1,
    arbitrary: fc.record({ do: fc.constant('remove' as const), at: place, length: fc.integer({ min: 1, max: 9 }) }),
  },
);
const cases: fc.Arbitrary<File> = fc.record({
  container: fc.constantFrom(...CONTAINERS),
  kind: fc.nat(KINDS.length - 1),
  extensible: fc.boolean(),
  channels: fc.integer({ min: WAV_LIMITS.channels[0], max: WAV_LIMITS.channels[1] }),
  rate: fc.constantFrom(8000, 11025, 44100, 48000, 96000, 192000),
  frames: fc.integer({ min: 1, max: 120 }),
  seed: fc.nat(1e6),
  before: fc.array(
    fc.record({ id: fc.constantFrom('LIST', 'cue ', 'fact', 'bext', 'junk', 'odd '), length: fc.nat(40) }),
    { maxLength: 3 },
  ),
  allowCut: fc.boolean(),
  damage: fc.oneof(
    { weight: 1, arbitrary: fc.constant([]) },
    { weight: 3, arbitrary: fc.array(damage, { minLength: 1, maxLength: 2 }) },
  ),
});

/** The file as it arrives. */
function bytesOf(file: File): Uint8Array<ArrayBuffer> {
  const { container, kind, extensible, channels, rate, frames, seed, before } = file;
  const { tag, bits } = KINDS[kind];
  const random = dice(seed);
  const big = container === 'RIFX';
  const out: number[] = [];
  const number = (value: number, size: number) => {
    const little = Array.from({ length: size }, (_, i) => Math.floor(value / 256 ** i) % 256);
    out.push(...(big ? little.reverse() : little));
  };
  const name = (text: string) => out.push(...[...text].map(letter => letter.charCodeAt(0)));
  const chunk = (id: string, length: number, body: () => void, said = length) => {
    name(id);
    number(said, 4);
    body();
    if (length % 2) out.push(0);
  };
  const wide = container === 'RF64' || container === 'BW64';
  const align = (channels * bits) / 8;
  name(container);
  const size = out.length;
  number(0, 4);
  name('WAVE');
  if (wide)
    chunk('ds64', 28, () => {
      number(0, 8);
      number(frames * align, 8);
      number(frames, 8);
      number(0, 4);
    });
  for (const { id, length } of before)
    chunk(id, length, () => out.push(...Array.from({ length }, () => (id === 'cue ' ? 0 : random.whole(0, 255)))));
  chunk('fmt ', extensible ? 40 : 16, () => {
    number(extensible ? EXTENSIBLE : tag, 2);
    number(channels, 2);
    number(rate, 4);
    number(rate * align, 4);
    number(align, 2);
    number(bits, 2);
    if (!extensible) return;
    number(22, 2);
    number(bits, 2);
    number(0, 4);
    number(tag, 2);
    out.push(...GUID_TAIL);
  });
  chunk(
    'data',
    frames * align,
    () => out.push(...Array.from({ length: frames * align }, () => random.whole(0, 255))),
    wide ? 0xffffffff : undefined,
  );
  const total = out.length - 8;
  const end = out.splice(size);
  number(wide ? 0xffffffff : total, 4);
  out.push(...end.slice(4));
  for (const one of file.damage) harm(out, one);
  return Uint8Array.from(out);
}

function harm(out: number[], damage: Damage): void {
  const at = Math.floor(damage.at * out.length);
  if (damage.do === 'write') out.splice(at, damage.bytes.length, ...damage.bytes);
  else if (damage.do === 'cut') out.length = at;
  else if (damage.do === 'insert') out.splice(at, 0, ...damage.bytes);
  else out.splice(at, damage.length);
}

export const wav: Program<File> = {
  cases,
  check: file => {
    const data = bytesOf(file);
    let read: ReturnType<typeof readWav>;
    try {
      read = readWav(data, { name: 'take.wav', allowCut: file.allowCut });
    } catch (error) {
      if (!(error instanceof WavError)) throw error;
      isSentence(error.message);
      if (file.damage.length === 0) throw new Error(`a whole file was refused: ${error.message}`);
      return 'refused';
    }
    const { channels, sampleRate, frames } = read;
    if (
      file.damage.length === 0 &&
      (frames !== file.frames || channels.length !== file.channels || sampleRate !== file.rate)
    )
      throw new Error(`a whole file was read as ${channels.length} channels of ${frames} at ${sampleRate} Hz`);
    const fits = (value: number, [low, high]: readonly [number, number]) => value >= low && value <= high;
    if (!fits(channels.length, WAV_LIMITS.channels) || !fits(sampleRate, WAV_LIMITS.sampleRate))
      throw new Error(`read ${channels.length} channels at ${sampleRate} Hz`);
    for (const channel of channels) {
      if (channel.length !== frames) throw new Error(`a channel of ${channel.length} in a file of ${frames}`);
      if (!channel.every(Number.isFinite)) throw new Error('a sample is no number');
    }
    for (const note of read.notes) isSentence(note);
    return file.damage.length === 0 ? 'whole' : 'damaged but read';
  },
  batch: 1000,
  usual: 10_000,
};
