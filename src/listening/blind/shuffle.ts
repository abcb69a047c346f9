/** Chance for listening tests: uniform whole numbers from a source of random 32-bit words. */

/** Draws the next word, 0 to 2³² − 1. */
export type Draw = () => number;

/** The browser's cryptographic generator: nobody can foresee what X is. */
export const cryptoWord: Draw = () => crypto.getRandomValues(new Uint32Array(1))[0];

/** A uniform whole number from 0 to n − 1. Words of the last, incomplete round are drawn again, so none is favoured. */
export function below(n: number, word: Draw): number {
  if (!(Number.isInteger(n) && n >= 1 && n <= 2 ** 32)) throw new RangeError(`a choice of 1 to 2^32, got ${n}`);
  const limit = 2 ** 32 - (2 ** 32 % n);
  for (;;) {
    const drawn = word();
    if (drawn < limit) return drawn % n;
  }
}

/** The same items in a random order (R. Durstenfeld, Comm. ACM 7, 1964: each order equally likely). */
export function shuffled<T>(items: readonly T[], word: Draw): T[] {
  const out = [...items];
  for (let i = out.length - 1; i > 0; i--) {
    const j = below(i + 1, word);
    [out[i], out[j]] = [out[j], out[i]];
  }
  return out;
}
