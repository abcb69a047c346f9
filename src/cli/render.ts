/** `lab render`: a take through a build to a WAV file, by the code that the page's sound runs on. */

import { writeFileSync } from 'node:fs';
import { renderOffline } from '../../shared/audio/offline.ts';
import { FILE_BLOCK, packKernels } from '../../shared/audio/partition.ts';
import { writeWav } from '../../shared/audio/wav-write.ts';
import { amplitudeOfDb, dbOfAmplitude } from '../../shared/decibels.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { kernels } from '../../shared/response/kernel.ts';
import { departsText } from '../parts/figure-text.ts';
import type { StringForces } from './cli-takes.ts';
import { Failure } from './failure.ts';

export const FORMATS = { '16': 16, '24': 24, '32f': '32f' } as const;
type Format = (typeof FORMATS)[keyof typeof FORMATS];

export interface RenderRequest {
  point: TestPoint;
  out: string;
  bits: Format;
  /** dB; null: 0 dB, or less where integers would clip. */
  gain: number | null;
  /** Bring the peak to −1 dBFS. */
  normalize: boolean;
}

const decibels = (x: number): string => (x > 0 ? `${(dbOfAmplitude(x)).toFixed(2)} dB` : 'silence');

/** Linear gain for a sound of this peak. */
function gainFor(peak: number, { bits, gain, normalize }: RenderRequest): number {
  const toPeak = peak > 0 ? amplitudeOfDb(-1) / peak : 1;
  if (normalize) return toPeak;
  const linear = amplitudeOfDb(gain ?? 0);
  if (bits === '32f' || peak * linear <= 1) return linear;
  if (gain === null) return toPeak;
  throw new Failure(
    `--gain ${gain} brings the peak ${decibels(peak * linear)} above full scale, and --bits ${bits} would clip it; expected at most ${(-dbOfAmplitude(peak)).toFixed(1)}, or --bits 32f`,
  );
}

/** Renders and writes; returns a sentence on what was written. Full scale is 1 unit of the test point (N, m/s or V). */
export function render(build: Build, { channels, sampleRate }: StringForces, request: RenderRequest): string {
  const set = kernels(build, request.point, sampleRate);
  const rendered = renderOffline(channels, packKernels(set.outputs, 1, FILE_BLOCK), { sampleRate });
  if (!rendered) throw new Failure('the rendering was ended');
  const peak = rendered.reduce((most, output) => output.reduce((m, x) => Math.max(m, Math.abs(x)), most), 0);
  const gain = gainFor(peak, request);
  const scaled = rendered.map(output => output.map(x => x * gain));
  const bytes = writeWav(scaled, {
    sampleRate,
    bits: request.bits,
    dither: request.bits === '32f' ? undefined : 1,
    metadata: { title: build.name, comment: `Test point ${request.point}` },
  });
  try {
    writeFileSync(request.out, bytes);
  } catch (error) {
    throw new Failure(`cannot write "${request.out}": ${error instanceof Error ? error.message : String(error)}`);
  }
  const seconds = ((rendered[0]?.length ?? 0) / sampleRate).toFixed(2);
  return [
    `${request.out}: ${seconds} s, ${scaled.length} channel${scaled.length > 1 ? 's' : ''}, ${sampleRate} Hz, ${request.bits} bit`,
    `peak ${decibels(peak * gain)} re full scale after a gain of ${decibels(gain)}`,
    `kernels ${set.taps} samples; each string is late by ${set.delays.join(', ')} samples (string 1 first)`,
    ...(set.departure ? [departsText(build.name, set.departure)] : []),
  ].join('\n');
}
