/** The engine as seen from the page: one node with a string on each channel in, the outputs out. */
import { checkKernels, MAX_STRINGS, METER } from '../../shared/audio/engine.ts';
import type { PackedKernels } from '../../shared/audio/partition.ts';
import { amplitudeOfDb, dbOfAmplitude } from '../../shared/decibels.ts';
import type { EngineOptions, FromEngine, ToEngine } from '../../worklets/engine.worklet.ts';
import engineUrl from '../../worklets/engine.worklet.ts?worker&url';
import { words } from '../words/sound-words.ts';
import {
  type Context,
  createGain,
  createWorkletNode,
  type Gain,
  loadWorklet,
  type Node,
  type WorkletNode,
} from './context.ts';
import { engineModule } from './engine-module.ts';

export { engineUrl };
export const ENGINE_NAME = 'comb-and-coil-engine';
/** Channels the engine gives out; a build with one output sounds on both. */
const ENGINE_OUTPUTS = 2;

/** What the engine measured since the last report. */
export interface Meters {
  /** Each output: largest sample and mean level, dBFS (a full-scale sine has −3.01 mean), −Infinity in silence. */
  outputs: { peak: number; level: number }[];
  /** What the limiter took away at most, dB, 0 or negative. */
  reduction: number;
  /** Numbers since the start that were not finite and were replaced by silence. */
  bad: number;
  /** Blocks of 128 samples since the start. */
  blocks: number;
}

export interface EngineNodeOptions {
  /** Kernels to start with, heard without a fade. */
  kernels?: PackedKernels;
  /** dB; 0 if not given. */
  volume?: number;
  /** Seconds in which the volume rises at the start. */
  rise?: number;
  limiter?: boolean;
  onMeters?: (meters: Meters) => void;
  /** From now on the kernel set of that id is heard, and no other. */
  onHeard?: (id: number) => void;
  /** The engine failed with this message; `rebuilt` says whether a new one has taken its place. */
  onError?: (message: string, rebuilt: boolean) => void;
}

export interface EngineNode {
  /** Where sources connect; channel = string. */
  input: Gain;
  /** What connects to the destination. */
  output: Node;
  /** Crossfades to these kernels; the set is handed over and must not be used afterwards. */
  setKernels(packed: PackedKernels): void;
  /** dB, −Infinity for silence. */
  setVolume(dB: number): void;
  /** Resolves when the audio thread has taken the last kernels. */
  accepted(): Promise<void>;
  /** Ends the engine. */
  close(): void;
}

/** Engines rebuilt after failures before giving up. */
const MOST_REBUILDS = 3;

function readMeters(values: Float32Array): Meters {
  const outputs: Meters['outputs'] = [];
  for (let i = METER.output; i + 1 < values.length; i += 2)
    outputs.push({ peak: dbOfAmplitude(values[i]), level: dbOfAmplitude(values[i + 1]) / 2 });
  return {
    outputs,
    reduction: dbOfAmplitude(values[METER.gain]),
    bad: values[METER.bad],
    blocks: values[METER.blocks],
  };
}

/** Loads the engine into a context and builds its node, not yet connected to anything. */
export async function createEngineNode(context: Context, options: EngineNodeOptions = {}): Promise<EngineNode> {
  const { limiter = true, rise = 0, onMeters, onHeard, onError } = options;
  const [module] = await Promise.all([engineModule(), loadWorklet(context, engineUrl)]);
  const input = createGain(context, MAX_STRINGS, 1);
  const output = createGain(context, ENGINE_OUTPUTS, 1);
  let kernels = options.kernels;
  let volume = amplitudeOfDb(options.volume ?? 0);
  let rebuilds = 0;
  let waiting: (() => void)[] = [];
  let node = build();
  /** Whether an engine stands between input and output; a lost one is taken out already. */
  let connected = true;

  function build(): WorkletNode {
    const engineOptions: EngineOptions = {
      module,
      outputs: ENGINE_OUTPUTS,
      limiter,
      volume,
      rise,
      ...(kernels && { kernels }),
    };
    const made = createWorkletNode(context, ENGINE_NAME, MAX_STRINGS, ENGINE_OUTPUTS, engineOptions);
    made.port.onmessage = ({ data }: MessageEvent<FromEngine>) => {
      if (data.kind === 'meters') onMeters?.(readMeters(data.values));
      else if (data.kind === 'accepted') waiting.shift()?.();
      else if (data.kind === 'heard') onHeard?.(data.id);
    };
    made.onprocessorerror = event => {
      const rebuild = rebuilds++ < MOST_REBUILDS;
      input.disconnect(made);
      made.disconnect();
      if (rebuild) node = build();
      else connected = false;
      for (const resolve of waiting) resolve();
      waiting = [];
      onError?.((event as ErrorEvent).message || words.failed, rebuild);
    };
    input.connect(made);
    made.connect(output);
    return made;
  }

  const post = (message: ToEngine, transfer: Transferable[] = []) => node.port.postMessage(message, transfer);

  return {
    input,
    output,
    setKernels(packed) {
      // Here the caller hears of it; on the audio thread nobody would.
      checkKernels(packed, ENGINE_OUTPUTS, context.sampleRate);
      // A copy stays here, for the day the engine has to be rebuilt.
      kernels = { ...packed, data: packed.data.slice(0) };
      post({ kind: 'kernels', kernels: packed }, [packed.data]);
    },
    setVolume(dB) {
      volume = amplitudeOfDb(dB);
      post({ kind: 'volume', gain: volume });
    },
    accepted: () => new Promise(resolve => waiting.push(resolve)),
    close() {
      post({ kind: 'end' });
      if (connected) {
        input.disconnect(node);
        node.disconnect();
      }
      node.port.close();
    },
  };
}
