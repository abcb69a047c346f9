/**
 * A look-ahead limiter for true peaks, linked over outputs. Peaks between samples are found as in ITU-R BS.1770-5,
 * Annex 2 (four times oversampled); the gain falls along a straight line of 64 samples that ends before the peak, so no
 * sample is clipped. With nothing to limit it is a delay of 96 samples, exact to the last bit.
 */
import { BLOCK } from './partition.ts';

/** Delay of the limiter, samples. */
export const LOOK_AHEAD = 96;
/** What the output stays below, dBFS true peak. */
const CEILING_DB = -1;
/** Below the ceiling, dB: what four-fold oversampling misses (0.69 dB at half the sample rate) and the gain's own slope. */
const MARGIN_DB = 1;
/** Samples the gain takes to fall. */
const SLOPE = 64;
/** Samples each side that an interpolated value is made of. */
const REACH = 16;
/** Samples before and after a peak that are held down as far as the peak itself. */
const BEFORE = LOOK_AHEAD - REACH - SLOPE + 1;
const AFTER = 5;
/** Samples over which the lowest gain is held. */
const HOLD = SLOPE + BEFORE + AFTER;
const RELEASE_SECONDS = 0.08;
/** Largest input, +36 dBFS: beyond it no gain helps, samples are cut. */
const LARGEST = 64;

/** Values at 1/4, 1/2 and 3/4 of the way between two samples, by sinc with a Kaiser window (β = 4): [phase][32]. */
const interpolators: Float64Array[] = [0.25, 0.5, 0.75].map(part => {
  const taps = Float64Array.from({ length: 2 * REACH }, (_, i) => {
    const x = i - (REACH - 1) - part;
    const u = x / REACH;
    return (Math.sin(Math.PI * x) / (Math.PI * x)) * (bessel0(4 * Math.sqrt(1 - u * u)) / bessel0(4));
  });
  const sum = taps.reduce((a, b) => a + b, 0);
  return taps.map(tap => tap / sum);
});
/** A value between samples is at most this many times the largest of its neighbours. */
const GAIN_BOUND = Math.max(...interpolators.map(taps => taps.reduce((a, b) => a + Math.abs(b), 0)));

/** Modified Bessel function of order 0 by its power series. */
function bessel0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let n = 1; n < 40; n++) {
    term *= (x / (2 * n)) ** 2;
    sum += term;
  }
  return sum;
}

/** Samples of past input in front of each block: the delay, and what interpolation reaches back to. */
const PAST = LOOK_AHEAD + 2 * REACH;

export class Limiter {
  readonly outputs: number;
  #ceiling = 10 ** ((CEILING_DB - MARGIN_DB) / 20);
  #release: number;
  /** Past and current input, [output]. */
  #lines: Float64Array[] = [];
  #peaks = new Float64Array(BLOCK);
  /** Needed gains of the last HOLD samples, and a queue of rising minima over them (sample number, gain). */
  #queueAt = new Float64Array(HOLD + 1);
  #queueGain = new Float64Array(HOLD + 1);
  #head = 0;
  #count = 0;
  #time = 0;
  /** Last SLOPE held gains, a ring; its mean is the gain. */
  #held = new Float64Array(SLOPE).fill(1);
  #heldAt = 0;
  #heldSum = SLOPE;
  #ones = SLOPE;
  #last = 1;
  /** Largest sample of the block before. */
  #lastPeak = 0;
  /** Samples since a peak last needed a gain below 1. */
  #since = HOLD;
  /** Lowest gain of the last block, linear. */
  gain = 1;

  constructor(outputs: number, sampleRate: number) {
    this.outputs = outputs;
    this.#release = 1 - Math.exp(-1 / (RELEASE_SECONDS * sampleRate));
    for (let o = 0; o < outputs; o++) this.#lines.push(new Float64Array(PAST + BLOCK));
  }

  reset(): void {
    for (const line of this.#lines) line.fill(0);
    this.#lastPeak = 0;
    this.#count = 0;
    this.#since = HOLD;
    this.#idle();
  }

  /** One block of every output, in place. */
  process(blocks: readonly Float64Array[]): void {
    const size = BLOCK;
    const past = PAST;
    let peak = 0;
    for (let o = 0; o < this.outputs; o++) {
      const line = this.#lines[o];
      const block = blocks[o];
      line.copyWithin(0, size);
      for (let i = 0; i < size; i++) {
        const x = block[i];
        const cut = x > LARGEST ? LARGEST : Math.max(x, -LARGEST);
        line[past + i] = cut;
        const magnitude = cut < 0 ? -cut : cut;
        if (magnitude > peak) peak = magnitude;
      }
    }
    // What interpolation reaches back to lies in the block before.
    const largest = Math.max(peak, this.#lastPeak);
    this.#lastPeak = peak;
    const busy = largest * GAIN_BOUND > this.#ceiling;
    if (!busy && this.#since >= HOLD && this.#ones >= SLOPE) {
      this.gain = 1;
      for (let o = 0; o < this.outputs; o++) {
        const line = this.#lines[o];
        const block = blocks[o];
        for (let i = 0; i < size; i++) block[i] = line[past - LOOK_AHEAD + i];
      }
      return;
    }
    this.#peaks.fill(0);
    if (busy) for (let o = 0; o < this.outputs; o++) this.#findPeaks(this.#lines[o]);
    this.#reduce(blocks);
  }

  /** The larger of |x| and the three values that follow it, for the samples REACH before each of the block. */
  #findPeaks(line: Float64Array): void {
    const size = BLOCK;
    const past = PAST;
    const peaks = this.#peaks;
    const [first, second, third] = interpolators;
    for (let i = 0; i < size; i++) {
      const start = past + i - 2 * REACH + 1;
      let a = 0;
      let b = 0;
      let c = 0;
      for (let t = 0; t < 2 * REACH; t++) {
        const x = line[start + t];
        a += x * first[t];
        b += x * second[t];
        c += x * third[t];
      }
      const x = Math.abs(line[start + REACH - 1]);
      peaks[i] = Math.max(peaks[i], x, Math.abs(a), Math.abs(b), Math.abs(c));
    }
  }

  #reduce(blocks: readonly Float64Array[]): void {
    const size = BLOCK;
    const past = PAST;
    const held = this.#held;
    let lowest = 1;
    for (let i = 0; i < size; i++) {
      const peak = this.#peaks[i];
      const needed = peak > this.#ceiling ? this.#ceiling / peak : 1;
      this.#since = needed < 1 ? 0 : this.#since + 1;
      const floor = this.#lowestOf(needed);
      let hold = this.#last + (1 - this.#last) * this.#release;
      if (hold > 1 - 1e-5) hold = 1;
      if (floor < hold) hold = floor;
      this.#last = hold;
      this.#ones = hold === 1 ? this.#ones + 1 : 0;
      this.#heldSum += hold - held[this.#heldAt];
      held[this.#heldAt] = hold;
      this.#heldAt = this.#heldAt + 1 === SLOPE ? 0 : this.#heldAt + 1;
      // Rounding of the running sum ends here.
      if (this.#ones >= SLOPE) this.#heldSum = SLOPE;
      const gain = this.#heldSum / SLOPE;
      if (gain < lowest) lowest = gain;
      for (let o = 0; o < this.outputs; o++) blocks[o][i] = this.#lines[o][past - LOOK_AHEAD + i] * gain;
    }
    this.gain = lowest;
  }

  /** The lowest of the last HOLD needed gains (a queue of rising values, O(1) a sample). */
  #lowestOf(needed: number): number {
    const at = this.#queueAt;
    const gains = this.#queueGain;
    const size = HOLD + 1;
    const now = this.#time++;
    while (this.#count > 0 && gains[(this.#head + this.#count - 1) % size] >= needed) this.#count--;
    const tail = (this.#head + this.#count) % size;
    at[tail] = now;
    gains[tail] = needed;
    this.#count++;
    if (at[this.#head] <= now - HOLD) {
      this.#head = (this.#head + 1) % size;
      this.#count--;
    }
    return gains[this.#head];
  }

  #idle(): void {
    this.#held.fill(1);
    this.#heldSum = SLOPE;
    this.#ones = SLOPE;
    this.#last = 1;
    this.gain = 1;
  }
}
