/**
 * Memoryless laws that bend a signal: closed forms with their derivative, and the table of cubics that the engine runs
 * (`vector/law.ts` says how it is laid out). A law is made for its change from rest: what it gives at 0 is taken off.
 */

export interface Law {
  value(x: number): number;
  /** Its derivative. */
  slope(x: number): number;
  /** Where the closed form holds (one step of the table beyond it too); 0 lies within. */
  from: number;
  to: number;
  /** Slopes of the straight lines it follows below and above. */
  beyond: readonly [number, number];
  /**
   * Whether signals go beyond an end where slope or curvature jumps (rails, cut-off). Harmonics then fall so slowly that
   * the engine runs the law's means at eight times the rate; the harmonics of other laws fall so fast that twice is enough.
   */
  abrupt: boolean;
}

/** Intervals of a table, at most one more. */
const INTERVALS = 512;
const HEAD_BYTES = 32;

/** The law as the engine's memory holds it; a multiple of 16 bytes. */
export function tabulate(law: Law): ArrayBuffer {
  const from = Math.fround(law.from);
  const to = Math.fround(law.to);
  if (!(from <= 0 && to >= 0 && to > from && Number.isFinite(to - from)))
    throw new RangeError(`a law must hold around 0, got ${law.from} to ${law.to}`);
  const step = 2 ** Math.ceil(Math.log2((to - from) / INTERVALS));
  const first = Math.floor(from / step);
  const intervals = Math.floor(to / step) - first + 1;
  const borders = HEAD_BYTES + intervals * 16;
  const data = new ArrayBuffer(Math.ceil((borders + (intervals + 1) * 8) / 16) * 16);
  const floats = new Float32Array(data);
  floats.set([from, to, law.beyond[0], law.beyond[1], 1 / step]);
  new Int32Array(data).set([first, intervals, law === NO_LAW ? -1 : Number(law.abrupt)], 5);
  const rest = law.value(0);
  const integral = new Float64Array(data, borders, intervals + 1);
  for (let i = 0; i < intervals; i++) {
    const x = (first + i) * step;
    const [a, b] = [law.value(x) - rest, law.value(x + step) - rest];
    const [p, q] = [law.slope(x) * step, law.slope(x + step) * step];
    const c = floats.subarray(8 + 4 * i, 12 + 4 * i);
    // The cubic of Hermite: values and slopes at both borders.
    c.set([a, p, 3 * (b - a) - 2 * p - q, 2 * (a - b) + p + q]);
    integral[i + 1] = integral[i] + step * (c[0] + c[1] / 2 + c[2] / 3 + c[3] / 4);
  }
  if (!floats.subarray(0, borders / 4).every((x, i) => (i >= 5 && i < 8) || Number.isFinite(x)))
    throw new RangeError(`a law must be finite from ${law.from} to ${law.to}, and a step beyond`);
  return data;
}

/** What a lane without a law does: nothing. */
export const NO_LAW: Law = { value: () => 0, slope: () => 0, from: -1, to: 1, beyond: [0, 0], abrupt: false };

/** Rails at ±`level`: x between them, and no more. */
export const rails = (level: number): Law => ({
  value: x => x,
  slope: () => 1,
  from: -level,
  to: level,
  beyond: [0, 0],
  abrupt: true,
});

/**
 * Flux through a pole's field at distance 1 + x, over that at distance 1: (1 + x)^−`power`, as its change from rest with x
 * in units of the distance; power 3 for a point pole, 1 for a rail (the field of a magnetic dipole or of a line, by the
 * string's own induced moment).
 */
export const flux = (power: number, most = 0.9): Law => {
  const value = (x: number) => (1 + x) ** -power;
  const slope = (x: number) => -power * (1 + x) ** (-power - 1);
  const from = -Math.min(most, 0.9);
  return { value, slope, from, to: most, beyond: [slope(from), slope(most)], abrupt: false };
};

/**
 * A field-effect transistor of square law I = I_DSS (1 − V_GS/V_P)² as a follower: the output's change, V, for a change
 * of the input, V. `overdrive` V_GS − V_P at rest, V; `feedback` a = g_m R. Below −overdrive (1 + a/2) it is cut off.
 */
export const follower = (overdrive: number, feedback: number): Law => {
  const a = feedback;
  const root = (x: number) => Math.sqrt((1 + a) ** 2 + (2 * a * x) / overdrive);
  const to = 4 * overdrive * (1 + a);
  return {
    value: x => x - (overdrive / a) * (root(x) - (1 + a)),
    slope: x => 1 - 1 / root(x),
    from: -overdrive * (1 + a / 2),
    to,
    beyond: [0, 1 - 1 / root(to)],
    abrupt: true,
  };
};

/** The same transistor with its source held, as the change of drain current over g_m, V: x + x²/(2 V_ov), then cut off. */
export const commonSource = (overdrive: number): Law => ({
  value: x => x + x ** 2 / (2 * overdrive),
  slope: x => 1 + x / overdrive,
  from: -overdrive,
  to: 20 * overdrive,
  beyond: [0, 21],
  abrupt: true,
});
