/** The engine on the audio thread: unpacks messages, calls the engine, posts meters and spent kernels. */
import { installEngine } from '../shared/audio/binary.ts';
import { Engine, type EngineConfig, MAX_STRINGS, meterSize } from '../shared/audio/engine.ts';
import { BLOCK, type PackedKernels } from '../shared/audio/partition.ts';

declare const sampleRate: number;
declare const AudioWorkletProcessor: new () => { readonly port: MessagePort };
declare function registerProcessor(
  name: string,
  processor: new (options: { processorOptions: EngineOptions }) => object,
): void;

/** Handed over at construction, so that the first block already has its kernels. */
export type EngineOptions = Omit<EngineConfig, 'sampleRate' | 'strings'> & {
  module: WebAssembly.Module;
  kernels?: PackedKernels;
};
export type ToEngine = { kind: 'kernels'; kernels: PackedKernels } | { kind: 'volume'; gain: number } | { kind: 'end' };
export type FromEngine =
  | { kind: 'accepted' }
  /** From now on the set of that id is heard, and nothing else. */
  | { kind: 'heard'; id: number }
  | { kind: 'spent'; kernels: PackedKernels }
  | { kind: 'meters'; values: Float32Array };

/** Meters are posted at most this often, Hz. */
const METER_RATE = 30;
const NO_STRINGS: Float32Array[] = [];

class EngineProcessor extends AudioWorkletProcessor {
  #engine: Engine;
  #meters: { kind: 'meters'; values: Float32Array };
  #blocksUntilMeters = 0;
  #running = true;
  #told: PackedKernels | null = null;

  constructor({ processorOptions: { module, kernels, ...config } }: { processorOptions: EngineOptions }) {
    super();
    installEngine(module);
    this.#engine = new Engine({ ...config, sampleRate, strings: MAX_STRINGS });
    this.#meters = { kind: 'meters', values: new Float32Array(meterSize(config.outputs)) };
    if (kernels !== undefined) this.#engine.setKernels(kernels, true);
    this.port.onmessage = ({ data }: MessageEvent<ToEngine>) => {
      if (data.kind === 'volume') this.#engine.setVolume(data.gain);
      else if (data.kind === 'end') this.#running = false;
      else {
        this.#engine.setKernels(data.kernels);
        this.port.postMessage({ kind: 'accepted' } satisfies FromEngine);
      }
    };
  }

  process(inputs: Float32Array[][], outputs: Float32Array[][]): boolean {
    this.#engine.process(inputs[0] ?? NO_STRINGS, outputs[0]);
    const heard = this.#engine.heard;
    if (heard !== this.#told) {
      this.#told = heard;
      if (heard?.id !== undefined) this.port.postMessage({ kind: 'heard', id: heard.id } satisfies FromEngine);
    }
    const spent = this.#engine.takeSpent();
    if (spent !== null) this.port.postMessage({ kind: 'spent', kernels: spent } satisfies FromEngine, [spent.data]);
    if (--this.#blocksUntilMeters <= 0) {
      this.#blocksUntilMeters = Math.ceil(sampleRate / BLOCK / METER_RATE);
      this.#engine.readMeters(this.#meters.values);
      this.port.postMessage(this.#meters);
    }
    return this.#running;
  }
}

registerProcessor('comb-and-coil-engine', EngineProcessor);
