/** All of the sound, as the page uses it: one context, one engine, one transport. */
import { LOOK_AHEAD } from '../../shared/audio/engine.ts';
import { type PackedKernels, packKernels } from '../../shared/audio/partition.ts';
import { words } from '../words/sound-words.ts';
import {
  type Analyser,
  type ContextState,
  createAnalyser,
  createLiveContext,
  type Gain,
  type LiveContext,
  resume,
  resumeAfterHiding,
  stateOf,
} from './context.ts';
import { createEngineNode, type EngineNode, type Meters } from './engine-node.ts';
import { type LoopRegion, type PlayableTake, Transport } from './transport.ts';

/** Samples that `recent` gives: 0.34 s at 48 kHz. */
export const RECENT_SAMPLES = 16384;
/** Volume until somebody sets one, dB; the page sets the sheet's own before the first sound. */
const UNSET_VOLUME_DB = -12;
/** Seconds in which the sound rises when it is switched on. */
const RISE_SECONDS = 0.3;

/** Kernels as they are heard: `outputs[output][string]`, designed for the context's rate, and a linear gain. */
export interface HeardKernels {
  outputs: readonly (readonly Float32Array[])[];
  gain?: number;
  /** Number by which `heard` tells that this set is what sounds. */
  id?: number;
}

const packed = ({ outputs, gain = 1, id }: HeardKernels): PackedKernels => ({
  ...packKernels(outputs, gain),
  ...(id !== undefined && { id }),
});

export class AudioHost {
  /** The context's state changed. */
  onState: ((state: ContextState) => void) | null = null;
  /** At most 30 times a second while the context runs. */
  onMeters: ((meters: Meters) => void) | null = null;
  /** A take came to its end by itself. */
  onEnded: (() => void) | null = null;
  /** The engine failed; `rebuilt` says whether it plays on. */
  onError: ((message: string, rebuilt: boolean) => void) | null = null;
  /** The context was closed by somebody else; `start` makes a new one. */
  onClosed: (() => void) | null = null;
  /** The kernel set of that id is heard from now on, and no other: the audio thread says so. */
  onHeard: ((id: number) => void) | null = null;
  /** The last meters. */
  meters: Meters | null = null;
  /** Id of the kernel set that is heard; null before the first. */
  heard: number | null = null;
  #context: LiveContext | null = null;
  #engine: EngineNode | null = null;
  #transport: Transport | null = null;
  #analyser: Analyser | null = null;
  #starting: Promise<void> | null = null;
  #unwatch: (() => void) | null = null;
  #volume = UNSET_VOLUME_DB;
  /** What is to be heard: a context that takes the place of another begins with it. */
  #wanted: HeardKernels | null = null;

  /** `none` until `start` was called. */
  get state(): ContextState {
    return stateOf(this.#context);
  }

  /** Hz; null before `start`. Kernels must be designed for it, takes should be rendered at it. */
  get sampleRate(): number | null {
    return this.#context?.sampleRate ?? null;
  }

  get playing(): boolean {
    return this.#transport?.playing ?? false;
  }

  /**
   * Makes the sound ready. Call it inside a click or key handler, with nothing awaited before. Calling it again resumes
   * a suspended context. Rejects where the browser cannot do it, with a sentence for the person; it may be tried again.
   */
  start(): Promise<void> {
    if (this.#context !== null && this.#starting !== null) {
      if (this.state !== 'running') resume(this.#context);
      return this.#starting;
    }
    try {
      const context = createLiveContext();
      this.#context = context;
      this.#starting = this.#build(context).catch(async error => {
        this.#fail();
        // nothing runs on that nobody can hear
        await context.close().catch(() => undefined);
        throw error;
      });
    } catch (error) {
      this.#fail();
      return Promise.reject(error);
    }
    return this.#starting;
  }

  /** Plays a take; the engine must be started. `from` in seconds. */
  play(take: PlayableTake, options: { loop?: LoopRegion | null; from?: number } = {}): void {
    if (this.#context !== null && this.state !== 'running') resume(this.#context);
    this.#transport?.play(take, options);
  }

  /** Stops and keeps the position. */
  stop(): void {
    this.#transport?.stop();
  }

  seek(seconds: number): void {
    this.#transport?.seek(seconds);
  }

  /** Loop points in seconds of the take; null: play to the end. */
  setLoop(loop: LoopRegion | null): void {
    this.#transport?.setLoop(loop);
  }

  /** Goes to these kernels by a crossfade; the newest wins. Kept for later when the engine is not ready. */
  setKernels(kernels: HeardKernels): void {
    this.#wanted = kernels;
    this.#engine?.setKernels(packed(kernels));
  }

  /** dB before the limiter, −Infinity for silence. */
  setVolume(dB: number): void {
    if (Number.isNaN(dB) || dB === Number.POSITIVE_INFINITY)
      throw new RangeError(`volume must be a level in dB, got ${dB}`);
    this.#volume = dB;
    this.#engine?.setVolume(dB);
  }

  /** Where in the take the sound at the ear stands, seconds. */
  position(): number {
    return this.#transport?.position ?? 0;
  }

  /** The last RECENT_SAMPLES samples of the output (both channels mixed) into `out`; false before the start. */
  recent(out: Float32Array<ArrayBuffer>): boolean {
    if (this.#analyser === null) return false;
    this.#analyser.getFloatTimeDomainData(out);
    return true;
  }

  /**
   * Lets something else than the transport play into the engine: `connect` gets the context and the node whose channels
   * are the strings. What it connects it must take away itself. Throws before `start`.
   */
  attach<T>(connect: (context: LiveContext, input: Gain) => T): T {
    if (this.#context === null || this.#engine === null) throw new Error(words.notReady);
    return connect(this.#context, this.#engine.input);
  }

  /** Gives the sound device back. */
  async close(): Promise<void> {
    const context = this.#context;
    this.#transport?.stop();
    this.#engine?.close();
    this.#fail();
    await context?.close();
  }

  async #build(context: LiveContext): Promise<void> {
    context.onstatechange = () => {
      if (this.#context !== context) return;
      const { state } = this;
      if (state === 'closed') {
        this.#fail();
        this.onClosed?.();
      }
      this.onState?.(state);
    };
    this.#unwatch = resumeAfterHiding(context);
    const kernels = this.#wanted;
    const volume = this.#volume;
    const engine = await createEngineNode(context, {
      ...(kernels !== null && { kernels: packed(kernels) }),
      volume,
      rise: RISE_SECONDS,
      onMeters: meters => {
        this.meters = meters;
        this.onMeters?.(meters);
      },
      onHeard: id => {
        this.heard = id;
        this.onHeard?.(id);
      },
      onError: (message, rebuilt) => {
        // an engine that is given up takes its context along: the next start makes a new one
        if (!rebuilt) void this.close();
        this.onError?.(message, rebuilt);
      },
    });
    this.#analyser = createAnalyser(context, RECENT_SAMPLES);
    engine.output.connect(this.#analyser).connect(context.destination);
    this.#engine = engine;
    // Set while the engine was being loaded.
    if (this.#volume !== volume) engine.setVolume(this.#volume);
    if (this.#wanted !== null && this.#wanted !== kernels) engine.setKernels(packed(this.#wanted));
    const transport = new Transport(context, engine.input, LOOK_AHEAD / context.sampleRate);
    transport.onEnded = () => this.onEnded?.();
    this.#transport = transport;
    this.onState?.(this.state);
  }

  #fail(): void {
    this.heard = null;
    this.#unwatch?.();
    this.#unwatch = null;
    this.#context = null;
    this.#engine = null;
    this.#transport = null;
    this.#analyser = null;
    this.#starting = null;
  }
}
