/** Seeded random numbers, so that a modelled take is the same every time. */

/** 32-bit FNV-1a hash of a text: a seed from an id. */
export const seedOf = (text: string): number => {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return hash >>> 0;
};

/** Uniform numbers in [0, 1): a Weyl sequence through a 32-bit mixing function. */
export const uniform = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let x = state;
    x = Math.imul(x ^ (x >>> 16), 0x21f0aaad);
    x = Math.imul(x ^ (x >>> 15), 0x735a2d97);
    return ((x ^ (x >>> 15)) >>> 0) / 2 ** 32;
  };
};

/** Normally distributed numbers of unit variance (Box and Muller 1958). */
export const normal = (seed: number): (() => number) => {
  const next = uniform(seed);
  return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
};
