/** Takes the colour out of a take's channels, one message a channel so that progress shows. */
import type { Build, TestPoint } from '../../shared/build/build.ts';
import type { Spectrum } from '../../shared/complex.ts';
import { uncolour, uncolouring, uncolouringOf } from '../../shared/response/uncolour.ts';

/** What a take was recorded through: a build, or a response at `uncolourFrequencies(sampleRate)`. */
export type RecordedThrough =
  | { kind: 'build'; build: Build; point: TestPoint; output?: number }
  | { kind: 'response'; response: Spectrum };

export interface ToUncolourWorker {
  channels: Float32Array[];
  /** String index of each channel. */
  strings: number[];
  sampleRate: number;
  through: RecordedThrough;
  /** dB. */
  maximumLift: number;
}

export interface UncolouredChannel {
  /** The source as far as it could be recovered, on the recording's scale; × 1/reference it is in its own unit. */
  samples: Float32Array;
  reference: number;
  /** Bands [from, to] in Hz where nothing could be recovered. */
  weak: [number, number][];
  /** Most that a frequency was lifted, dB. */
  lift: number;
}

export type FromUncolourWorker =
  | { type: 'channel'; index: number; channel: UncolouredChannel }
  | { type: 'failed'; message: string };

const scope = self as unknown as { postMessage(message: FromUncolourWorker, transfer?: Transferable[]): void };

addEventListener('message', ({ data }: MessageEvent<ToUncolourWorker>) => {
  const { channels, strings, sampleRate, through, maximumLift } = data;
  try {
    channels.forEach((signal, index) => {
      const inverse =
        through.kind === 'build'
          ? uncolouringOf(through.build, strings[index], through.point, sampleRate, {
              maximumLift,
              output: through.output ?? 0,
            })
          : uncolouring(through.response, sampleRate, { maximumLift });
      const samples = uncolour(signal, inverse);
      const { reference, weak, lift } = inverse;
      scope.postMessage({ type: 'channel', index, channel: { samples, reference, weak, lift } }, [samples.buffer]);
    });
  } catch (error) {
    scope.postMessage({ type: 'failed', message: error instanceof Error ? error.message : String(error) });
  }
});
