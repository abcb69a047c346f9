/**
 * The one file that knows the Web Audio library: contexts (the minimal ones: those that can make every node carry the code
 * of every node), nodes with explicit channel counts, and what browsers do differently. Everything else speaks in the types
 * exported here.
 */
import {
  AnalyserNode,
  AudioBuffer,
  AudioBufferSourceNode,
  AudioWorkletNode,
  addAudioWorkletModule,
  ChannelMergerNode,
  ChannelSplitterNode,
  decodeAudioData,
  GainNode,
  type IAnalyserNode,
  type IAudioBufferSourceNode,
  type IAudioNode,
  type IAudioWorkletNode,
  type IGainNode,
  type IMinimalAudioContext,
  type IMinimalOfflineAudioContext,
  MediaStreamAudioSourceNode,
  MinimalAudioContext,
  MinimalOfflineAudioContext,
} from 'standardized-audio-context';
import { words } from '../words/dock-words.ts';
import { words as engineWords } from '../words/sound-words.ts';

export type LiveContext = IMinimalAudioContext;
export type OfflineContext = IMinimalOfflineAudioContext;
export type Context = LiveContext | OfflineContext;
export type Gain = IGainNode<Context>;
export type Source = IAudioBufferSourceNode<Context>;
export type WorkletNode = IAudioWorkletNode<Context>;
export type Analyser = IAnalyserNode<Context>;
export type Node = IAudioNode<Context>;

/** `interrupted`: taken away by the system (a call, another app) until the next gesture. */
export type ContextState = 'none' | 'suspended' | 'running' | 'interrupted' | 'closed';

/**
 * A context for listening, asked to run at once. Call it inside the handler of a click or key, before any `await`:
 * browsers start sound only within a gesture. No sample rate is forced; the hardware's own avoids distortion on some
 * phones. Throws where the browser has no Web Audio.
 */
export function createLiveContext(): LiveContext {
  const context = new MinimalAudioContext({ latencyHint: 'interactive' });
  resume(context);
  return context;
}

export const createOfflineContext = (outputs: number, length: number, sampleRate: number): OfflineContext =>
  new MinimalOfflineAudioContext({ numberOfChannels: outputs, length, sampleRate });

/** Channels of a compressed file as the browser decodes it, at `sampleRate` Hz. Rejects where it cannot. */
export async function decodeCompressed(bytes: ArrayBuffer, sampleRate: number): Promise<Float32Array[]> {
  const buffer = await decodeAudioData(new MinimalOfflineAudioContext({ length: 1, sampleRate }), bytes);
  const channels: Float32Array[] = [];
  for (let i = 0; i < buffer.numberOfChannels; i++) {
    channels.push(buffer.getChannelData(i).slice());
    // a long file is copied in turns, so that the page stays awake
    await new Promise(resolve => setTimeout(resolve));
  }
  return channels;
}

/** Asks a context to run; a refusal shows in its state and is tried again at the next gesture. */
export function resume(context: LiveContext): void {
  if (context.state !== 'closed') context.resume().catch(() => undefined);
}

export function stateOf(context: LiveContext | null): ContextState {
  return context === null ? 'none' : (context.state as ContextState);
}

/** Loads the audio thread's code. Needs a secure page (https or localhost). */
export async function loadWorklet(context: Context, url: string): Promise<void> {
  if (addAudioWorkletModule === undefined) throw new Error(words.insecure);
  await addAudioWorkletModule(context, url);
}

/** A worklet node with `channels` discrete inputs and `outputs` channels out. */
export function createWorkletNode(
  context: Context,
  name: string,
  channels: number,
  outputs: number,
  processorOptions: object,
): WorkletNode {
  if (AudioWorkletNode === undefined) throw new Error(engineWords.noWorklet);
  return new AudioWorkletNode(context, name, {
    numberOfInputs: 1,
    numberOfOutputs: 1,
    // The library's default of two explicit channels would mix strings and halve mono.
    channelCount: channels,
    channelCountMode: 'explicit',
    channelInterpretation: 'discrete',
    outputChannelCount: [outputs],
    processorOptions,
  });
}

export const createGain = (context: Context, channels: number, gain: number): Gain =>
  new GainNode(context, {
    gain,
    channelCount: channels,
    channelCountMode: 'explicit',
    channelInterpretation: 'discrete',
  });

/** Moves a gain to `target` along a straight line of `seconds`, from wherever it is now. */
export function ramp(gain: Gain, target: number, seconds: number, now: number): void {
  const param = gain.gain;
  const value = param.value;
  param.cancelScheduledValues(now);
  param.setValueAtTime(value, now);
  param.linearRampToValueAtTime(target, now + seconds);
}

/** A source of `channels` (as long as the longest) at `sampleRate`; at another rate than the context's the browser resamples. */
export function createSource(context: Context, channels: readonly Float32Array[], sampleRate: number): Source {
  const buffer = new AudioBuffer({
    length: Math.max(1, ...channels.map(channel => channel.length)),
    numberOfChannels: Math.max(1, channels.length),
    sampleRate,
  });
  for (let i = 0; i < channels.length; i++) buffer.copyToChannel(channels[i] as Float32Array<ArrayBuffer>, i);
  return new AudioBufferSourceNode(context, { buffer });
}

/** What comes in from an input device. */
export const createStreamSource = (context: LiveContext, stream: MediaStream): Node =>
  new MediaStreamAudioSourceNode(context, { mediaStream: stream }) as Node;

/** Takes `channels` apart, one to an output. */
export const createSplitter = (context: Context, channels: number): Node =>
  new ChannelSplitterNode(context, { numberOfOutputs: channels });

/** Puts `channels` together, one from an input. */
export const createMerger = (context: Context, channels: number): Node =>
  new ChannelMergerNode(context, { numberOfInputs: channels });

/** A tap on the last `size` samples (mixed to mono), for pictures only. */
export const createAnalyser = (context: Context, size: number): Analyser =>
  new AnalyserNode(context, { fftSize: size, smoothingTimeConstant: 0 });

/**
 * Seconds from the engine to the ear, as the browser knows it. `outputLatency` is missing in older Safari and 0 or NaN at
 * first elsewhere. Browser workaround 3: the library does not hand it on, so it is read off the context inside.
 */
export function outputLatency(context: LiveContext): number {
  const native = (context as unknown as { _nativeAudioContext?: { outputLatency?: number } })._nativeAudioContext;
  const known = native?.outputLatency;
  if (known !== undefined && Number.isFinite(known) && known > 0) return known;
  return Number.isFinite(context.baseLatency) ? context.baseLatency : 0;
}

/**
 * Resumes the context at the next gesture after the page was hidden or the system took the sound away. Browser
 * workaround 5: phones may leave a context that says it runs and does not; suspending it first wakes it. Returns how to stop watching.
 */
export function resumeAfterHiding(context: LiveContext): () => void {
  let wasHidden = false;
  const onVisibility = () => {
    if (document.visibilityState === 'hidden') wasHidden = true;
  };
  const onGesture = () => {
    const state = stateOf(context);
    if (state === 'closed') return;
    if (state === 'suspended' || state === 'interrupted') resume(context);
    else if (wasHidden) {
      const before = context.currentTime;
      setTimeout(() => {
        if (context.state === 'running' && context.currentTime === before)
          context.suspend().then(
            () => resume(context),
            () => undefined,
          );
      }, 250);
    }
    wasHidden = false;
  };
  document.addEventListener('visibilitychange', onVisibility);
  for (const kind of GESTURES) document.addEventListener(kind, onGesture, { capture: true, passive: true });
  return () => {
    document.removeEventListener('visibilitychange', onVisibility);
    for (const kind of GESTURES) document.removeEventListener(kind, onGesture, { capture: true });
  };
}

const GESTURES = ['pointerup', 'keydown'] as const;
