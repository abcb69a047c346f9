/**
 * What a compressed file says of itself before it is unpacked: its rate, since browsers resample to the rate they are asked
 * for, and how much it unpacks to, since a small file may fill all memory: FLAC (RFC 9639), Ogg with Vorbis, Opus or FLAC (RFC 3533, RFC 7845, Vorbis I specification), MPEG audio
 * layers and ADTS (ISO/IEC 11172-3, 13818-7), MP4 (ISO/IEC 14496-12).
 */

export type Compressed = 'FLAC' | 'Ogg Vorbis' | 'Opus' | 'MP3' | 'AAC' | 'MP4';
export interface CompressedHeader {
  format: Compressed;
  /** Hz; null: it does not say. */
  sampleRate: number | null;
  /** null: it does not say. */
  channels: number | null;
  /** s; null: it does not say. */
  seconds: number | null;
}

const MPEG_RATES = [44100, 48000, 32000];
const ADTS_RATES = [96000, 88200, 64000, 48000, 44100, 32000, 24000, 22050, 16000, 12000, 11025, 8000, 7350];

const letters = (b: Uint8Array, at: number, text: string): boolean =>
  at >= 0 && at + text.length <= b.length && [...text].every((c, i) => b[at + i] === c.charCodeAt(0));

const find = (b: Uint8Array, text: string, from = 0, to = b.length): number => {
  for (let i = from; i + text.length <= Math.min(to, b.length); i++) if (letters(b, i, text)) return i;
  return -1;
};

const view = (b: Uint8Array): DataView => new DataView(b.buffer, b.byteOffset, b.length);
const header = (
  format: Compressed,
  sampleRate: number | null = null,
  channels: number | null = null,
  seconds: number | null = null,
): CompressedHeader => ({ format, sampleRate, channels, seconds });

/** CRC-8 of RFC 9639, 9.1.8: polynomial x⁸ + x² + x + 1. */
function crc8(b: Uint8Array): number {
  let crc = 0;
  for (const byte of b) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 0x80 ? ((crc << 1) ^ 0x07) & 255 : (crc << 1) & 255;
  }
  return crc;
}

/** Number of the frame (or its first sample) and samples in it, of the FLAC frame header at `at`; null: none stands there. */
function flacFrame(b: Uint8Array, at: number): { number: number; size: number; variable: boolean } | null {
  if (at + 16 > b.length || b[at] !== 0xff || (b[at + 1] & 0xfe) !== 0xf8) return null;
  const sizeBits = b[at + 2] >> 4;
  const rateBits = b[at + 2] & 15;
  if (sizeBits === 0 || rateBits === 15 || b[at + 3] & 1 || b[at + 3] >> 4 > 10) return null;
  // the number is written as UTF-8 writes a character, up to seven bytes
  const first = b[at + 4];
  const extra = first < 0x80 ? 0 : first < 0xc0 ? -1 : Math.clz32(~first << 24) - 1;
  if (extra < 0 || extra > 6) return null;
  let number = extra === 0 ? first : first & (0x3f >> extra);
  let next = at + 5;
  for (let i = 0; i < extra; i++, next++) {
    if ((b[next] & 0xc0) !== 0x80) return null;
    number = number * 64 + (b[next] & 0x3f);
  }
  let size = sizeBits === 1 ? 192 : sizeBits < 6 ? 576 << (sizeBits - 2) : 256 << (sizeBits - 8);
  if (sizeBits === 6) size = b[next++] + 1;
  if (sizeBits === 7) {
    size = ((b[next] << 8) | b[next + 1]) + 1;
    next += 2;
  }
  next += rateBits === 12 ? 1 : rateBits > 12 ? 2 : 0;
  if (next >= b.length || crc8(b.subarray(at, next)) !== b[next]) return null;
  return { number, size, variable: (b[at + 1] & 1) === 1 };
}

/** Samples up to the end of the last two frames that follow each other in `tail`; 0: there are no two. */
function flacEnd(tail: Uint8Array): number {
  let end = 0;
  let before: ReturnType<typeof flacFrame> = null;
  for (let at = 0; at < tail.length; at++) {
    const frame = flacFrame(tail, at);
    if (!frame) continue;
    // sound may look like a header by chance, but not like the one that comes next
    if (before && frame.number - before.number === (frame.variable ? before.size : 1))
      end = frame.variable ? frame.number + frame.size : frame.number * before.size + frame.size;
    before = frame;
  }
  return end;
}

/** The STREAMINFO block that follows `fLaC` at `at`; its length is not believed where the last frames say more. */
function flac(b: Uint8Array, at: number, tail: Uint8Array): CompressedHeader {
  if (at + 26 > b.length) return header('FLAC');
  const rate = (b[at + 18] << 12) | (b[at + 19] << 4) | (b[at + 20] >> 4) || null;
  const said = (b[at + 21] & 15) * 2 ** 32 + view(b).getUint32(at + 22);
  const frames = Math.max(said, flacEnd(tail));
  return header('FLAC', rate, ((b[at + 20] >> 1) & 7) + 1, rate && frames > 0 ? frames / rate : null);
}

/** s that the last page of an Ogg file in `tail` ends at. */
function oggEnd(tail: Uint8Array, rate: number | null): number | null {
  for (let at = tail.length - 27; at >= 0; at--) {
    if (!letters(tail, at, 'OggS')) continue;
    const position = Number(view(tail).getBigInt64(at + 6, true));
    if (position > 0 && rate) return position / rate;
  }
  return null;
}

function ogg(b: Uint8Array, tail: Uint8Array): CompressedHeader {
  const opus = find(b, 'OpusHead', 0, 512);
  if (opus >= 0) return header('Opus', 48000, b[opus + 9] || null, oggEnd(tail, 48000));
  const vorbis = find(b, '\x01vorbis', 0, 512);
  if (vorbis >= 0 && vorbis + 16 <= b.length) {
    const rate = view(b).getUint32(vorbis + 12, true) || null;
    return header('Ogg Vorbis', rate, b[vorbis + 11] || null, oggEnd(tail, rate));
  }
  const inside = find(b, 'fLaC', 0, 512);
  return inside >= 0 ? flac(b, inside, tail) : header('Ogg Vorbis');
}

/** kbit/s of layer III by index: MPEG 1, and the lower rates of 2 and 2.5. */
const BITRATES = [
  [0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320],
  [0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160],
];

/** The MPEG audio or ADTS frame that begins at `at`, of `size` bytes of sound in all. */
function frameAt(b: Uint8Array, at: number, size: number): CompressedHeader | null {
  if (at + 4 > b.length || b[at] !== 0xff || (b[at + 1] & 0xe0) !== 0xe0) return null;
  const layer = (b[at + 1] >> 1) & 3;
  const index = (b[at + 2] >> 2) & 3;
  if (layer === 0) {
    if ((b[at + 1] & 0xf0) !== 0xf0) return null;
    const rate = ADTS_RATES[(b[at + 2] >> 2) & 15];
    const channels = ((b[at + 2] & 1) << 2) | (b[at + 3] >> 6);
    return rate === undefined ? null : header('AAC', rate, channels === 7 ? 8 : channels || null);
  }
  const version = (b[at + 1] >> 3) & 3;
  const bitrate = b[at + 2] >> 4;
  if (version === 1 || index === 3 || bitrate === 15) return null;
  const old = version === 3;
  const rate = MPEG_RATES[index] / (old ? 1 : version === 2 ? 2 : 4);
  const mono = b[at + 3] >> 6 === 3;
  const side = at + 4 + (old ? (mono ? 17 : 32) : mono ? 9 : 17);
  const counted = (letters(b, side, 'Xing') || letters(b, side, 'Info')) && side + 12 <= b.length && b[side + 7] & 1;
  const pace = BITRATES[old ? 0 : 1][bitrate] * 125;
  const samples = old ? 1152 : 576;
  let seconds: number | null = null;
  if (counted) seconds = (view(b).getUint32(side + 8) * samples) / rate;
  else if (layer === 1 && pace > 0 && size > 0) seconds = size / pace;
  return header('MP3', rate, mono ? 1 : 2, seconds);
}

function mp4(parts: readonly Uint8Array[]): CompressedHeader {
  let [rate, channels, seconds]: (number | null)[] = [null, null, null];
  for (const part of parts) {
    const entry = find(part, 'mp4a');
    if (rate === null && entry >= 0 && entry + 30 <= part.length) {
      rate = view(part).getUint16(entry + 28) || null;
      channels = view(part).getUint16(entry + 20) || null;
    }
    const movie = find(part, 'mvhd');
    if (seconds === null && movie >= 0 && movie + 36 <= part.length) {
      const wide = part[movie + 4] === 1;
      const scale = view(part).getUint32(movie + (wide ? 24 : 16));
      const length = wide ? Number(view(part).getBigUint64(movie + 28)) : view(part).getUint32(movie + 20);
      seconds = scale > 0 && length > 0 ? length / scale : null;
    }
  }
  return header('MP4', rate, channels, seconds);
}

/**
 * What kind of compressed file `head` begins and what it says of itself; null: none that is known here.
 * @param head the first bytes of the file, 64 kB or more
 * @param tail its last bytes
 * @param size bytes of the whole file
 */
export function compressedHeader(
  head: Uint8Array,
  tail: Uint8Array = new Uint8Array(0),
  size = head.length,
): CompressedHeader | null {
  let b = head;
  if (letters(b, 0, 'ID3') && b.length > 10) {
    const tag = ((b[6] & 127) << 21) | ((b[7] & 127) << 14) | ((b[8] & 127) << 7) | (b[9] & 127);
    b = b.subarray(10 + tag);
    // a picture longer than what was read hides the first frame
    if (b.length < 4) return header('MP3');
  }
  if (letters(b, 0, 'fLaC')) return flac(b, 0, tail);
  if (letters(b, 0, 'OggS')) return ogg(b, tail);
  if (letters(b, 4, 'ftyp')) return mp4([b, tail]);
  return frameAt(b, 0, size - (head.length - b.length)) ?? (b !== head ? header('MP3') : null);
}
