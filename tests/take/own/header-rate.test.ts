/** Sample rates off the headers of compressed files, written by hand after their specifications. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { headerRate } from '../../../shared/take/own/header-rate.ts';

const bytes = (...parts: (string | number[])[]): Uint8Array =>
  Uint8Array.from(parts.flatMap(part => (typeof part === 'string' ? [...part].map(c => c.charCodeAt(0)) : part)));
const zeros = (n: number): number[] => Array.from({ length: n }, () => 0);
const little = (n: number): number[] => [n & 255, (n >> 8) & 255, (n >> 16) & 255, n >>> 24];

describe('rates', () => {
  test('FLAC: 20 bits of STREAMINFO (RFC 9639, 8.2)', () => {
    const rate = 96000;
    const file = bytes('fLaC', [0, 0, 0, 34], zeros(10), [rate >> 12, (rate >> 4) & 255, (rate & 15) << 4], zeros(40));
    expect(headerRate(file)).toEqual({ format: 'FLAC', sampleRate: 96000 });
  });
  test('Ogg Vorbis, and Opus which is always 48 kHz (RFC 7845)', () => {
    const page: (string | number[])[] = ['OggS', zeros(23), [30]];
    const vorbis = bytes(...page, '\x01vorbis', zeros(4), [2], little(22050), zeros(20));
    expect(headerRate(vorbis)).toEqual({ format: 'Ogg Vorbis', sampleRate: 22050 });
    expect(headerRate(bytes(...page, 'OpusHead', zeros(20)))).toEqual({ format: 'Opus', sampleRate: 48000 });
  });
  test('MP3 behind its tag, in all three versions of MPEG audio', () => {
    expect(headerRate(bytes([0xff, 0xfb, 0x90, 0x00]))).toEqual({ format: 'MP3', sampleRate: 44100 });
    expect(headerRate(bytes([0xff, 0xf3, 0x94, 0x00]))?.sampleRate).toBe(24000);
    expect(headerRate(bytes([0xff, 0xe3, 0x98, 0x00]))?.sampleRate).toBe(8000);
    const tagged = bytes('ID3', [4, 0, 0, 0, 0, 0, 5], zeros(5), [0xff, 0xfb, 0x94, 0x00]);
    expect(headerRate(tagged)?.sampleRate).toBe(48000);
  });
  test('AAC in ADTS and in MP4, with the tables at either end', () => {
    expect(headerRate(bytes([0xff, 0xf1, 0x4c, 0x80, 0]))).toEqual({ format: 'AAC', sampleRate: 48000 });
    const head = bytes([0, 0, 0, 20], 'ftypM4A ', zeros(20));
    const entry = bytes('mp4a', zeros(24), [0xac, 0x44, 0, 0]);
    expect(headerRate(Uint8Array.from([...head, ...entry]))?.sampleRate).toBe(44100);
    expect(headerRate(head, entry)).toEqual({ format: 'MP4', sampleRate: 44100 });
    expect(headerRate(head)).toEqual({ format: 'MP4', sampleRate: null });
  });
  test('WAV, text and nothing are not for the browser to decode', () => {
    expect(headerRate(bytes('RIFF', zeros(4), 'WAVEfmt '))).toBeNull();
    expect(headerRate(bytes('hello there'))).toBeNull();
    expect(headerRate(new Uint8Array(0))).toBeNull();
  });
  test('any bytes give a rate that can be asked for, or none', () => {
    const starts = ['fLaC', 'OggS', 'ID3', '\0\0\0\0ftyp', '\xff\xfb', ''];
    fc.assert(
      fc.property(fc.constantFrom(...starts), fc.uint8Array({ maxLength: 200 }), (start, rest) => {
        const found = headerRate(Uint8Array.from([...bytes(start), ...rest]), rest);
        if (found !== null && found.sampleRate !== null) {
          expect(Number.isInteger(found.sampleRate)).toBe(true);
          expect(found.sampleRate).toBeGreaterThan(0);
        }
      }),
    );
  });
});
