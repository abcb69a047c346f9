/**
 * Signals that no string makes, generated block by block: mains hum and white noise. What an instrument makes of them are
 * kernels like any other. The same description gives the same samples every time.
 */

/** A sum of sines at multiples of the mains frequency (Hz), `harmonics[n]` the amplitude of the n+1st. */
export interface HumSource {
  kind: 'hum';
  frequency: number;
  harmonics: readonly number[];
}
/** White noise of mean square 1. */
export interface NoiseSource {
  kind: 'noise';
  seed: number;
}
export type Source = HumSource | NoiseSource;

/** Nothing allocated after construction. */
export class Generator {
  readonly source: Source;
  /** Of each harmonic cosine and sine of its phase, and of its step from sample to sample. */
  #turns: Float64Array;
  #state: number;

  constructor(source: Source, sampleRate: number) {
    this.source = source;
    const harmonics = source.kind === 'hum' ? source.harmonics : [];
    this.#turns = Float64Array.from(
      harmonics.flatMap((_, n) => {
        const step = source.kind === 'hum' ? (2 * Math.PI * (n + 1) * source.frequency) / sampleRate : 0;
        // what lies beyond half the rate would come back at another place
        return step < Math.PI ? [1, 0, Math.cos(step), Math.sin(step)] : [0, 0, 1, 0];
      }),
    );
    this.#state = source.kind === 'noise' ? (source.seed ^ 0x9e3779b9) | 0 || 1 : 0;
  }

  /** The next samples. */
  fill(block: Float32Array): void {
    if (this.source.kind === 'noise') this.#noise(block);
    else {
      block.fill(0);
      for (let n = 0; n < this.source.harmonics.length; n++) this.#sine(block, n);
    }
  }

  /** Four uniform numbers a sample: their sum is near enough to normal, and of mean square 1/3. */
  #noise(block: Float32Array): void {
    // xorshift32 (G. Marsaglia, "Xorshift RNGs", J. Stat. Software 8, 2003); the state must not be 0.
    let state = this.#state;
    for (let i = 0; i < block.length; i++) {
      let sum = 0;
      for (let part = 0; part < 4; part++) {
        state ^= state << 13;
        state ^= state >>> 17;
        state ^= state << 5;
        sum += state;
      }
      block[i] = (sum / 2 ** 32) * Math.sqrt(3);
    }
    this.#state = state;
  }

  #sine(block: Float32Array, harmonic: number): void {
    const turns = this.#turns;
    const at = 4 * harmonic;
    const amplitude = (this.source as HumSource).harmonics[harmonic];
    const [c, s] = [turns[at + 2], turns[at + 3]];
    let re = turns[at];
    let im = turns[at + 1];
    for (let i = 0; i < block.length; i++) {
      block[i] += amplitude * im;
      const next = re * c - im * s;
      im = re * s + im * c;
      re = next;
    }
    // Rounding lets the length of the turning number drift; what is silent stays so.
    const length = Math.hypot(re, im) || 1;
    turns[at] = re / length;
    turns[at + 1] = im / length;
  }
}
