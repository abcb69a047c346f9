/**
 * WAV files of 16 or 24-bit integers or 32-bit floats, with a title and a comment. Integers are rounded to the nearest
 * step, optionally with dither, and clipped at full scale; they stand for x · 2^(bits−1), as the reader has it.
 */
import { triangularDither } from './dither.ts';

export interface WavWriteOptions {
  /** Hz. */
  sampleRate: number;
  bits: 16 | 24 | '32f';
  /** Seed for dither; without it integers are plainly rounded. Floats are never dithered. */
  dither?: number | undefined;
  metadata?: { title?: string; comment?: string } | undefined;
}

/** The bytes of a WAV file of `channels` (all of one length). */
export function writeWav(channels: readonly Float32Array[], options: WavWriteOptions): Uint8Array<ArrayBuffer> {
  const { sampleRate, bits } = options;
  const frames = channels[0]?.length ?? 0;
  if (channels.length < 1 || channels.some(c => c.length !== frames)) {
    throw new RangeError('channels must be one or more arrays of one length');
  }
  const float = bits === '32f';
  const bytes = float ? 4 : bits / 8;
  const blockAlign = bytes * channels.length;
  const dataSize = frames * blockAlign;
  const info = infoList(options.metadata ?? {});
  // Float files carry the fact chunk and the extension size that the format asks of all but PCM.
  const fmtSize = float ? 18 : 16;
  const size = 12 + 8 + fmtSize + (float ? 12 : 0) + info.length + 8 + dataSize + (dataSize % 2);
  if (size - 8 > 0xffffffff) throw new RangeError('over 4 GB: write shorter files or fewer channels');

  const out = new Uint8Array(size);
  const view = new DataView(out.buffer);
  let at = 0;
  const letters = (s: string) => {
    for (let i = 0; i < 4; i++) out[at++] = s.charCodeAt(i);
  };
  const u32 = (x: number) => {
    view.setUint32(at, x, true);
    at += 4;
  };
  const u16 = (x: number) => {
    view.setUint16(at, x, true);
    at += 2;
  };
  letters('RIFF');
  u32(size - 8);
  letters('WAVE');
  letters('fmt ');
  u32(fmtSize);
  u16(float ? 3 : 1);
  u16(channels.length);
  u32(sampleRate);
  u32(sampleRate * blockAlign);
  u16(blockAlign);
  u16(bytes * 8);
  if (float) {
    u16(0);
    letters('fact');
    u32(4);
    u32(frames);
  }
  out.set(info, at);
  at += info.length;
  letters('data');
  u32(dataSize);
  channels.forEach((channel, c) => {
    const start = at + c * bytes;
    if (float) writeFloats(view, channel, start, blockAlign);
    else writeIntegers(out, channel, start, blockAlign, bits, options.dither === undefined ? null : options.dither + c);
  });
  return out;
}

function writeFloats(view: DataView, x: Float32Array, start: number, step: number) {
  for (let i = 0, p = start; i < x.length; i++, p += step) view.setFloat32(p, x[i], true);
}

function writeIntegers(
  b: Uint8Array,
  x: Float32Array,
  start: number,
  step: number,
  bits: 16 | 24,
  seed: number | null,
) {
  const scale = 2 ** (bits - 1);
  const noise = seed === null ? null : triangularDither(seed);
  for (let i = 0, p = start; i < x.length; i++, p += step) {
    // NaN falls through both bounds of a comparison, so it is made 0 by `| 0` below.
    const value = Math.round(x[i] * scale + (noise ? noise() : 0));
    const n = Math.max(-scale, Math.min(scale - 1, value)) | 0;
    b[p] = n;
    b[p + 1] = n >> 8;
    if (bits === 24) b[p + 2] = n >> 16;
  }
}

/** A LIST chunk of type INFO: title (INAM) and comment (ICMT) as UTF-8 with a closing zero; empty if there are none. */
function infoList(metadata: { title?: string; comment?: string }): Uint8Array {
  const texts: [string, string | undefined][] = [
    ['INAM', metadata.title],
    ['ICMT', metadata.comment],
  ];
  const items = texts.flatMap(([id, text]) => (text ? [{ id, bytes: utf8(text + '\0') }] : []));
  if (items.length === 0) return new Uint8Array(0);
  const size = items.reduce((sum, { bytes }) => sum + 8 + bytes.length + (bytes.length % 2), 12);
  const out = new Uint8Array(size);
  const view = new DataView(out.buffer);
  const letters = (at: number, s: string) => {
    for (let i = 0; i < 4; i++) out[at + i] = s.charCodeAt(i);
  };
  letters(0, 'LIST');
  view.setUint32(4, size - 8, true);
  letters(8, 'INFO');
  let at = 12;
  for (const { id, bytes } of items) {
    letters(at, id);
    view.setUint32(at + 4, bytes.length, true);
    out.set(bytes, at + 8);
    at += 8 + bytes.length + (bytes.length % 2);
  }
  return out;
}

function utf8(text: string): Uint8Array {
  // The house of the model knows no platform; encodeURIComponent is part of the language, TextEncoder is not.
  const escaped = encodeURIComponent(text.replace(/[\ud800-\udfff]/gu, '\ufffd'));
  const out: number[] = [];
  for (let i = 0; i < escaped.length; i++) {
    if (escaped[i] === '%') {
      out.push(Number.parseInt(escaped.slice(i + 1, i + 3), 16));
      i += 2;
    } else out.push(escaped.charCodeAt(i));
  }
  return Uint8Array.from(out);
}
