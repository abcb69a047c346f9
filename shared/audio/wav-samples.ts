/**
 * PCM and float sample bytes to Float32Array channels. Full scale is 2^(bits−1) for integers, so −1 is reached and +1
 * is not; 8-bit samples are unsigned around 128 (IBM and Microsoft, Multimedia Programming Interface and Data
 * Specifications 1.0, 1991). Integers of up to 24 bits are exact in 32-bit float; of 32-bit ones the nearest float.
 */

/** How samples lie in the bytes. */
export interface SampleLayout {
  channels: number;
  /** Bytes of one sample of one channel: 1 to 4 for integers, 4 or 8 for floats. */
  container: number;
  /** Bytes from one frame to the next; at least channels × container. */
  blockAlign: number;
  format: 'int' | 'float';
  bigEndian: boolean;
  /** Integers: the value that stands for full scale, 2^(bits−1) of what the container holds. */
  fullScale: number;
}

/** Beyond this magnitude (120 dB over full scale) a float is damage, not sound. */
const ABSURD = 1e6;
const BLOCK = 2048;

/**
 * Decodes `frames` frames from `bytes` (starting at its first byte) into `out[channel][at …]`. Frames are taken in blocks,
 * channel by channel, so that reads stay in cache. Floats that are not finite or absurdly large become 0.
 * Returns how many floats were so replaced.
 */
export function decodeSamples(
  bytes: Uint8Array,
  layout: SampleLayout,
  out: Float32Array[],
  at: number,
  frames: number,
): number {
  let replaced = 0;
  for (let first = 0; first < frames; first += BLOCK) {
    const n = Math.min(BLOCK, frames - first);
    for (let c = 0; c < layout.channels; c++) {
      const from = first * layout.blockAlign + c * layout.container;
      if (layout.format === 'float') replaced += decodeFloats(bytes, layout, from, out[c], at + first, n);
      else decodeIntegers(bytes, layout, from, out[c], at + first, n);
    }
  }
  return replaced;
}

function decodeIntegers(b: Uint8Array, layout: SampleLayout, from: number, out: Float32Array, at: number, n: number) {
  const { blockAlign, container, bigEndian } = layout;
  const last = container - 1;
  const [lo, hi] = bigEndian ? [last, 0] : [0, last];
  let p = from;
  if (container === 1) {
    const g = 1 / layout.fullScale;
    for (let i = 0; i < n; i++, p += blockAlign) out[at + i] = (b[p] - 128) * g;
  } else if (container === 2) {
    const g = 1 / (layout.fullScale * 65536);
    for (let i = 0; i < n; i++, p += blockAlign) out[at + i] = ((b[p + hi] << 24) | (b[p + lo] << 16)) * g;
  } else if (container === 3) {
    const g = 1 / (layout.fullScale * 256);
    for (let i = 0; i < n; i++, p += blockAlign) {
      out[at + i] = ((b[p + hi] << 24) | (b[p + 1] << 16) | (b[p + lo] << 8)) * g;
    }
  } else {
    const g = 1 / layout.fullScale;
    const [m1, m2] = bigEndian ? [1, 2] : [2, 1];
    for (let i = 0; i < n; i++, p += blockAlign) {
      out[at + i] = ((b[p + hi] << 24) | (b[p + m1] << 16) | (b[p + m2] << 8) | b[p + lo]) * g;
    }
  }
}

function decodeFloats(b: Uint8Array, layout: SampleLayout, from: number, out: Float32Array, at: number, n: number) {
  const { blockAlign, container } = layout;
  const little = !layout.bigEndian;
  const view = new DataView(b.buffer, b.byteOffset, b.byteLength);
  let replaced = 0;
  let p = from;
  for (let i = 0; i < n; i++, p += blockAlign) {
    const x = container === 4 ? view.getFloat32(p, little) : view.getFloat64(p, little);
    // Written so that NaN fails the comparison.
    if (x <= ABSURD && x >= -ABSURD) out[at + i] = x;
    else {
      out[at + i] = 0;
      replaced++;
    }
  }
  return replaced;
}

/**
 * True if integers of `bits` bits stand in the lower end of their wider container. The standard puts them in the upper
 * end with zeros below (left-justified), but both are met. Looked for in `bytes`: low bits in use, and nothing above
 * the range of `bits`.
 */
export function standsInLowBits(bytes: Uint8Array, layout: SampleLayout, bits: number): boolean {
  const spare = layout.container * 8 - bits;
  if (layout.format === 'float' || spare <= 0) return false;
  const unscaled: SampleLayout = { ...layout, fullScale: 1 };
  const frames = Math.floor(bytes.length / layout.blockAlign);
  const values = Array.from({ length: layout.channels }, () => new Float32Array(frames));
  decodeSamples(bytes, unscaled, values, 0, frames);
  const step = 2 ** spare;
  const limit = 2 ** (bits - 1);
  let lowBits = false;
  for (const channel of values) {
    for (const x of channel) {
      if (x >= limit || x < -limit) return false;
      if (x % step !== 0) lowBits = true;
    }
  }
  return lowBits;
}
