/** Hands the samples that come in over to the page, in pieces. */
declare const AudioWorkletProcessor: new () => { readonly port: MessagePort };
declare function registerProcessor(
  name: string,
  processor: new (options: { processorOptions: RecorderOptions }) => object,
): void;

export interface RecorderOptions {
  channels: number;
}
/** [channel], PIECE samples each, handed over. */
export type FromRecorder = Float32Array[];

/** 43 ms at 48 kHz: often enough for a meter. */
const PIECE = 2048;

class RecorderProcessor extends AudioWorkletProcessor {
  #channels: number;
  #piece: Float32Array[];
  #at = 0;
  #running = true;

  constructor({ processorOptions: { channels } }: { processorOptions: RecorderOptions }) {
    super();
    this.#channels = channels;
    this.#piece = this.#fresh();
    this.port.onmessage = () => {
      this.#running = false;
    };
  }

  #fresh(): Float32Array[] {
    return Array.from({ length: this.#channels }, () => new Float32Array(PIECE));
  }

  process(inputs: Float32Array[][]): boolean {
    const input = inputs[0] ?? [];
    // the block is 128 samples long, and PIECE a multiple of it
    const length = input[0]?.length ?? 0;
    if (length > 0) {
      for (let c = 0; c < this.#channels; c++) {
        const from = input[c];
        if (from) this.#piece[c].set(from, this.#at);
      }
      this.#at += length;
      if (this.#at >= PIECE) {
        const piece = this.#piece;
        this.port.postMessage(
          piece,
          piece.map(channel => channel.buffer as ArrayBuffer),
        );
        this.#piece = this.#fresh();
        this.#at = 0;
      }
    }
    return this.#running;
  }
}

registerProcessor('comb-and-coil-recorder', RecorderProcessor);
