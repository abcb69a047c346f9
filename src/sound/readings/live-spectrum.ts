/** The spectrum of what is heard at this moment, as often as it is worth drawing. */
import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { smoothed } from '../../../shared/audio/smoothing.ts';
import { powerDensity } from '../../../shared/audio/spectrum.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { liveSamples, liveTap } from '../../state/live-mode.ts';
import { PLOT_GRID, view } from '../../state/page.ts';
import { asFigures, liveWanted } from './choices.ts';

/** Pictures per second at most. */
const RATE = 20;

export interface Live {
  letter: Letter;
  /** On the plot grid. */
  density: Float64Array;
}

function takePicture(): Live | null {
  const { reading, smoothing, heard } = view.peek();
  if (reading !== 'spectrum' || !liveWanted.peek() || asFigures.peek()) return null;
  const samples = liveSamples();
  const tap = liveTap.peek();
  if (!samples || !tap || samples.length < 1024) return null;
  const size = 2 ** Math.min(14, Math.floor(Math.log2(samples.length)));
  const { frequencies, power } = powerDensity(samples, tap.sampleRate, size);
  // a single short block is rough: it is never drawn finer than 1/12 octave
  const n = smoothing === 0 || smoothing > 12 ? 12 : smoothing;
  return { letter: heard, density: smoothed(frequencies, power, PLOT_GRID, n) };
}

export class LiveSpectrum implements ReactiveController {
  /** The newest picture; null: nothing plays, or it is not asked for. */
  now: Live | null = null;
  #host: ReactiveControllerHost;
  #frame = 0;
  #at = 0;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    this.#frame = requestAnimationFrame(this.#tick);
  }

  hostDisconnected(): void {
    cancelAnimationFrame(this.#frame);
  }

  #tick = (time: number): void => {
    this.#frame = requestAnimationFrame(this.#tick);
    if (time - this.#at < 1000 / RATE) return;
    this.#at = time;
    const before = this.now;
    this.now = takePicture();
    if (this.now || before) this.#host.requestUpdate();
  };
}
