/** The part of `wavefile` that is used here; its own types call every chunk a plain `object`. */
declare module 'wavefile/dist/wavefile.js' {
  export interface WaveFileTag {
    chunkId: string;
    value?: string;
  }
  export class WaveFile {
    container: string;
    bitDepth: string;
    chunkSize: number;
    fmt: {
      audioFormat: number;
      numChannels: number;
      sampleRate: number;
      blockAlign: number;
      bitsPerSample: number;
      cbSize: number;
      validBitsPerSample: number;
      dwChannelMask: number;
      subformat: number[];
    };
    cue: { points: { dwName: number; dwPosition: number; dwSampleOffset: number }[] };
    LIST: { format: string; subChunks: WaveFileTag[] }[];
    data: { chunkSize: number; samples: Uint8Array };
    fromBuffer(bytes: Uint8Array, samples?: boolean): void;
    toBuffer(): Uint8Array;
    fromScratch(
      channels: number,
      sampleRate: number,
      bitDepth: string,
      samples: ArrayLike<number> | ArrayLike<number>[],
      options?: { container?: 'RIFF' | 'RIFX' },
    ): void;
    fromALaw(): void;
    fromMuLaw(): void;
    toALaw(): void;
    fromIMAADPCM(): void;
    toIMAADPCM(): void;
    toMuLaw(): void;
    getSamples(): Float64Array | Float64Array[];
    setTag(name: string, value: string): void;
    listTags(): Record<string, string>;
  }
}
