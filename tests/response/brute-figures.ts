/** Figures by lists of frequencies and the exact curve, a few lines each: what printed figures are held against. */
import { harnessGains } from '../../shared/circuit/harness.ts';
import { power } from '../../shared/complex.ts';
import type { Build } from '../../shared/document/build.ts';
import type { Figure } from '../../shared/response/quantities.ts';
import { response, responses } from '../../shared/response/response.ts';

type At = Pick<Figure['at'], 'point' | 'output'>;

export const dB = (p: number): number => 10 * Math.log10(p);
export const size = (z: { re: number; im: number }): number => Math.hypot(z.re, z.im);

/** Middles of `n` parts of an octave around `centre`. */
const octaveOf = (centre: number, n: number) =>
  Float64Array.from({ length: n }, (_, i) => (centre / Math.SQRT2) * 2 ** ((i + 0.5) / n));

/** Mean power of all strings. */
const meanPower = (build: Build, { point, output }: At, f: Float64Array) =>
  responses(build, point, f, output).reduce((sum, c) => sum + f.reduce((s, _, i) => s + power(c, i), 0), 0);

/** Octave around `centre` against that around 250 Hz, `n` frequencies each. */
export const octaveByList = (build: Build, at: At, centre: number, n: number): number =>
  dB(meanPower(build, at, octaveOf(centre, n)) / meanPower(build, at, octaveOf(250, n)));

/** Level of plucked notes, by `n` frequencies a string. */
export function levelByList(build: Build, at: At, n: number): number {
  const means = build.instrument.strings.map((string, s) => {
    const [low, top] = [Math.max(20, string.pitch), 8000 * Math.SQRT2];
    const f = Float64Array.from({ length: n }, (_, i) => low * (top / low) ** ((i + 0.5) / n));
    const curve = response(build, s, at.point, f, at.output);
    // on a logarithmic list f^−2 df is 1/f
    return f.reduce((sum, x, i) => sum + power(curve, i) / x, 0) / f.reduce((sum, x) => sum + 1 / x, 0);
  });
  return dB(means.reduce((a, b) => a + b, 0) / means.length);
}

/** Coils at 1 V each, those that are turned round at low frequencies turned back, at some frequencies. */
export function aiding(build: Build, { point, output }: At, f: number[], low = 100): { re: number; im: number }[] {
  const gains = harnessGains(build, point as 4 | 5, Float64Array.from([low, ...f]))[output];
  return f.map((_, i) => {
    let [re, im] = [0, 0];
    for (const g of gains.values()) {
      const s = g.re[0] < 0 ? -1 : 1;
      re += s * g.re[i + 1];
      im += s * g.im[i + 1];
    }
    return { re, im };
  });
}
