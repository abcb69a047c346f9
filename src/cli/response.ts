/** `lab response`: the exact complex response of one string at one test point, as CSV. */
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { kernelDelay } from '../../shared/response/delay.ts';
import { response } from '../../shared/response/response.ts';
import { Failure } from './failure.ts';

export interface ResponseRequest {
  /** String number, 1 is the highest. */
  string: number;
  point: TestPoint;
  /** Hz. */
  from: number;
  to: number;
  points: number;
  log: boolean;
  /** Output number, from 1. */
  output: number;
  /** Sample rate whose kernel delay is put in, Hz; null: no delay. */
  delayRate: number | null;
}

/** `points` frequencies from `from` to `to`, both included. */
function frequencyList({ from, to, points, log }: ResponseRequest): Float64Array {
  if (log && from <= 0) throw new Failure(`--from is ${from}; with --log it must be above 0 Hz`);
  if (to < from) throw new Failure(`--to (${to} Hz) lies below --from (${from} Hz)`);
  const last = Math.max(1, points - 1);
  return Float64Array.from({ length: points }, (_, i) => {
    if (i === last) return to;
    return log ? from * (to / from) ** (i / last) : from + ((to - from) * i) / last;
  });
}

/** Lines `frequency_hz,real,imag` with a heading; every digit that a double has. */
export function responseCsv(build: Build, request: ResponseRequest): string {
  const frequencies = frequencyList(request);
  const { re, im } = response(build, request.string - 1, request.point, frequencies, request.output - 1);
  const late =
    request.delayRate === null
      ? 0
      : kernelDelay(build.instrument.strings[request.string - 1], request.delayRate) / request.delayRate;
  const lines = ['frequency_hz,real,imag'];
  frequencies.forEach((f, i) => {
    const cos = late === 0 ? 1 : Math.cos(2 * Math.PI * f * late);
    const sin = late === 0 ? 0 : Math.sin(2 * Math.PI * f * late);
    // + 0 turns −0 into 0
    lines.push(`${f},${re[i] * cos + im[i] * sin + 0},${im[i] * cos - re[i] * sin + 0}`);
  });
  return `${lines.join('\n')}\n`;
}
