/**
 * Plays takes into the engine: start, stop, seek, a loop without a seam. Every change of what is read is covered by two
 * short ramps, out of the old reading and into the new one.
 */
import { LOOP_FADE_SECONDS, loopRegion } from '../../shared/audio/loop.ts';
import { createGain, createSource, type Gain, type LiveContext, outputLatency, ramp, type Source } from './context.ts';

/** A take ready to play: one channel for each string. */
export interface PlayableTake {
  id: string;
  channels: readonly Float32Array[];
  /** Hz. */
  sampleRate: number;
}

const lengthOf = (take: PlayableTake): number => Math.max(0, ...take.channels.map(channel => channel.length));

/** A stretch of a take in seconds. */
export interface LoopRegion {
  from: number;
  to: number;
}

/** Seconds of the ramps that cover a change. */
const RAMP_SECONDS = 0.012;
/** Shortest loop, seconds. */
const SHORTEST_LOOP = 0.05;

/** One reading of a take: a source behind a gain. */
interface Voice {
  source: Source;
  gain: Gain;
  /** Context time at which the reading began, seconds. */
  began: number;
  /** Where in the take it began, seconds. */
  offset: number;
  loop: LoopRegion | null;
}

/** A loop within the take, in whole samples and not shorter than the shortest; null if there is no room for one. */
export function fitLoop(loop: LoopRegion, length: number, sampleRate: number): { from: number; to: number } | null {
  const least = Math.round(SHORTEST_LOOP * sampleRate);
  if (length < least || !Number.isFinite(loop.from) || !Number.isFinite(loop.to)) return null;
  const from = Math.max(0, Math.min(Math.round(Math.min(loop.from, loop.to) * sampleRate), length - least));
  const to = Math.min(length, Math.max(Math.round(Math.max(loop.from, loop.to) * sampleRate), from + least));
  return { from, to };
}

export class Transport {
  /** Called when a take came to its end by itself. */
  onEnded: (() => void) | null = null;
  #context: LiveContext;
  #input: Gain;
  #take: PlayableTake | null = null;
  #loop: LoopRegion | null = null;
  #voice: Voice | null = null;
  /** Position while nothing plays, seconds. */
  #rest = 0;
  /** Seconds the engine is late itself. */
  #latency: number;

  constructor(context: LiveContext, input: Gain, latency: number) {
    this.#context = context;
    this.#input = input;
    this.#latency = latency;
  }

  get playing(): boolean {
    return this.#voice !== null;
  }

  get take(): PlayableTake | null {
    return this.#take;
  }

  /** Seconds. */
  get duration(): number {
    const take = this.#take;
    return take === null ? 0 : lengthOf(take) / take.sampleRate;
  }

  /** Where in the take the sound now at the ear stands, seconds. */
  get position(): number {
    const heard = this.#context.currentTime - outputLatency(this.#context) - this.#latency;
    return this.#voice === null ? this.#rest : this.#positionAt(heard);
  }

  /** Plays a take from `from` seconds (from the loop's start if that lies outside the loop). */
  play(take: PlayableTake, { loop = null, from = 0 }: { loop?: LoopRegion | null; from?: number } = {}): void {
    this.#take = take;
    this.#loop = loop;
    this.#start(from);
  }

  /** Stops and keeps the position. */
  stop(): void {
    if (this.#voice === null) return;
    this.#rest = this.position;
    this.#release();
  }

  /** Goes to a place in the take, seconds, playing or not. */
  seek(position: number): void {
    if (this.#voice === null) this.#rest = Math.max(0, Math.min(position, this.duration));
    else this.#start(position);
  }

  /** Loop points in seconds, or null to play on to the end; while playing, the sound goes on from where it is. */
  setLoop(loop: LoopRegion | null): void {
    this.#loop = loop;
    if (this.#voice !== null) this.#start(this.#positionAt(this.#context.currentTime));
  }

  #positionAt(time: number): number {
    const voice = this.#voice;
    if (voice === null) return this.#rest;
    const at = voice.offset + Math.max(0, time - voice.began);
    if (voice.loop === null) return Math.min(at, this.duration);
    const { from, to } = voice.loop;
    return at < to ? at : from + ((at - from) % (to - from));
  }

  #start(position: number): void {
    const take = this.#take;
    if (take === null) return;
    const { channels, sampleRate } = take;
    const length = lengthOf(take);
    this.#release();
    if (length === 0) return;
    const region = this.#loop === null ? null : fitLoop(this.#loop, length, sampleRate);
    const context = this.#context;
    const first = region === null ? 0 : region.from / sampleRate;
    const last = (region === null ? length : region.to) / sampleRate;
    const offset = Number.isFinite(position) && position >= first && position < last ? position : first;
    const fade = Math.round(LOOP_FADE_SECONDS * sampleRate);
    const heard = region === null ? channels : loopRegion(channels, region.from, region.to, fade);
    const source = createSource(context, heard, sampleRate);
    const gain = createGain(context, channels.length, 0);
    source.connect(gain).connect(this.#input);
    const began = context.currentTime;
    source.loop = region !== null;
    source.start(began, offset - first);
    // From the very start of a take there is nothing to cover, and its first attack must not be dulled.
    if (offset === 0) gain.gain.setValueAtTime(1, began);
    else ramp(gain, 1, RAMP_SECONDS, began);
    const voice: Voice = { source, gain, began, offset, loop: region === null ? null : { from: first, to: last } };
    source.onended = () => {
      source.disconnect();
      gain.disconnect();
      if (this.#voice !== voice) return;
      this.#voice = null;
      this.#rest = 0;
      this.onEnded?.();
    };
    this.#voice = voice;
  }

  #release(): void {
    const voice = this.#voice;
    if (voice === null) return;
    this.#voice = null;
    const now = this.#context.currentTime;
    ramp(voice.gain, 0, RAMP_SECONDS, now);
    voice.source.stop(now + RAMP_SECONDS * 2);
  }
}
