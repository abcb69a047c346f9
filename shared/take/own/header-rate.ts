/**
 * The sample rate that a compressed file was made at, read off its header, since browsers resample to the rate they are
 * asked for: FLAC (RFC 9639), Ogg with Vorbis, Opus or FLAC (RFC 3533, RFC 7845, Vorbis I specification), MPEG audio
 * layers and ADTS (ISO/IEC 11172-3, 13818-7), MP4 (ISO/IEC 14496-12).
 */

export type Compressed = 'FLAC' | 'Ogg Vorbis' | 'Opus' | 'MP3' | 'AAC' | 'MP4';
export interface HeaderRate {
  format: Compressed;
  /** Hz; null: it does not say. */
  sampleRate: number | null;
}

const MPEG_RATES = [44100, 48000, 32000];
const ADTS_RATES = [96000, 88200, 64000, 48000, 44100, 32000, 24000, 22050, 16000, 12000, 11025, 8000, 7350];

const letters = (b: Uint8Array, at: number, text: string): boolean =>
  at >= 0 && at + text.length <= b.length && [...text].every((c, i) => b[at + i] === c.charCodeAt(0));

const find = (b: Uint8Array, text: string, from = 0, to = b.length): number => {
  for (let i = from; i + text.length <= Math.min(to, b.length); i++) if (letters(b, i, text)) return i;
  return -1;
};

/** Rate in the STREAMINFO block that follows `fLaC` at `at`. */
const flacRate = (b: Uint8Array, at: number): number | null => {
  if (at + 21 > b.length) return null;
  return (b[at + 18] << 12) | (b[at + 19] << 4) | (b[at + 20] >> 4) || null;
};

/** Rate of an MPEG audio or ADTS frame that begins at `at`. */
function frameAt(b: Uint8Array, at: number): HeaderRate | null {
  if (at + 4 > b.length || b[at] !== 0xff || (b[at + 1] & 0xe0) !== 0xe0) return null;
  const layer = (b[at + 1] >> 1) & 3;
  const index = (b[at + 2] >> 2) & 3;
  if (layer === 0) {
    if ((b[at + 1] & 0xf0) !== 0xf0) return null;
    const rate = ADTS_RATES[(b[at + 2] >> 2) & 15];
    return rate === undefined ? null : { format: 'AAC', sampleRate: rate };
  }
  const version = (b[at + 1] >> 3) & 3;
  const bitrate = b[at + 2] >> 4;
  if (version === 1 || index === 3 || bitrate === 15) return null;
  return { format: 'MP3', sampleRate: MPEG_RATES[index] / (version === 3 ? 1 : version === 2 ? 2 : 4) };
}

/**
 * What kind of compressed file `head` begins and its rate; null: none that is known here.
 * @param head the first bytes of the file, 64 kB or more
 * @param tail its last bytes, where some MP4 files keep their tables
 */
export function headerRate(head: Uint8Array, tail: Uint8Array = new Uint8Array(0)): HeaderRate | null {
  let b = head;
  if (letters(b, 0, 'ID3') && b.length > 10) {
    const size = ((b[6] & 127) << 21) | ((b[7] & 127) << 14) | ((b[8] & 127) << 7) | (b[9] & 127);
    b = b.subarray(10 + size);
    // a picture longer than what was read hides the first frame
    if (b.length < 4) return { format: 'MP3', sampleRate: null };
  }
  if (letters(b, 0, 'fLaC')) return { format: 'FLAC', sampleRate: flacRate(b, 0) };
  if (letters(b, 0, 'OggS')) {
    if (find(b, 'OpusHead', 0, 512) >= 0) return { format: 'Opus', sampleRate: 48000 };
    const vorbis = find(b, '\x01vorbis', 0, 512);
    if (vorbis >= 0 && vorbis + 16 <= b.length) {
      const rate = new DataView(b.buffer, b.byteOffset + vorbis + 12, 4).getUint32(0, true);
      return { format: 'Ogg Vorbis', sampleRate: rate || null };
    }
    const flac = find(b, 'fLaC', 0, 512);
    return flac >= 0 ? { format: 'FLAC', sampleRate: flacRate(b, flac) } : { format: 'Ogg Vorbis', sampleRate: null };
  }
  if (letters(b, 4, 'ftyp')) {
    for (const part of [b, tail]) {
      const entry = find(part, 'mp4a');
      if (entry >= 0 && entry + 30 <= part.length) {
        const rate = (part[entry + 28] << 8) | part[entry + 29];
        if (rate > 0) return { format: 'MP4', sampleRate: rate };
      }
    }
    return { format: 'MP4', sampleRate: null };
  }
  return frameAt(b, 0) ?? (b !== head ? { format: 'MP3', sampleRate: null } : null);
}
