/**
 * WAV files in every common kind: RIFF, RIFX (big-endian), RF64 and BW64 (over 4 GB); 8 to 32-bit integers, 32 and
 * 64-bit floats, A-law, µ-law and IMA ADPCM, extensible headers, 1 to 12 channels, 8 to 192 kHz.
 *
 * The chunks are found here, because lengths lie in damaged, unfinished and very large files (EBU Tech 3306 for RF64);
 * the chunks themselves are read by `wavefile`, which is given a small, well-formed file made of them; the samples are
 * decoded by our own loop (`wav-samples.ts`).
 */

import { riff } from './riff.ts';
import { WavError } from './wav-error.ts';
import { type Coding, type Packing, packingOf, unpack } from './wav-packed.ts';
import { decodeSamples, type SampleLayout, standsInLowBits } from './wav-samples.ts';
import { WaveFile } from './wavefile.ts';

/** What this reader accepts. */
export const WAV_LIMITS = {
  channels: [1, 12],
  sampleRate: [8000, 192000],
  /** Decoded samples over all channels: 1.6 GB of 32-bit floats. */
  samples: 400e6,
} as const;

/** A file that is read in pieces: a Blob in a worker, a file handle, or bytes in memory. */
export interface ByteSource {
  readonly size: number;
  /** Bytes from `start` up to `end`; fewer where the source ends. */
  read(start: number, end: number): Uint8Array;
}

export interface WavHeader {
  /** Hz. */
  sampleRate: number;
  /** Number of samples of each channel. */
  frames: number;
  /** Significant bits of a sample: 20 of a 20-bit sample in a 24-bit container. */
  bits: number;
  format: 'int' | 'float';
  container: 'RIFF' | 'RIFX' | 'RF64';
  /** Markers, in samples from the start, in order of time. */
  cue: number[];
  /** Texts of the file's INFO list by their four-letter names, such as INAM (title) and ICMT (comment). */
  info: Record<string, string>;
  /** What was odd about the file but could be dealt with, as sentences. */
  notes: string[];
  /** How samples lie in the bytes, once unpacked. */
  layout: SampleLayout;
  /** How they are packed; null: they are plain. */
  packing: Packing | null;
  /** Where the samples start, in bytes from the start of the file. */
  dataStart: number;
}

export interface Wav extends WavHeader {
  channels: Float32Array[];
}

export interface WavOptions {
  /** What messages call the file; by default "The file". */
  name?: string;
  /** Read what is there of a file that ends before its header says, instead of refusing it. */
  allowCut?: boolean;
}

/** A source of bytes held in memory. */
export const memory = (bytes: Uint8Array): ByteSource => ({
  size: bytes.length,
  read: (start, end) => bytes.subarray(start, end),
});

/** Reads a whole WAV file. Throws WavError. */
export function readWav(bytes: Uint8Array, options: WavOptions = {}): Wav {
  const source = memory(bytes);
  const header = readWavHeader(source, options);
  const { channels, replaced } = readFrames(source, header, 0, header.frames, options.name);
  return { ...header, notes: [...header.notes, ...replacedNotes(replaced)], channels };
}

/** What is said of float samples that were no usable number. */
export function replacedNotes(replaced: number): string[] {
  if (replaced === 0) return [];
  const what = replaced === 1 ? 'One sample was' : `${replaced} samples were`;
  return [`${what} no usable number (not finite, or far beyond full scale) and became silence.`];
}

/** Bytes decoded at a time. */
const PIECE = 4 * 2 ** 20;

/**
 * Samples `from` up to `to` of every channel, read piece by piece; `replaced` counts floats that were no usable number.
 * Throws WavError where there is no memory for them.
 */
export function readFrames(source: ByteSource, header: WavHeader, from: number, to: number, name = 'The file') {
  const { layout, packing, dataStart } = header;
  const [unit, framesOfUnit] = packing ? [packing.blockAlign, packing.framesOfBlock] : [layout.blockAlign, 1];
  const length = Math.max(0, Math.min(to, header.frames) - from);
  let channels: Float32Array[];
  try {
    channels = Array.from({ length: layout.channels }, () => new Float32Array(length));
  } catch {
    throw new WavError(`${name} is too long for the memory of this device. Bring a shorter part or fewer channels.`);
  }
  let replaced = 0;
  const unitsAtOnce = Math.max(1, Math.floor(PIECE / unit));
  for (let at = 0; at < length; ) {
    const first = Math.floor((from + at) / framesOfUnit);
    const last = Math.min(Math.ceil((from + length) / framesOfUnit), first + unitsAtOnce);
    const bytes = source.read(dataStart + first * unit, dataStart + last * unit);
    const plain = packing ? unpack(bytes, packing) : bytes;
    const skip = from + at - first * framesOfUnit;
    const frames = Math.min(last * framesOfUnit - (from + at), length - at);
    if (plain.length < (skip + frames) * layout.blockAlign)
      throw new WavError(`${name} changed while it was being read. Check that it is still there, then try again.`);
    replaced += decodeSamples(plain.subarray(skip * layout.blockAlign), layout, channels, at, frames);
    at += frames;
  }
  return { channels, replaced };
}

/** Reads and checks everything but the samples. Throws WavError. */
export function readWavHeader(source: ByteSource, options: WavOptions = {}): WavHeader {
  const name = options.name ?? 'The file';
  const container = readContainer(source, name);
  const chunks = findChunks(source, container === 'RIFX');
  const { fmt, cue, info } = readSmallChunks(source, container, chunks, name);
  const notes: string[] = [];
  const { layout, bits, packing } = sampleLayout(fmt, container === 'RIFX', notes, name);
  const sampleRate = checkedRate(fmt.sampleRate, name);
  const [unit, framesOfUnit] = packing ? [packing.blockAlign, packing.framesOfBlock] : [layout.blockAlign, 1];
  const pace = { unit, rate: sampleRate / framesOfUnit };
  const data = dataExtent(source, chunks, container, pace, options.allowCut ?? false, notes, name);
  const whole = Math.floor((data.end - data.start) / unit) * framesOfUnit;
  const frames = packing ? Math.min(whole, factOf(source, chunks, container === 'RIFX') ?? whole) : whole;
  if (frames * layout.channels > WAV_LIMITS.samples) {
    const minutes = Math.floor(WAV_LIMITS.samples / layout.channels / sampleRate / 60);
    throw new WavError(
      `${name} holds ${seconds(frames / sampleRate)} of ${count(layout.channels, 'channel')}, more than fits in memory here. ` +
        `Bring up to ${minutes} minutes at a time, or fewer channels.`,
    );
  }
  if (!packing && layout.format === 'int' && layout.container * 8 > bits) {
    const probe = source.read(data.start, Math.min(data.end, data.start + 2 ** 16 * layout.blockAlign));
    if (standsInLowBits(probe, layout, bits)) {
      layout.fullScale = 2 ** (bits - 1);
      notes.push(`Its ${bits}-bit samples stand in the lower bits of their containers; they were read so.`);
    }
  }
  const marks = cue.filter(sample => sample < frames).sort((a, b) => a - b);
  return {
    sampleRate,
    frames,
    bits,
    format: layout.format,
    container,
    cue: marks,
    info,
    notes,
    layout,
    packing,
    dataStart: data.start,
  };
}

interface Chunk {
  id: string;
  start: number;
  /** As the file says it. */
  size: number;
}

type Format = InstanceType<typeof WaveFile>['fmt'];

const count = (n: number, what: string) => `${n} ${what}${n === 1 ? '' : 's'}`;
const seconds = (s: number) => (s < 120 ? `${Number(s.toPrecision(3))} s` : `${Number((s / 60).toPrecision(3))} min`);
const KINDS =
  'WAV files with PCM samples of 8, 16, 24 or 32 bits, with 32 or 64-bit floats, or packed as A-law, µ-law or IMA ADPCM, can be read';

const fourLetters = (b: Uint8Array, at: number) => String.fromCharCode(...b.subarray(at, at + 4));
const isPrintable = (s: string) => s.length === 4 && /^[\x20-\x7e]{4}$/.test(s);

function uint32(b: Uint8Array, at: number, bigEndian: boolean): number {
  return new DataView(b.buffer, b.byteOffset, b.byteLength).getUint32(at, !bigEndian);
}

/** Starts of files that people take for WAV, and what to do with them. */
const OTHER_FILES: readonly (readonly [test: (head: string) => boolean, what: string, advice: string])[] = [
  [h => h.startsWith('FORM'), 'an AIFF file', 'Save it as WAV or FLAC.'],
  [h => h.startsWith('fLaC'), 'a FLAC file', 'Give its name the ending .flac and bring it as that.'],
  [h => h.startsWith('OggS'), 'an Ogg file', 'Give its name the ending .ogg and bring it as that.'],
  [
    h => h.startsWith('ID3') || /^\xff[\xe2-\xfb]/.test(h),
    'an MP3 file',
    'Give its name the ending .mp3 and bring it as that.',
  ],
  [h => h.slice(4, 8) === 'ftyp', 'an MP4 file', 'Give its name the ending .m4a and bring it as that.'],
  [h => h.startsWith('wvpk'), 'a WavPack file', 'Save it as WAV or FLAC.'],
  [h => h.startsWith('caff'), 'a Core Audio file', 'Save it as WAV or FLAC.'],
  [h => h.startsWith('riff'), 'a Wave64 file', 'Save it as WAV, RF64 or FLAC.'],
  [h => h.startsWith('PK\x03\x04'), 'a ZIP archive', 'Unpack it and bring the recordings in it.'],
  [h => h.startsWith('RIFF') || h.startsWith('RIFX'), 'a RIFF file, but holds no sound', `${KINDS}.`],
  [h => /^[\t\n\r\x20-\x7e]+$/.test(h), 'a text', `${KINDS}.`],
];

function readContainer(source: ByteSource, name: string): WavHeader['container'] {
  if (source.size === 0) throw new WavError(`${name} is empty (0 bytes). Copy or export it again.`);
  const head = source.read(0, 64);
  const id = fourLetters(head, 0);
  const form = fourLetters(head, 8);
  const isWav = ['RIFF', 'RIFX', 'RF64', 'BW64'].includes(id) && form === 'WAVE';
  if (!isWav) {
    const text = String.fromCharCode(...head);
    const other = OTHER_FILES.find(([test]) => test(text));
    if (other) throw new WavError(`${name} is ${other[1]}, not a WAV file. ${other[2]}`);
    throw new WavError(`${name} does not begin like a WAV file; its header is missing or damaged. ${KINDS}.`);
  }
  return id === 'RIFF' || id === 'RIFX' ? id : 'RF64';
}

/** More chunks than any sane file has; a guard against files made of nothing but chunk headers. */
const MOST_CHUNKS = 4096;

function findChunks(source: ByteSource, bigEndian: boolean): Chunk[] {
  const chunks: Chunk[] = [];
  let ds64Data = -1;
  let at = 12;
  while (at + 8 <= source.size && chunks.length < MOST_CHUNKS) {
    let head = source.read(at, at + 8);
    if (!isPrintable(fourLetters(head, 0)) && chunks.length > 0 && chunks[chunks.length - 1].size % 2 === 1) {
      // Some writers leave out the pad byte after an odd-sized chunk.
      const unpadded = source.read(at - 1, at + 7);
      if (isPrintable(fourLetters(unpadded, 0))) {
        at--;
        head = unpadded;
      }
    }
    const id = fourLetters(head, 0);
    if (!isPrintable(id)) break;
    let size = uint32(head, 4, bigEndian);
    if (id === 'ds64' && size >= 24 && at + 32 <= source.size) {
      const sizes = source.read(at + 8, at + 32);
      ds64Data = uint32(sizes, 8, false) + uint32(sizes, 12, false) * 2 ** 32;
    }
    if (id === 'data' && size === UNKNOWN && ds64Data >= 0) size = ds64Data;
    chunks.push({ id, start: at + 8, size });
    at += 8 + size + (size % 2);
  }
  return chunks;
}

const UNKNOWN = 0xffffffff;

/** The format, markers and texts, read by the library from a small file of just these chunks. */
function readSmallChunks(source: ByteSource, container: WavHeader['container'], chunks: Chunk[], name: string) {
  const bigEndian = container === 'RIFX';
  const fmtChunk = chunks.find(c => c.id === 'fmt ');
  const noFormat = `${name} has no usable format chunk, so its rate and sample size are unknown. Export it again as WAV.`;
  if (!fmtChunk || fmtChunk.size < 16) throw new WavError(noFormat);
  const fmt = source.read(fmtChunk.start, fmtChunk.start + Math.min(fmtChunk.size, 40));
  if (fmt.length < 16) throw new WavError(`${name} ends inside its header. Copy it again from where it was recorded.`);
  const wholeFmt = new Uint8Array(fmt.length < 18 ? 16 : fmt.length < 40 ? 18 : 40);
  wholeFmt.set(fmt.subarray(0, wholeFmt.length));

  const parts: [string, Uint8Array][] = [['fmt ', wholeFmt]];
  const cue = chunks.find(c => c.id === 'cue ');
  if (cue) {
    const bytes = source.read(cue.start, cue.start + Math.min(cue.size, 4 + 24 * 10000));
    // The count is what the library trusts, so it is made true.
    if (bytes.length >= 4) {
      const points = Math.min(uint32(bytes, 0, bigEndian), Math.floor((bytes.length - 4) / 24));
      const whole = bytes.slice(0, 4 + 24 * points);
      new DataView(whole.buffer).setUint32(0, points, !bigEndian);
      parts.push(['cue ', whole]);
    }
  }
  parts.push(['data', new Uint8Array(0)]);
  const info = chunks.find(c => c.id === 'LIST' && fourLetters(source.read(c.start, c.start + 4), 0) === 'INFO');
  if (info) {
    const bytes = source.read(info.start, info.start + Math.min(info.size, 2 ** 16));
    parts.push(['LIST', bytes.slice()]);
  }

  const read = new WaveFile();
  try {
    read.fromBuffer(riff(bigEndian ? 'RIFX' : 'RIFF', parts, bigEndian), false);
  } catch {
    // Only the texts can still be broken; the sound does not need them.
    read.fromBuffer(riff(bigEndian ? 'RIFX' : 'RIFF', parts.slice(0, -1), bigEndian), false);
  }
  const texts: Record<string, string> = {};
  for (const list of read.LIST) {
    if (list.format !== 'INFO') continue;
    for (const { chunkId, value } of list.subChunks) {
      if (/^[A-Z0-9]{4}$/.test(chunkId) && value) texts[chunkId] ??= value.slice(0, 2000);
    }
  }
  const marks = read.cue.points.map(p => p.dwSampleOffset);
  return { fmt: read.fmt, cue: marks, info: texts };
}

/** Sample codings by their registered number that are not plain samples (RFC 2361, and common practice for FLAC). */
const CODECS: Record<number, string> = {
  2: 'Microsoft ADPCM',
  49: 'GSM 6.10',
  80: 'MPEG audio',
  85: 'MP3',
  255: 'AAC',
  353: 'Windows Media Audio',
  8192: 'AC-3',
  26447: 'Ogg Vorbis',
  61868: 'FLAC',
};

/** Codings that are unpacked, by the same numbers. */
const PACKED: Record<number, Coding> = { 6: 'A-law', 7: 'µ-law', 17: 'IMA ADPCM' };

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;
/** Last twelve bytes of the sub-format identifiers that carry a plain format number in their first four. */
const PLAIN_GUID = [0x00100000, 0xaa000080, 0x719b3800];

function sampleLayout(fmt: Format, bigEndian: boolean, notes: string[], name: string) {
  let tag = fmt.audioFormat;
  let bits = fmt.bitsPerSample;
  const extensible = tag === EXTENSIBLE && fmt.subformat.length === 4;
  if (extensible) {
    const guid = fmt.subformat.slice(1);
    // Big-endian files are met with the identifier's first word in three orders: turned whole, as the format number
    // alone turned, and not at all.
    const [first] = fmt.subformat;
    const known = [first & 0xffff, first >>> 16, first >>> 24].find(
      one => one === PCM || one === FLOAT || one in PACKED,
    );
    if (bigEndian) tag = known ?? EXTENSIBLE;
    else tag = PLAIN_GUID.every((word, i) => word === guid[i]) ? first & 0xffff : EXTENSIBLE;
  }
  const coding = PACKED[tag];
  if (tag !== PCM && tag !== FLOAT && !coding) {
    const codec = CODECS[tag] ?? `coding 0x${tag.toString(16).padStart(4, '0')}`;
    throw new WavError(
      `${name} is a WAV file whose samples are packed as ${codec}, which is not unpacked here. ${KINDS}.`,
    );
  }
  const channels = fmt.numChannels;
  const [fewest, most] = WAV_LIMITS.channels;
  if (channels < fewest || channels > most) {
    throw new WavError(
      `${name} says it has ${count(channels, 'channel')}; from ${fewest} to ${most} can be read. Export the channels you need.`,
    );
  }
  if (coding) {
    const packing = packingOf(coding, channels, fmt.blockAlign);
    if (!packing)
      throw new WavError(`${name} says its ${coding} samples stand in blocks of ${fmt.blockAlign} bytes. ${KINDS}.`);
    notes.push(`Its samples were packed as ${coding}, which costs some of their fineness.`);
    const layout: SampleLayout = {
      channels,
      container: 2,
      blockAlign: 2 * channels,
      format: 'int',
      bigEndian: false,
      fullScale: 2 ** 15,
    };
    return { layout, bits: 16, packing };
  }
  const format: SampleLayout['format'] = tag === PCM ? 'int' : 'float';
  let container = Math.ceil(bits / 8);
  if (format === 'int' ? bits < 2 || bits > 32 : bits !== 32 && bits !== 64) {
    throw new WavError(
      `${name} says its samples are ${bits}-bit ${format === 'int' ? 'integers' : 'floats'}. ${KINDS}.`,
    );
  }
  let blockAlign = fmt.blockAlign;
  const perChannel = blockAlign / channels;
  if (format === 'int' && Number.isInteger(perChannel) && perChannel > container && perChannel <= 4) {
    container = perChannel;
  } else if (perChannel !== container) {
    notes.push(
      `Its header gives ${blockAlign} bytes a frame; ${container * channels} were read, as its sample size asks.`,
    );
    blockAlign = container * channels;
  }
  if (extensible && format === 'int' && fmt.validBitsPerSample > 1 && fmt.validBitsPerSample < bits) {
    bits = fmt.validBitsPerSample;
  }
  const layout: SampleLayout = {
    channels,
    container,
    blockAlign,
    format,
    bigEndian,
    fullScale: 2 ** (container * 8 - 1),
  };
  return { layout, bits, packing: null };
}

function checkedRate(rate: number, name: string): number {
  const [low, high] = WAV_LIMITS.sampleRate;
  if (rate >= low && rate <= high) return rate;
  throw new WavError(
    `${name} says its sample rate is ${rate} Hz; from ${low} to ${high} Hz can be read. Export it at 44100 or 48000 Hz.`,
  );
}

/** Samples of each channel as the fact chunk of a packed file counts them; null: it does not say. */
function factOf(source: ByteSource, chunks: Chunk[], bigEndian: boolean): number | null {
  const fact = chunks.find(c => c.id === 'fact' && c.size >= 4);
  const bytes = fact && source.read(fact.start, fact.start + 4);
  return bytes?.length === 4 ? uint32(bytes, 0, bigEndian) || null : null;
}

/**
 * Where the samples lie, whatever the header's lengths are worth.
 * @param pace bytes of the smallest piece that can be read, and such pieces a second
 */
function dataExtent(
  source: ByteSource,
  chunks: Chunk[],
  container: WavHeader['container'],
  pace: { unit: number; rate: number },
  allowCut: boolean,
  notes: string[],
  name: string,
): { start: number; end: number } {
  const data = chunks.find(c => c.id === 'data');
  if (!data) {
    throw new WavError(`${name} has a WAV header but no data chunk, so no sound. Copy or export it again.`);
  }
  const { start } = data;
  let end = start + data.size;
  const unfinished = data.size === 0 && chunks[chunks.length - 1] === data && source.size - start >= pace.unit;
  if (unfinished || (data.size === UNKNOWN && container !== 'RF64')) {
    // A recorder that was switched off, or a stream: the length was never filled in.
    end = source.size;
    notes.push('Its length was never written; it was read to the end of the file.');
  }
  const found = Math.max(0, Math.min(end, source.size) - start);
  const length = (bytes: number) => bytes / pace.unit / pace.rate;
  if (found < pace.unit) {
    throw new WavError(`${name} holds no samples: its data chunk is empty. Record or export it again.`);
  }
  if (end > source.size + 1) {
    const missing = `its header promises ${seconds(length(data.size))} of sound, ${seconds(length(found))} are there`;
    if (!allowCut) {
      throw new WavError(
        `${name} ends too early: ${missing}. Copy it again from where it was recorded, or open the part that is there.`,
        length(found),
      );
    }
    notes.push(`It ends too early: ${missing}.`);
  }
  return { start, end: start + found };
}
