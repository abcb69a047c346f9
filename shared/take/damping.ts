/** A hand or the next pluck stops a string: its losses rise within `ONSET` and it dies away without a click. */

/** Time in which the loss rises to its full value, s. */
const ONSET = 0.03;
/** Amplitude time constant of a damped string, s. */
const DAMPED = 0.02;

/** Seconds after which a damped string is 100 dB down. */
export const DAMPING_TIME = ONSET / 2 + DAMPED * Math.log(1e5);

/** Amplitude factor `t` seconds after damping began: e^(−∫ rate), the rate rising linearly over `ONSET`. */
export const dampingFactor = (t: number): number => {
  if (t <= 0) return 1;
  const area = t < ONSET ? (t * t) / (2 * ONSET) : t - ONSET / 2;
  return Math.exp(-area / DAMPED);
};

/**
 * Adds `note` to `channel` from sample `at` on, damped from sample `end` of the channel on. What has died away is
 * left out; the rest of the note beyond the channel is dropped.
 */
export const addDamped = (
  channel: Float32Array,
  note: Float64Array | Float32Array,
  at: number,
  end: number,
  sampleRate: number,
  gain = 1,
): void => {
  const last = Math.min(channel.length, at + note.length, Math.ceil(end + DAMPING_TIME * sampleRate));
  for (let i = Math.max(0, at); i < last; i++)
    channel[i] += gain * note[i - at] * (i < end ? 1 : dampingFactor((i - end) / sampleRate));
};
