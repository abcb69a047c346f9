/**
 * The packed codings of WAV files, unpacked to 16-bit samples: A-law and µ-law (ITU-T G.711) by the `wavefile` library;
 * IMA ADPCM in blocks (IMA Digital Audio Focus and Technical Working Groups, Recommended Practices 3.0, 1992) here, since
 * the library knows one channel only, gives the first sample of each block twice and leaves the last block out.
 */
import { riff } from './riff.ts';
import { WaveFile } from './wavefile.ts';

export type Coding = 'A-law' | 'µ-law' | 'IMA ADPCM';

export interface Packing {
  coding: Coding;
  channels: number;
  /** Bytes of the smallest piece that can be unpacked by itself. */
  blockAlign: number;
  /** Samples of each channel in it. */
  framesOfBlock: number;
}

/** Header of one channel in a block of IMA ADPCM, and a channel's share of what follows at a time, bytes. */
const IMA_HEAD = 4;
const IMA_SHARE = 4;

/** How a coding lies in blocks of `blockAlign` bytes; null: it cannot. */
export function packingOf(coding: Coding, channels: number, blockAlign: number): Packing | null {
  if (coding !== 'IMA ADPCM') return { coding, channels, blockAlign: channels, framesOfBlock: 1 };
  const each = blockAlign / channels;
  if (!Number.isInteger(each) || each <= IMA_HEAD || each % IMA_SHARE !== 0) return null;
  // the header holds one sample, every byte behind it two
  return { coding, channels, blockAlign, framesOfBlock: 1 + 2 * (each - IMA_HEAD) };
}

/** Bytes of a logarithmic law as the library unpacks them: 16-bit samples, low byte first. */
function lawByLibrary(coding: 'A-law' | 'µ-law', bytes: Uint8Array): Uint8Array {
  const fmt = new DataView(new ArrayBuffer(18));
  fmt.setUint16(0, coding === 'A-law' ? 6 : 7, true);
  fmt.setUint16(2, 1, true);
  fmt.setUint32(4, 8000, true);
  fmt.setUint32(8, 8000, true);
  fmt.setUint16(12, 1, true);
  fmt.setUint16(14, 8, true);
  const file = new WaveFile();
  const parts: [string, Uint8Array][] = [
    ['fmt ', new Uint8Array(fmt.buffer)],
    ['data', bytes],
  ];
  file.fromBuffer(riff('RIFF', parts, false));
  if (coding === 'A-law') file.fromALaw();
  else file.fromMuLaw();
  return file.data.samples;
}

/** Quantizer steps, and how far each magnitude moves along them (Recommended Practices 3.0, section 6). */
const STEPS = [
  7, 8, 9, 10, 11, 12, 13, 14, 16, 17, 19, 21, 23, 25, 28, 31, 34, 37, 41, 45, 50, 55, 60, 66, 73, 80, 88, 97, 107, 118,
  130, 143, 157, 173, 190, 209, 230, 253, 279, 307, 337, 371, 408, 449, 494, 544, 598, 658, 724, 796, 876, 963, 1060,
  1166, 1282, 1411, 1552, 1707, 1878, 2066, 2272, 2499, 2749, 3024, 3327, 3660, 4026, 4428, 4871, 5358, 5894, 6484,
  7132, 7845, 8630, 9493, 10442, 11487, 12635, 13899, 15289, 16818, 18500, 20350, 22385, 24623, 27086, 29794, 32767,
];
const MOVES = [-1, -1, -1, -1, 2, 4, 6, 8];

/** One channel of one IMA block into `out` from sample `at` on, every `stride` samples. */
function imaChannel(
  bytes: DataView,
  channel: number,
  packing: Packing,
  block: number,
  out: DataView,
  at: number,
): void {
  const { channels, framesOfBlock } = packing;
  const stride = 2 * channels;
  const head = block + IMA_HEAD * channel;
  let sample = bytes.getInt16(head, true);
  let index = Math.min(STEPS.length - 1, bytes.getUint8(head + 2));
  let to = at;
  out.setInt16(to, sample, true);
  for (let i = 0; i < framesOfBlock - 1; i++) {
    // after the headers, four bytes of each channel by turns; the lower half of a byte is the earlier sample
    const byte = i >> 1;
    const from = block + IMA_HEAD * channels + (byte & ~3) * channels + IMA_SHARE * channel + (byte & 3);
    const code = (bytes.getUint8(from) >> (i & 1 ? 4 : 0)) & 15;
    const step = STEPS[index];
    let change = step >> 3;
    if (code & 4) change += step;
    if (code & 2) change += step >> 1;
    if (code & 1) change += step >> 2;
    sample = Math.max(-32768, Math.min(32767, code & 8 ? sample - change : sample + change));
    index = Math.max(0, Math.min(STEPS.length - 1, index + MOVES[code & 7]));
    to += stride;
    out.setInt16(to, sample, true);
  }
}

/** Whole blocks as interleaved 16-bit samples, low byte first. */
export function unpack(bytes: Uint8Array, packing: Packing): Uint8Array {
  const { coding, channels, blockAlign, framesOfBlock } = packing;
  if (coding !== 'IMA ADPCM') return lawByLibrary(coding, bytes);
  const blocks = Math.floor(bytes.length / blockAlign);
  const out = new Uint8Array(2 * channels * blocks * framesOfBlock);
  const [input, output] = [new DataView(bytes.buffer, bytes.byteOffset, bytes.length), new DataView(out.buffer)];
  for (let block = 0; block < blocks; block++)
    for (let c = 0; c < channels; c++)
      imaChannel(input, c, packing, block * blockAlign, output, 2 * (block * framesOfBlock * channels + c));
  return out;
}
