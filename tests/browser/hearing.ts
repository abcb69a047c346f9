/** Ears for the browser tests: whatever goes to the sound device is also gathered, as power spectra and a peak. */
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

/**
 * Power in bands around `frequencies` (± 12 Hz), gathered over `seconds`: [frequency] in linear units. A direct sum at
 * each frequency of Hann-windowed stretches of 32768 samples.
 */
export const powers = (page: Page, frequencies: number[], seconds: number): Promise<number[]> =>
  page.evaluate(
    async ({ frequencies, seconds }) => {
      const taps = window.taps ?? [];
      const { sampleRate } = taps[0].context;
      const size = taps[0].fftSize;
      const samples = new Float32Array(size);
      const one = new Float32Array(size);
      const sums = frequencies.map(() => 0);
      const until = performance.now() + seconds * 1000;
      while (performance.now() < until) {
        await new Promise(resolve => setTimeout(resolve, 170));
        samples.fill(0);
        for (const tap of taps) {
          tap.getFloatTimeDomainData(one);
          for (let n = 0; n < size; n++) samples[n] += one[n];
        }
        frequencies.forEach((f, i) => {
          let re = 0;
          let im = 0;
          for (let n = 0; n < size; n++) {
            const x = samples[n] * (0.5 - 0.5 * Math.cos((2 * Math.PI * n) / size));
            re += x * Math.cos((2 * Math.PI * f * n) / sampleRate);
            im += x * Math.sin((2 * Math.PI * f * n) / sampleRate);
          }
          sums[i] += re * re + im * im;
        });
      }
      return sums;
    },
    { frequencies, seconds },
  );

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
