/** Sample rates off the headers of compressed files, written by hand after their specifications. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compressedHeader } from '../../../shared/take/own/compressed-header.ts';

const bytes = (...parts: (string | number[])[]): Uint8Array =>
  Uint8Array.from(parts.flatMap(part => (typeof part === 'string' ? [...part].map(c => c.charCodeAt(0)) : part)));
const zeros = (n: number): number[] => Array.from({ length: n }, () => 0);
const little = (n: number): number[] => [n & 255, (n >> 8) & 255, (n >> 16) & 255, n >>> 24];

describe('rates', () => {
  test('FLAC: 20 bits of STREAMINFO (RFC 9639, 8.2)', () => {
    const rate = 96000;
    const file = bytes('fLaC', [0, 0, 0, 34], zeros(10), [rate >> 12, (rate >> 4) & 255, (rate & 15) << 4], zeros(40));
    expect(compressedHeader(file)).toMatchObject({ format: 'FLAC', sampleRate: 96000 });
  });
  test('Ogg Vorbis, and Opus which is always 48 kHz (RFC 7845)', () => {
    const page: (string | number[])[] = ['OggS', zeros(23), [30]];
    const vorbis = bytes(...page, '\x01vorbis', zeros(4), [2], little(22050), zeros(20));
    expect(compressedHeader(vorbis)).toMatchObject({ format: 'Ogg Vorbis', sampleRate: 22050 });
    expect(compressedHeader(bytes(...page, 'OpusHead', zeros(20)))).toMatchObject({
      format: 'Opus',
      sampleRate: 48000,
    });
  });
  test('MP3 behind its tag, in all three versions of MPEG audio', () => {
    expect(compressedHeader(bytes([0xff, 0xfb, 0x90, 0x00]))).toMatchObject({ format: 'MP3', sampleRate: 44100 });
    expect(compressedHeader(bytes([0xff, 0xf3, 0x94, 0x00]))?.sampleRate).toBe(24000);
    expect(compressedHeader(bytes([0xff, 0xe3, 0x98, 0x00]))?.sampleRate).toBe(8000);
    const tagged = bytes('ID3', [4, 0, 0, 0, 0, 0, 5], zeros(5), [0xff, 0xfb, 0x94, 0x00]);
    expect(compressedHeader(tagged)?.sampleRate).toBe(48000);
  });
  test('AAC in ADTS and in MP4, with the tables at either end', () => {
    expect(compressedHeader(bytes([0xff, 0xf1, 0x4c, 0x80, 0]))).toMatchObject({ format: 'AAC', sampleRate: 48000 });
    const head = bytes([0, 0, 0, 20], 'ftypM4A ', zeros(20));
    const entry = bytes('mp4a', zeros(24), [0xac, 0x44, 0, 0]);
    expect(compressedHeader(Uint8Array.from([...head, ...entry]))?.sampleRate).toBe(44100);
    expect(compressedHeader(head, entry)).toMatchObject({ format: 'MP4', sampleRate: 44100 });
    expect(compressedHeader(head)).toMatchObject({ format: 'MP4', sampleRate: null });
  });
  test('WAV, text and nothing are not for the browser to decode', () => {
    expect(compressedHeader(bytes('RIFF', zeros(4), 'WAVEfmt '))).toBeNull();
    expect(compressedHeader(bytes('hello there'))).toBeNull();
    expect(compressedHeader(new Uint8Array(0))).toBeNull();
  });
  test('any bytes give a rate that can be asked for, or none', () => {
    const starts = ['fLaC', 'OggS', 'ID3', '\0\0\0\0ftyp', '\xff\xfb', ''];
    fc.assert(
      fc.property(fc.constantFrom(...starts), fc.uint8Array({ maxLength: 200 }), (start, rest) => {
        const found = compressedHeader(Uint8Array.from([...bytes(start), ...rest]), rest);
        if (found !== null && found.sampleRate !== null) {
          expect(Number.isInteger(found.sampleRate)).toBe(true);
          expect(found.sampleRate).toBeGreaterThan(0);
        }
      }),
    );
  });
});

describe('how much a file unpacks to', () => {
  /** A FLAC file of silence: frames of one constant value each, `blocks` of 65,536 samples in eight channels. */
  const silence = (blocks: number, said: number): Uint8Array => {
    const info = [0x10, 0, 0x10, 0, ...zeros(6), 0x0b, 0xb8, 0x0e, 0xf0, ...big(said), ...zeros(16)];
    const frames: number[] = [];
    for (let n = 0; n < blocks; n++) {
      const coded =
        n < 128 ? [n] : n < 2048 ? [0xc0 | (n >> 6), 0x80 | (n & 63)] : [0xe0, 0x80 | (n >> 6), 0x80 | (n & 63)];
      const start = [0xff, 0xf8, 0x70, 0x78, ...coded, 0xff, 0xff];
      frames.push(...start, crc8(start), ...Array.from({ length: 8 }, () => [0, 0, 0]).flat(), 0, 0);
    }
    return bytes('fLaC', [0x80, 0, 0, 34], info, frames);
  };
  const big = (n: number): number[] => little(n).reverse();
  // RFC 9639, 9.1.8, by division of polynomials
  const crc8 = (data: number[]): number => {
    let rest = 0;
    for (const byte of data)
      for (let bit = 7; bit >= 0; bit--) {
        rest = (rest << 1) | ((byte >> bit) & 1);
        if (rest & 0x100) rest ^= 0x107;
      }
    for (let i = 0; i < 8; i++) {
      rest <<= 1;
      if (rest & 0x100) rest ^= 0x107;
    }
    return rest;
  };

  test('FLAC: as it says, or as its last frames say where it says less or nothing', () => {
    const honest = silence(3, 3 * 65536);
    expect(compressedHeader(honest)).toEqual({
      format: 'FLAC',
      sampleRate: 48000,
      channels: 8,
      seconds: (3 * 65536) / 48000,
    });
    for (const said of [0, 1000]) {
      const lying = silence(1500, said);
      expect(lying.length).toBeLessThan(64_000);
      const found = compressedHeader(lying, lying.slice(-30_000), lying.length);
      expect(found?.seconds).toBeCloseTo((1500 * 65536) / 48000, 6);
    }
  });

  test('a chance likeness of a frame header in the sound is not believed', () => {
    const file = silence(2, 2 * 65536);
    const start = [0xff, 0xf8, 0x70, 0x78, 0xe7, 0xbf, 0xbf, 0xff, 0xff];
    const tail = Uint8Array.from([...file.slice(-60), ...start, crc8(start), ...zeros(20)]);
    expect(compressedHeader(file, tail)?.seconds).toBeCloseTo((2 * 65536) / 48000, 6);
  });

  test('Ogg: the position of the last page', () => {
    const page = (position: number) => bytes('OggS', [0, 0], little(position), zeros(4), zeros(13));
    const first = bytes('OggS', zeros(23), [30], '\x01vorbis', zeros(4), [6], little(44100), zeros(20));
    const found = compressedHeader(first, Uint8Array.from([...page(44100), ...page(44100 * 90), ...zeros(40)]));
    expect(found).toEqual({ format: 'Ogg Vorbis', sampleRate: 44100, channels: 6, seconds: 90 });
  });

  test('MP3: the count of its frames, else its rate of bits', () => {
    const counted = bytes([0xff, 0xfb, 0x90, 0x00], zeros(32), 'Xing', [0, 0, 0, 1], big(44100));
    expect(compressedHeader(counted)).toMatchObject({ channels: 2, seconds: 1152 });
    expect(compressedHeader(bytes([0xff, 0xfb, 0x90, 0xc0], zeros(40)), undefined, 16_000 * 60)).toMatchObject({
      channels: 1,
      seconds: 60,
    });
  });

  test('MP4: the length of the movie, in both widths', () => {
    const head = bytes([0, 0, 0, 20], 'ftypM4A ', zeros(20));
    const narrow = bytes('mvhd', zeros(12), big(1000), big(90_500), zeros(80));
    expect(compressedHeader(head, narrow)?.seconds).toBe(90.5);
    const wide = bytes('mvhd', [1], zeros(19), big(600), zeros(4), big(60_000), zeros(80));
    expect(compressedHeader(head, wide)?.seconds).toBe(100);
  });
});
