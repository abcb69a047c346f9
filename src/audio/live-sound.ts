/** An input played live through the engine: one channel as one string, or each channel as a string of its own. */

import { LOOK_AHEAD } from '../../shared/audio/engine.ts';
import { dbOfAmplitude } from '../../shared/decibels.ts';
import type { Instrument } from '../../shared/document/build.ts';
import { kernelDelay } from '../../shared/response/delay.ts';
import { FULL_FORCE } from '../../shared/take/own/prepare.ts';
import {
  createAnalyser,
  createGain,
  createMerger,
  createSplitter,
  createStreamSource,
  type Gain,
  type LiveContext,
  outputLatency,
  ramp,
} from './context.ts';
import type { AudioHost } from './host.ts';
import { type OpenInput, openInput } from './input.ts';

/** How channels go to strings: the first channel as string `string` (from 1), or channel n as string n. */
export type LiveStrings = { kind: 'one'; string: number } | { kind: 'each' };

/** Parts of the way from the input to the ear, s. */
export interface LiveLatency {
  /** null: the browser does not say. */
  input: number | null;
  base: number;
  output: number;
  kernel: number;
  limiter: number;
}

export interface LiveInput {
  input: OpenInput;
  setMuted(muted: boolean): void;
  setStrings(strings: LiveStrings): void;
  /** Largest sample of the last 43 ms, dBFS. */
  peak(): number;
  latency(instrument: Instrument, strings: LiveStrings): LiveLatency;
  close(): void;
}

const STRINGS = 12;
const RAMP_SECONDS = 0.05;
const METER = 2048;

/** Switches a live input on, muted. Call it in a gesture. Rejects with a sentence. */
export async function startLive(host: AudioHost, device: string, strings: LiveStrings): Promise<LiveInput> {
  await host.start();
  const input = await openInput(device);
  try {
    return host.attach((context, engine) => connect(context, engine, input, strings));
  } catch (error) {
    input.close();
    throw error;
  }
}

function connect(context: LiveContext, engine: Gain, input: OpenInput, first: LiveStrings): LiveInput {
  const source = createStreamSource(context, input.stream);
  const splitter = createSplitter(context, STRINGS);
  const merger = createMerger(context, STRINGS);
  const level = createGain(context, STRINGS, 0);
  const analyser = createAnalyser(context, METER);
  const samples = new Float32Array(METER);
  source.connect(splitter);
  source.connect(analyser);
  merger.connect(level).connect(engine);

  function setStrings(strings: LiveStrings): void {
    splitter.disconnect();
    if (strings.kind === 'one') splitter.connect(merger, 0, strings.string - 1);
    else for (let c = 0; c < input.channels; c++) splitter.connect(merger, c, c);
  }
  setStrings(first);

  return {
    input,
    setStrings,
    setMuted: muted => ramp(level, muted ? 0 : FULL_FORCE, RAMP_SECONDS, context.currentTime),
    peak() {
      analyser.getFloatTimeDomainData(samples);
      let peak = 0;
      for (const sample of samples) peak = Math.max(peak, Math.abs(sample));
      return dbOfAmplitude(peak);
    },
    latency(instrument, strings) {
      const used = strings.kind === 'one' ? [instrument.strings[strings.string - 1]] : instrument.strings;
      const delays = used.map(string => (string ? kernelDelay(string, context.sampleRate) : 0));
      const base = Number.isFinite(context.baseLatency) ? context.baseLatency : 0;
      return {
        input: input.latency,
        base,
        // browsers that do not know it give the base again
        output: outputLatency(context) === base ? 0 : outputLatency(context),
        kernel: Math.max(...delays) / context.sampleRate,
        limiter: LOOK_AHEAD / context.sampleRate,
      };
    },
    close() {
      ramp(level, 0, RAMP_SECONDS, context.currentTime);
      setTimeout(() => {
        source.disconnect();
        splitter.disconnect();
        merger.disconnect();
        level.disconnect();
        input.close();
      }, 2000 * RAMP_SECONDS);
    },
  };
}
