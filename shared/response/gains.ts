/** What becomes of every coil's EMF on the way to a test point: the wiring's plain weights, or the network's gains. */
import { harnessGains } from '../circuit/harness.ts';
import type { Spectrum } from '../complex.ts';
import { type Build, type Coil, isBehindNetwork, type Pickup, POINT, type TestPoint } from '../document/build.ts';
import { coilKey, mixingWeights } from './mixing.ts';

/** Gain of every coil that reaches the output, by `coilKey`: real weights, or complex over a list of frequencies. */
export type Gains = { wiring: Map<string, number> } | { network: Map<string, Spectrum> };

/** Gains to test point `point` at output `output`. The network is solved once for all strings. */
export function gainsOf(build: Build, point: TestPoint, frequencies: Float64Array, output: number): Gains {
  if (isBehindNetwork(point))
    return { network: harnessGains(build, point, frequencies)[output] ?? new Map<string, Spectrum>() };
  return { wiring: mixingWeights(build, output) };
}

/** EMF of a coil per unit of what it senses at the reference distance, with the sense of its magnet and winding. */
export const coilStrength = (coil: Coil, point: TestPoint): number =>
  coil.polarity * coil.winding * (point === POINT.velocity ? 1 : coil.sensitivity);

/** Adds one coil's signal to `sum`: `factor` (null: 1) × `strength` × its gain. */
export function addCoil(
  sum: Spectrum,
  gains: Gains,
  pickup: Pickup,
  coil: Coil,
  strength: number,
  factor: Spectrum | null,
): void {
  const key = coilKey(pickup.id, coil.id);
  const gain = 'network' in gains ? gains.network.get(key) : gains.wiring.get(key);
  if (!gain) return;
  // arrays at hand before the loops: each runs over thousands of frequencies for every coil and string
  const { re, im } = sum;
  const n = re.length;
  if (typeof gain === 'number') {
    const weight = strength * gain;
    if (!factor) for (let i = 0; i < n; i++) re[i] += weight;
    else {
      const { re: a, im: b } = factor;
      for (let i = 0; i < n; i++) {
        re[i] += weight * a[i];
        im[i] += weight * b[i];
      }
    }
    return;
  }
  const { re: c, im: d } = gain;
  if (!factor) {
    for (let i = 0; i < n; i++) {
      re[i] += strength * c[i];
      im[i] += strength * d[i];
    }
    return;
  }
  const { re: a, im: b } = factor;
  for (let i = 0; i < n; i++) {
    const [x, y] = [strength * a[i], strength * b[i]];
    re[i] += x * c[i] - y * d[i];
    im[i] += x * d[i] + y * c[i];
  }
}
