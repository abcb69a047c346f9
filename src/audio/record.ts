/** Records an input device as it is, sample for sample, in a context of its own. */
import { dbOfAmplitude } from '../../shared/decibels.ts';
import type { FromRecorder, RecorderOptions } from '../../worklets/recorder.worklet.ts';
import recorderUrl from '../../worklets/recorder.worklet.ts?worker&url';
import { createGain, createLiveContext, createStreamSource, createWorkletNode, loadWorklet } from './context.ts';
import { type OpenInput, openInput } from './input.ts';

/** Longest take, s. */
export const LONGEST_TAKE = 600;
/** Samples at or beyond this count as clipped. */
const CLIP = 0.999;

export interface RecordingMeter {
  /** s. */
  length: number;
  /** Peak of the last piece, dBFS. */
  peak: number;
  clipped: number;
}

export interface RecordingEvents {
  onMeter: (meter: RecordingMeter) => void;
  /** Samples of every channel, as they come, at a rate in Hz. */
  onPiece: (piece: Float32Array[], sampleRate: number) => void;
  /** The input was pulled out or taken away; nothing more will come. */
  onLost: () => void;
}

/** Pieces one after the other. */
export function join(pieces: readonly (readonly Float32Array[])[]): Float32Array[] {
  const frames = pieces.reduce((sum, piece) => sum + piece[0].length, 0);
  return (pieces[0] ?? []).map((_, c) => {
    const whole = new Float32Array(frames);
    let at = 0;
    for (const piece of pieces) {
      whole.set(piece[c], at);
      at += piece[c].length;
    }
    return whole;
  });
}

export interface Recording {
  input: OpenInput;
  /** Ends the recording and gives what there is. */
  stop: () => Promise<{ channels: Float32Array[]; sampleRate: number }>;
}

/** Starts to record; call it in a gesture. Rejects with a sentence. */
export async function record(device: string, { onMeter, onPiece, onLost }: RecordingEvents): Promise<Recording> {
  const context = createLiveContext();
  let input: OpenInput | null = null;
  try {
    input = await openInput(device);
    await loadWorklet(context, recorderUrl);
  } catch (error) {
    input?.close();
    await context.close();
    throw error;
  }
  const { channels } = input;
  const options: RecorderOptions = { channels };
  const node = createWorkletNode(context, 'comb-and-coil-recorder', channels, 1, options);
  const pieces: Float32Array[][] = [];
  let frames = 0;
  let clipped = 0;
  node.port.onmessage = ({ data }: MessageEvent<FromRecorder>) => {
    if (frames >= LONGEST_TAKE * context.sampleRate) return;
    pieces.push(data);
    onPiece(data, context.sampleRate);
    frames += data[0].length;
    let peak = 0;
    for (const channel of data)
      for (const sample of channel) {
        const size = Math.abs(sample);
        if (size > peak) peak = size;
        if (size >= CLIP) clipped++;
      }
    onMeter({ length: frames / context.sampleRate, peak: dbOfAmplitude(peak), clipped });
  };
  const source = createStreamSource(context, input.stream);
  // nodes that lead nowhere may not be run; this way nothing is heard
  const silence = createGain(context, 1, 0);
  source.connect(node).connect(silence).connect(context.destination);
  const opened = input;
  for (const track of opened.stream.getAudioTracks()) track.addEventListener('ended', onLost, { once: true });
  return {
    input: opened,
    async stop() {
      const { sampleRate } = context;
      node.port.postMessage('end');
      source.disconnect();
      opened.close();
      await context.close();
      const whole = pieces.length > 0 ? join(pieces) : Array.from({ length: channels }, () => new Float32Array(0));
      return { channels: whole, sampleRate };
    },
  };
}
