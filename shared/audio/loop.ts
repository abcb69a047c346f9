/** A stretch of a take made to repeat without a jump. */

/** Seconds of crossfade at a loop's end. */
export const LOOP_FADE_SECONDS = 0.02;

/**
 * Samples `from` to `to` (whole numbers, end excluded) of every channel, whose last `fade` samples cross over, equal
 * gain, into those that precede `from`: the end leads into the start as the take itself does. Before the take's first
 * sample there is silence. A fade longer than the stretch is shortened to it.
 */
export function loopRegion(channels: readonly Float32Array[], from: number, to: number, fade: number): Float32Array[] {
  if (!(Number.isInteger(from) && Number.isInteger(to) && from >= 0 && to > from))
    throw new RangeError(`loop must run from an earlier to a later sample, got ${from} to ${to}`);
  const length = to - from;
  const n = Math.min(fade, length);
  return channels.map(channel => {
    const region = new Float32Array(length);
    region.set(channel.subarray(from, to));
    for (let i = 0; i < n; i++) {
      const weight = 0.5 - 0.5 * Math.cos((Math.PI * (i + 0.5)) / n);
      const at = from - n + i;
      const before = at >= 0 && at < channel.length ? channel[at] : 0;
      region[length - n + i] += weight * (before - region[length - n + i]);
    }
    return region;
  });
}
