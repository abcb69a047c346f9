/** Ears for the browser tests: whatever goes to the sound device is also gathered, as samples, powers and a peak. */
import type { Page } from 'playwright-core';

declare global {
  interface Window {
    /** What reaches the device, a gathering point for each context: the audio library opens some to try the browser. */
    taps?: AnalyserNode[];
  }
}

/** Listens to everything that the page will connect to the device. Call before the page opens. */
export async function listen(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const connect = AudioNode.prototype.connect as (this: AudioNode, ...rest: unknown[]) => unknown;
    AudioNode.prototype.connect = function (this: AudioNode, ...rest: unknown[]) {
      if (rest[0] instanceof AudioDestinationNode && this.context instanceof AudioContext) {
        window.taps ??= [];
        let tap = window.taps.find(known => known.context === this.context);
        if (!tap) {
          tap = this.context.createAnalyser();
          tap.fftSize = 32768;
          window.taps.push(tap);
        }
        connect.call(this, tap);
      }
      return connect.apply(this, rest);
    } as typeof AudioNode.prototype.connect;
  });
}

/** State of the page's audio context: `none` before there is one. */
export const contextState = (page: Page): Promise<string> =>
  page.evaluate(() => window.taps?.map(tap => tap.context.state).find(state => state !== 'closed') ?? 'none');

/** Largest magnitude of the last 0.7 s. */
export const peak = (page: Page): Promise<number> =>
  page.evaluate(() => {
    let most = 0;
    for (const tap of window.taps ?? []) {
      const samples = new Float32Array(tap.fftSize);
      tap.getFloatTimeDomainData(samples);
      for (const x of samples) most = Math.max(most, Number.isFinite(x) ? Math.abs(x) : Infinity);
    }
    return most;
  });

/** Rate of the context that plays, Hz. */
export const rateHeard = (page: Page): Promise<number> =>
  page.evaluate(() => {
    const tap = window.taps?.find(one => one.context.state === 'running');
    if (!tap) throw new Error('nothing plays');
    return tap.context.sampleRate;
  });

/**
 * The newest `length` samples (32768 at most) of what plays, after `settle` more seconds of it have passed. Time is counted
 * by the audio context, whose samples are whole and in order however busy the machine is.
 */
export const heardSamples = (page: Page, length: number, settle: number): Promise<number[]> =>
  page.evaluate(
    async ({ length, settle }) => {
      const tap = window.taps?.find(one => one.context.state === 'running');
      if (!tap) throw new Error('nothing plays');
      const until = tap.context.currentTime + settle + length / tap.context.sampleRate;
      while (tap.context.currentTime < until) await new Promise(resolve => setTimeout(resolve, 20));
      const samples = new Float32Array(tap.fftSize);
      tap.getFloatTimeDomainData(samples);
      return Array.from(samples.subarray(samples.length - length));
    },
    { length, settle },
  );

/** Power of one period of something periodic in its harmonic `k`, linear. */
export function harmonicPower(period: ArrayLike<number>, k: number): number {
  const step = (2 * Math.PI * k) / period.length;
  let re = 0;
  let im = 0;
  // Goertzel's recursion would lose digits at low k; rotating a phasor does not
  let [c, s] = [1, 0];
  const [dc, ds] = [Math.cos(step), Math.sin(step)];
  for (let n = 0; n < period.length; n++) {
    re += period[n] * c;
    im -= period[n] * s;
    [c, s] = [c * dc - s * ds, s * dc + c * ds];
  }
  return (re * re + im * im) / period.length ** 2;
}

/** Seconds of sound after a switch until only the new build is in what is heard: fade, limiter and kernels. */
export const SETTLE = 0.35;

/**
 * Power in bands around `frequencies`, Hz (± 12 Hz), of a loop of `seconds` (0.68 at most): [frequency], linear. One whole
 * period is heard, so where it is cut and how busy the machine is make no difference.
 */
export async function loopPowers(page: Page, frequencies: number[], seconds: number): Promise<number[]> {
  const rate = await rateHeard(page);
  const period = await heardSamples(page, Math.round(seconds * rate), SETTLE);
  return frequencies.map(f => {
    let sum = 0;
    for (let k = Math.ceil((f - 12) * seconds); k <= (f + 12) * seconds; k++) sum += harmonicPower(period, k);
    return sum;
  });
}
