/** Ears for the browser tests: whatever goes to the sound device is also gathered, as power spectra and a peak. */
import type { Page } from 'playwright-core';

interface Tap {
  analyser: AnalyserNode;
  contexts: number;
}
declare global {
  interface Window {
    tap?: Tap;
  }
}

/** Listens to everything that the page will connect to the device. Call before the page opens. */
export async function listen(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const connect = AudioNode.prototype.connect as (this: AudioNode, ...rest: unknown[]) => unknown;
    AudioNode.prototype.connect = function (this: AudioNode, ...rest: unknown[]) {
      if (rest[0] instanceof AudioDestinationNode && this.context instanceof AudioContext) {
        const analyser = this.context.createAnalyser();
        analyser.fftSize = 32768;
        connect.call(this, analyser);
        window.tap = { analyser, contexts: (window.tap?.contexts ?? 0) + 1 };
      }
      return connect.apply(this, rest);
    } as typeof AudioNode.prototype.connect;
  });
}

/** State of the audio context: `none` before there is one. */
export const contextState = (page: Page): Promise<string> =>
  page.evaluate(() => window.tap?.analyser.context.state ?? 'none');

/** Largest magnitude of the last 0.7 s. */
export const peak = (page: Page): Promise<number> =>
  page.evaluate(() => {
    if (!window.tap) return 0;
    const samples = new Float32Array(window.tap.analyser.fftSize);
    window.tap.analyser.getFloatTimeDomainData(samples);
    return samples.reduce((most, x) => Math.max(most, Number.isFinite(x) ? Math.abs(x) : Infinity), 0);
  });

/**
 * Power in bands around `frequencies` (± 12 Hz), gathered over `seconds`: [frequency] in linear units. A direct sum at
 * each frequency of Hann-windowed stretches of 32768 samples.
 */
export const powers = (page: Page, frequencies: number[], seconds: number): Promise<number[]> =>
  page.evaluate(
    async ({ frequencies, seconds }) => {
      const { analyser } = window.tap!;
      const { sampleRate } = analyser.context;
      const size = analyser.fftSize;
      const samples = new Float32Array(size);
      const sums = frequencies.map(() => 0);
      const until = performance.now() + seconds * 1000;
      while (performance.now() < until) {
        await new Promise(resolve => setTimeout(resolve, 170));
        analyser.getFloatTimeDomainData(samples);
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
