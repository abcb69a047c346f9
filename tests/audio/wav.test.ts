import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { memory, readFrames, readWav, readWavHeader } from '../../shared/audio/wav.ts';
import { WavError } from '../../shared/audio/wav-error.ts';
import { writeWav } from '../../shared/audio/wav-write.ts';
import { WaveFile } from '../../shared/audio/wavefile.ts';

const letters = (s: string) => [...s].map(c => c.charCodeAt(0));
const u16 = (x: number) => [x & 255, (x >> 8) & 255];
const u32 = (x: number) => [x & 255, (x >>> 8) & 255, (x >>> 16) & 255, (x >>> 24) & 255];
const chunk = (id: string, body: number[]) => [
  ...letters(id),
  ...u32(body.length),
  ...body,
  ...(body.length % 2 ? [0] : []),
];
const file = (id: string, ...chunks: number[][]) => {
  const body = chunks.flat();
  return Uint8Array.from([...letters(id), ...u32(4 + body.length), ...letters('WAVE'), ...body]);
};
const pcm = (channels: number, rate: number, bits: number, tag = 1) => {
  const align = channels * Math.ceil(bits / 8);
  return chunk('fmt ', [
    ...u16(tag),
    ...u16(channels),
    ...u32(rate),
    ...u32(rate * align),
    ...u16(align),
    ...u16(bits),
  ]);
};
const GUID_TAIL = [0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x80, 0x00, 0x00, 0xaa, 0x00, 0x38, 0x9b, 0x71];
const extensible = (channels: number, rate: number, container: number, valid: number, tag = 1) => {
  const align = (channels * container) / 8;
  return chunk('fmt ', [
    ...[...u16(0xfffe), ...u16(channels), ...u32(rate), ...u32(rate * align), ...u16(align), ...u16(container)],
    ...[...u16(22), ...u16(valid), ...u32(0), ...u16(tag), ...GUID_TAIL],
  ]);
};

const refused = (bytes: Uint8Array, name = 'take.wav'): WavError => {
  try {
    readWav(bytes, { name });
  } catch (error) {
    expect(error).toBeInstanceOf(WavError);
    return error as WavError;
  }
  throw new Error('was not refused');
};

describe('reading bytes laid by hand', () => {
  // Byte orders, offsets and full scales as in the Multimedia Programming Interface and Data Specifications 1.0 (1991).
  test('8-bit samples are unsigned around 128', () => {
    const wav = readWav(file('RIFF', pcm(1, 8000, 8), chunk('data', [0, 128, 255])));
    expect(wav).toMatchObject({ sampleRate: 8000, frames: 3, bits: 8, format: 'int' });
    expect([...wav.channels[0]]).toEqual([-1, 0, 127 / 128]);
  });

  test('16-bit samples, two channels', () => {
    const data = [...u16(0x8000), ...u16(0x4000), ...u16(0x7fff), ...u16(0xffff)];
    const wav = readWav(file('RIFF', pcm(2, 44100, 16), chunk('data', data)));
    expect(wav.channels.map(c => [...c])).toEqual([
      [-1, 32767 / 32768],
      [0.5, -1 / 32768],
    ]);
  });

  test('24-bit samples', () => {
    const wav = readWav(file('RIFF', pcm(1, 48000, 24), chunk('data', [0, 0, 0x80, 1, 0, 0, 0xff, 0xff, 0x7f])));
    expect([...wav.channels[0]]).toEqual([-1, 2 ** -23, 1 - 2 ** -23]);
  });

  test('32-bit integers become the nearest float', () => {
    const wav = readWav(file('RIFF', pcm(1, 48000, 32), chunk('data', [...u32(0x80000000), ...u32(0x12345678)])));
    expect([...wav.channels[0]]).toEqual([-1, Math.fround(0x12345678 / 2 ** 31)]);
  });

  test('20 bits in 24, standing in the upper bits as the standard asks', () => {
    const wav = readWav(file('RIFF', extensible(1, 48000, 24, 20), chunk('data', [0x10, 0, 0, 0, 0, 0x80])));
    expect(wav.bits).toBe(20);
    expect([...wav.channels[0]]).toEqual([2 ** -19, -1]);
  });

  test('24 bits in 32', () => {
    const wav = readWav(file('RIFF', extensible(1, 48000, 32, 24), chunk('data', [0, 1, 0, 0, 0, 0, 0, 0xc0])));
    expect(wav.bits).toBe(24);
    expect([...wav.channels[0]]).toEqual([2 ** -23, -0.5]);
  });

  test('12 bits standing in the lower bits are noticed and said', () => {
    const wav = readWav(file('RIFF', extensible(1, 8000, 16, 12), chunk('data', [...u16(1), ...u16(0xf800)])));
    expect([...wav.channels[0]]).toEqual([2 ** -11, -1]);
    expect(wav.notes.join()).toMatch(/12-bit samples stand in the lower bits/);
  });

  test('a chunk before and after the samples, odd sizes, markers and texts', () => {
    const cue = [...u32(2), ...u32(1), ...u32(2), ...letters('data'), ...u32(0), ...u32(0), ...u32(2)];
    cue.push(...u32(2), ...u32(1), ...letters('data'), ...u32(0), ...u32(0), ...u32(1));
    const info = [...letters('INFO'), ...chunk('INAM', [...letters('Riff'), 0])];
    const wav = readWav(
      file(
        'RIFF',
        chunk('odd ', [7]),
        pcm(1, 8000, 8),
        chunk('data', [128, 0, 128]),
        chunk('cue ', cue),
        chunk('LIST', info),
      ),
    );
    expect(wav.cue).toEqual([1, 2]);
    expect(wav.info).toEqual({ INAM: 'Riff' });
    expect([...wav.channels[0]]).toEqual([0, -1, 0]);
  });

  // EBU Tech 3306 (RF64): sizes of 0xFFFFFFFF in the 32-bit fields, true sizes in the ds64 chunk.
  test.each(['RF64', 'BW64'])('%s with its lengths in ds64', id => {
    const ds64 = chunk('ds64', [...u32(0), ...u32(0), ...u32(4), ...u32(0), ...u32(2), ...u32(0), ...u32(0)]);
    const data = [...letters('data'), ...u32(0xffffffff), ...u16(0x4000), ...u16(0xc000)];
    const wav = readWav(file(id, ds64, pcm(1, 96000, 16), data, chunk('LIST', [...letters('adtl')])));
    expect(wav.container).toBe('RF64');
    expect([...wav.channels[0]]).toEqual([0.5, -0.5]);
  });

  test('a missing pad byte after an odd chunk', () => {
    const odd = [...letters('junk'), ...u32(3), 1, 2, 3];
    const wav = readWav(file('RIFF', odd, pcm(1, 8000, 8), chunk('data', [0, 128])));
    expect([...wav.channels[0]]).toEqual([-1, 0]);
  });

  test.each([0, 0xffffffff])('a length never filled in (%i) is read to the end', size => {
    const wav = readWav(
      file('RIFF', pcm(1, 8000, 8), [...letters('data'), ...u32(size), 0, 128, 0, 128, 1, 2, 3, 4, 5]),
    );
    expect(wav.frames).toBe(9);
    expect(wav.notes.join()).toMatch(/never written/);
  });

  test('floats that are no numbers become silence and are counted', () => {
    const body = new Uint8Array(Float32Array.of(0.5, Number.NaN, Number.POSITIVE_INFINITY, 3e38, -2).buffer);
    const wav = readWav(file('RIFF', pcm(1, 48000, 32, 3), chunk('data', [...body])));
    expect([...wav.channels[0]]).toEqual([0.5, 0, 0, 0, -2]);
    expect(wav.notes.join()).toMatch(/3 samples were no usable number/);
  });
});

describe('reading what the library writes', () => {
  // An independent writer: wavefile 11 packs the samples, this reader must find the same values.
  const kinds = [
    ['8', 128, 128],
    ['16', 2 ** 15, 0],
    ['24', 2 ** 23, 0],
    ['32', 2 ** 31, 0],
    ['12', 2 ** 11, 0],
    ['20', 2 ** 19, 0],
  ] as const;
  for (const container of ['RIFF', 'RIFX'] as const) {
    test.each(kinds)(`${container}, %s bits, 1 to 12 channels`, (depth, scale, zero) => {
      for (const channels of [1, 2, 6, 12]) {
        const samples = Array.from({ length: channels }, (_, c) =>
          Array.from({ length: 50 }, (_, i) =>
            i < 2 ? -i * scale + zero : Math.round(Math.sin(i * 7 + c) * (scale - 1)) + zero,
          ),
        );
        if (scale !== 128) for (const channel of samples) channel[1] = -scale;
        const file = new WaveFile();
        file.fromScratch(channels, 44100, depth, channels === 1 ? samples[0] : samples, { container });
        const wav = readWav(file.toBuffer());
        expect(wav.bits).toBe(Number(depth));
        expect(wav.channels.map(c => [...c])).toEqual(samples.map(c => c.map(x => Math.fround((x - zero) / scale))));
      }
    });

    test.each(['32f', '64'])(`${container}, %s float`, depth => {
      const samples = Array.from({ length: 40 }, (_, i) => Math.fround(Math.tan(i)));
      const file = new WaveFile();
      file.fromScratch(1, 192000, depth, samples, { container });
      const wav = readWav(file.toBuffer());
      expect(wav).toMatchObject({ format: 'float', sampleRate: 192000 });
      expect([...wav.channels[0]]).toEqual(samples);
    });
  }
});

describe('writing', () => {
  const integers = (bits: number) =>
    fc.array(fc.integer({ min: -(2 ** (bits - 1)), max: 2 ** (bits - 1) - 1 }), { minLength: 1, maxLength: 40 });

  test.each([16, 24] as const)('%s-bit integers return exactly, here and through wavefile', bits => {
    fc.assert(
      fc.property(integers(bits), fc.integer({ min: 1, max: 12 }), (values, channels) => {
        const scale = 2 ** (bits - 1);
        const written = Array.from({ length: channels }, (_, c) =>
          Float32Array.from(values, v => (c % 2 ? -1 - v : v) / scale),
        );
        const bytes = writeWav(written, { sampleRate: 48000, bits });
        expect(readWav(bytes).channels).toEqual(written);
        const other = new WaveFile();
        other.fromBuffer(bytes);
        const read = other.getSamples();
        const first = channels === 1 ? read : (read as Float64Array[])[0];
        expect([...(first as Float64Array)]).toEqual(values);
      }),
    );
  });

  test('32-bit floats return bit for bit, here and through wavefile', () => {
    fc.assert(
      fc.property(
        fc.array(fc.float({ min: -1000, max: 1000, noNaN: true }), { minLength: 1, maxLength: 60 }),
        values => {
          const written = [Float32Array.from(values), Float32Array.from(values).reverse()];
          const bytes = writeWav(written, { sampleRate: 96000, bits: '32f' });
          expect(readWav(bytes).channels).toEqual(written);
          const other = new WaveFile();
          other.fromBuffer(bytes);
          expect(other.bitDepth).toBe('32f');
          expect((other.getSamples() as Float64Array[]).map(c => Float32Array.from(c))).toEqual(written);
        },
      ),
    );
  });

  test('sizes, pad byte, title and comment', () => {
    const bytes = writeWav([new Float32Array(3)], {
      sampleRate: 44100,
      bits: 24,
      metadata: { title: 'Build B, riff', comment: 'Prüfpunkt 5 · 0.1 µF' },
    });
    const view = new DataView(bytes.buffer);
    expect(bytes.length % 2).toBe(0);
    expect(view.getUint32(4, true)).toBe(bytes.length - 8);
    // Nine sample bytes and one pad byte end the file; the chunk's own size leaves the pad out.
    expect(view.getUint32(bytes.length - 14, true)).toBe(9);
    const texts = { INAM: 'Build B, riff', ICMT: 'Prüfpunkt 5 · 0.1 µF' };
    expect(readWav(bytes).info).toEqual(texts);
    const other = new WaveFile();
    other.fromBuffer(bytes);
    expect(other.listTags()).toMatchObject(texts);
  });

  test('over-range samples are clipped, NaN is silence', () => {
    const bytes = writeWav([Float32Array.of(2, -2, Number.NaN, Number.POSITIVE_INFINITY)], {
      sampleRate: 8000,
      bits: 16,
    });
    expect([...readWav(bytes).channels[0]]).toEqual([32767 / 32768, -1, 0, 32767 / 32768]);
  });

  test('dither keeps the mean of a level between two steps and has the variance of rounding plus its own', () => {
    // Total error power of TPDF-dithered rounding is 1/12 + 1/6 = 1/4 step² whatever the signal (Lipshitz et al., 1992).
    const n = 200_000;
    for (const level of [0.1, 0.5, 0.85]) {
      const x = new Float32Array(n).fill(level / 32768);
      const y = readWav(writeWav([x], { sampleRate: 48000, bits: 16, dither: 7 })).channels[0];
      let mean = 0;
      let power = 0;
      for (const v of y) {
        const e = v * 32768 - level;
        mean += e / n;
        power += (e * e) / n;
      }
      expect(Math.abs(mean)).toBeLessThan(0.01);
      expect(power).toBeCloseTo(0.25, 2);
    }
  });

  test('the same seed gives the same file, another seed another', () => {
    const x = [Float32Array.from({ length: 500 }, (_, i) => Math.sin(i) / 3)];
    const write = (dither: number) => writeWav(x, { sampleRate: 48000, bits: 16, dither });
    expect(write(3)).toEqual(write(3));
    expect(write(3)).not.toEqual(write(4));
  });
});

describe('bad files are refused in words', () => {
  const good = writeWav([new Float32Array(800), new Float32Array(800)], { sampleRate: 8000, bits: 16 });
  const ascii = (s: string) => Uint8Array.from(letters(s));
  test.each([
    ['empty', new Uint8Array(0), /take\.wav is empty \(0 bytes\)/],
    ['text', ascii('Dear client, here are the recordings.'), /is a text, not a WAV file.*PCM/],
    ['noise', Uint8Array.from({ length: 99 }, (_, i) => i * 37), /does not begin like a WAV file/],
    ['FLAC', ascii('fLaC\0\0\0\0 and more'), /is a FLAC file.*\.flac/],
    ['AIFF', ascii('FORM\0\0\0\0AIFFCOMM'), /AIFF.*Save it as WAV or FLAC/],
    ['video', ascii('RIFF\0\0\0\0AVI LIST'), /holds no sound/],
    ['header only', good.slice(0, 20), /format chunk|ends inside its header/],
    ['no data chunk', file('RIFF', pcm(1, 8000, 16)), /no data chunk/],
    ['no samples', file('RIFF', pcm(1, 8000, 16), chunk('data', [])), /holds no samples/],
    ['no format', file('RIFF', chunk('data', [1, 2])), /no usable format chunk/],
    ['MP3 inside', file('RIFF', pcm(1, 8000, 16, 85), chunk('data', [1, 2])), /packed as MP3.*PCM samples/],
    ['Microsoft ADPCM inside', file('RIFF', pcm(1, 8000, 4, 2), chunk('data', [1, 2])), /packed as Microsoft ADPCM/],
    ['IMA ADPCM in odd blocks', file('RIFF', pcm(1, 8000, 4, 17), chunk('data', [1, 2])), /in blocks of 1 bytes/],
    ['no channels', file('RIFF', pcm(0, 8000, 16), chunk('data', [1, 2])), /0 channels; from 1 to 12/],
    ['too many channels', file('RIFF', pcm(13, 8000, 16), chunk('data', Array(26).fill(0))), /13 channels/],
    ['slow', file('RIFF', pcm(1, 4000, 16), chunk('data', [1, 2])), /4000 Hz; from 8000 to 192000/],
    ['64-bit integers', file('RIFF', pcm(1, 8000, 64), chunk('data', Array(8).fill(0))), /64-bit integers/],
    ['16-bit floats', file('RIFF', pcm(1, 8000, 16, 3), chunk('data', [1, 2])), /16-bit floats/],
  ])('%s', (_, bytes, message) => {
    expect(refused(bytes).message).toMatch(message);
  });

  test('a truncated file says how much is there, and opens on request', () => {
    const cut = good.slice(0, 44 + 4 * 200);
    const error = refused(cut);
    expect(error.message).toMatch(/ends too early: its header promises 0\.1 s of sound, 0\.025 s are there/);
    expect(error.readable).toBeCloseTo(0.025, 12);
    const wav = readWav(cut, { allowCut: true });
    expect(wav.frames).toBe(200);
    expect(wav.notes.join()).toMatch(/ends too early/);
  });

  test('a huge file is refused before any memory is taken', () => {
    const hour = file('RIFF', pcm(12, 48000, 16), [...letters('data'), ...u32(0xfffffff0)]);
    const longer = { size: hour.length + 0xfffffff0, read: (start: number, end: number) => hour.subarray(start, end) };
    expect(() => readWavHeader(longer, { name: 'take.wav' })).toThrow(
      /holds 62.1 min of 12 channels, more than fits in memory here\. Bring up to 11 minutes/,
    );
  });
});

/** Written by SoX 14.4.2 from `plain.wav`: two tones, 16 bits, 0.1 s; `-decoded` is what it reads back itself. */
describe('files as a common converter writes them', () => {
  const read = (name: string) =>
    readWav(new Uint8Array(readFileSync(new URL(`files/${name}.wav`, import.meta.url))), { name });
  const farthest = (one: string, other: string) => {
    const [a, b] = [read(one), read(other)];
    return Math.max(
      ...a.channels.map((channel, c) => channel.reduce((m, x, i) => Math.max(m, Math.abs(x - b.channels[c][i])), 0)),
    );
  };

  test('24 bits, big-endian, with an extensible header', () => {
    expect(read('rifx24')).toMatchObject({ frames: 800, bits: 24, container: 'RIFX', sampleRate: 8000, notes: [] });
    expect(farthest('rifx24', 'plain')).toBe(0);
  });

  for (const coding of ['alaw', 'mulaw', 'ima'])
    test(`${coding}: every sample as the converter itself reads it`, () => {
      const wav = read(coding);
      expect(wav).toMatchObject({ frames: 800, sampleRate: 8000 });
      expect(wav.channels.length).toBe(2);
      expect(wav.notes.join()).toMatch(/packed as/);
      expect(farthest(coding, `${coding}-decoded`)).toBe(0);
      if (coding !== 'ima') expect(farthest(coding, 'plain')).toBeLessThan(0.02);
    });

  test('a part of a packed file is that part of the whole', () => {
    const bytes = new Uint8Array(readFileSync(new URL('files/ima.wav', import.meta.url)));
    const [source, whole] = [memory(bytes), readWav(bytes)];
    const header = readWavHeader(source);
    for (const [from, to] of [
      [0, 1],
      [1, 800],
      [504, 506],
      [505, 505],
      [700, 900],
    ])
      expect(readFrames(source, header, from, to).channels).toEqual(whole.channels.map(c => c.slice(from, to)));
  });
});

test('the library still cannot be trusted with IMA ADPCM; when this fails, our own unpacking may go', () => {
  const wave = Array.from({ length: 505 * 3 }, (_, i) => Math.round(9000 * Math.sin(i / 9)));
  const library = new WaveFile();
  library.fromScratch(1, 8000, '16', wave);
  library.toIMAADPCM();
  const packed = library.toBuffer();
  library.fromIMAADPCM();
  const theirs = new Int16Array(library.data.samples.slice().buffer);
  const ours = readWav(packed).channels[0].map(x => x * 32768);
  // the first sample of a block twice
  expect(theirs[0]).toBe(theirs[1]);
  expect([...theirs.slice(2, 505)]).toEqual([...ours.slice(1, 504)]);
});

// ITU-T G.711 (11/1988), tables 1a and 2a: decision and output values, here as 16-bit samples (13 and 14 bits upwards).
describe('the logarithmic laws of G.711', () => {
  const decoded = (tag: number) => {
    const data = Array.from({ length: 256 }, (_, i) => i);
    return [...readWav(file('RIFF', pcm(1, 8000, 8, tag), chunk('data', data))).channels[0]].map(x => x * 32768);
  };

  test('A-law: all 256 values', () => {
    // even bits are turned; the sign bit set means positive; 16 steps of one size in each of seven segments, the first twice as long
    const value = (code: number) => {
      const c = code ^ 0x55;
      const [segment, step] = [(c >> 4) & 7, c & 15];
      const size = segment === 0 ? 2 * step + 1 : (2 * step + 33) * 2 ** (segment - 1);
      return (c & 0x80 ? 1 : -1) * size * 8;
    };
    expect(decoded(6)).toEqual(Array.from({ length: 256 }, (_, i) => value(i)));
    // output values 1 and 128 of the table: ±1 and ±4032 of ±4096
    expect(decoded(6)[0xd5]).toBe(8);
    expect(decoded(6)[0xaa]).toBe(4032 * 8);
  });

  test('µ-law: all 256 values', () => {
    const value = (code: number) => {
      const c = ~code & 0xff;
      const size = ((2 * (c & 15) + 33) << ((c >> 4) & 7)) - 33;
      return (c & 0x80 ? -1 : 1) * size * 4 + 0;
    };
    expect(decoded(7)).toEqual(Array.from({ length: 256 }, (_, i) => value(i) + 0));
    // output values 0 and 127 of the table: 0 and ±8031 of ±8159
    expect(decoded(7)[0xff]).toBe(0);
    expect(decoded(7)[0x80]).toBe(8031 * 4);
  });
});

test('10,000 mutated headers and bodies: a sentence or finite samples, never anything else', () => {
  const tone = Array.from({ length: 3 }, (_, c) => Float32Array.from({ length: 60 }, (_, i) => Math.sin(i * (c + 1))));
  const meta = { metadata: { title: 'Title', comment: 'A comment' } };
  const rifx = new WaveFile();
  rifx.fromScratch(2, 48000, '24', [Array(20).fill(5), Array(20).fill(-5)], { container: 'RIFX' });
  const cue = [...u32(1), ...u32(1), ...u32(2), ...letters('data'), ...u32(0), ...u32(0), ...u32(2)];
  const ds64 = chunk('ds64', [...u32(0), ...u32(0), ...u32(8), ...u32(0), ...u32(2), ...u32(0), ...u32(0)]);
  const seeds = [
    writeWav(tone, { sampleRate: 48000, bits: 16, ...meta }),
    writeWav(tone, { sampleRate: 96000, bits: '32f', ...meta }),
    writeWav(tone.slice(1), { sampleRate: 44100, bits: 24 }),
    rifx.toBuffer(),
    file('RF64', ds64, extensible(1, 48000, 16, 12), [...letters('data'), ...u32(0xffffffff), ...Array(8).fill(9)]),
    file('RIFF', extensible(2, 48000, 64, 64, 3), chunk('cue ', cue), chunk('data', Array(160).fill(63))),
    file(
      'RIFF',
      chunk('LIST', [...letters('INFO'), ...chunk('INAM', [65, 0])]),
      pcm(1, 8000, 8),
      chunk('data', [1, 2, 3]),
    ),
  ];
  const edit = fc.record({
    // Twice as often in the header, where it hurts.
    at: fc.oneof(fc.nat(60), fc.nat(60), fc.nat(2000)),
    to: fc.oneof(fc.constantFrom(0, 1, 127, 128, 255), fc.nat(255)),
  });
  const mutation = fc.record({
    seed: fc.nat(seeds.length - 1),
    edits: fc.array(edit, { maxLength: 6 }),
    cut: fc.option(fc.nat(300), { freq: 3 }),
    insert: fc.option(fc.tuple(fc.nat(200), fc.uint8Array({ maxLength: 12 })), { freq: 3 }),
    allowCut: fc.boolean(),
  });
  fc.assert(
    fc.property(mutation, ({ seed, edits, cut, insert, allowCut }) => {
      let bytes = seeds[seed].slice();
      for (const { at, to } of edits) bytes[at % bytes.length] = to;
      if (insert) {
        const at = insert[0] % bytes.length;
        bytes = Uint8Array.from([...bytes.subarray(0, at), ...insert[1], ...bytes.subarray(at)]);
      }
      if (cut !== null) bytes = bytes.slice(0, cut);
      try {
        const wav = readWav(bytes, { name: 'take.wav', allowCut });
        if (wav.frames < 1 || wav.channels.length < 1) throw new Error('read as nothing');
        for (const channel of wav.channels) if (!channel.every(Number.isFinite)) throw new Error('not finite');
      } catch (error) {
        if (!(error instanceof WavError)) throw error;
        // A sentence that names the file, says what is wrong, and ends with what would work.
        if (!/^take\.wav .{15,}\. .*\.$/s.test(error.message)) throw new Error(`unclear: ${error.message}`);
      }
    }),
    { numRuns: 10_000 },
  );
});
