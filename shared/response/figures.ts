/** Figures read off the exact response: nulls of a string, and one level per build to compare loudness by. */

import { power } from '../complex.ts';
import type { Build, TestPoint } from '../document/build.ts';
import { coilOnString } from '../sensor/placement.ts';
import { stringModel, waveNumber } from '../string/stiff.ts';
import { coilKey, mixingWeights } from './mixing.ts';
import { response, responses } from './response.ts';

/** A frequency that the pickups in use do not hear of a string. */
export interface ResponseNull {
  frequency: number;
  /** Partial number it falls on for the fretted string; a real number. */
  partial: number;
  /**
   * `position`: a node over the coil, or over the middle of coils side by side. `coils`: coils cancel each other.
   * `aperture`: a window without sensitivity there.
   */
  cause: 'position' | 'coils' | 'aperture';
}

/** Coils within this distance count as side by side, m. */
const SIDE_BY_SIDE = 0.04;
/** A node this near, in half wavelengths, counts as over the pickup. */
const OVER = 0.05;

/** Steps of the search, Hz: the narrowest pair of nulls that it tells apart. */
const STEP = 2;

const grids = new Map<number, Float64Array>();

/** Where nulls up to `limit` Hz are looked for; the same list each time, so that `response` keeps its work. */
function searchGrid(limit: number): Float64Array {
  let grid = grids.get(limit);
  if (!grid) {
    const steps = Math.max(2, Math.ceil((limit - 20) / STEP));
    grid = Float64Array.from({ length: steps + 1 }, (_, i) => 20 + ((limit - 20) * i) / steps);
    grids.set(limit, grid);
  }
  return grid;
}

/**
 * Where `at` changes sign between a and b, whose values are given: false position, the weight of an end that stays put
 * halved (the Illinois rule; M. Dowell and P. Jarratt, BIT 11 (1971) 168).
 */
function crossing(at: (f: number) => number, a: number, b: number, atA: number, atB: number): number {
  let [low, high, below, above] = [a, b, atA, atB];
  let stayed = 0;
  for (let n = 0; n < 60 && below !== 0 && above !== 0 && high - low > 1e-9; n++) {
    const f = low - (below * (high - low)) / (above - below);
    const value = at(f);
    if (value === 0 || f <= low || f >= high) return f;
    if (value < 0 === below < 0) {
      [low, below] = [f, value];
      if (stayed > 0) above /= 2;
      stayed = 1;
    } else {
      [high, above] = [f, value];
      if (stayed < 0) below /= 2;
      stayed = -1;
    }
  }
  return below === 0 ? low : above === 0 ? high : (low + high) / 2;
}

/**
 * Nulls of a string at test point 3 from 20 Hz to `limit` Hz, partials counted at `fret`. There the response is a real
 * function times j, so its nulls are its changes of sign; each is closed in on with the exact function. A null to which two
 * coils come close without a change of sign is none.
 */
export function responseNulls(build: Build, stringIndex: number, limit: number, fret = 0, output = 0): ResponseNull[] {
  const model = stringModel(build.instrument.strings[stringIndex]);
  const speaking = model.length * 2 ** (-fret / 12);
  const frequencies = searchGrid(limit);
  const at = (f: number): number => response(build, stringIndex, 3, Float64Array.of(f), output).im[0];
  const { im } = response(build, stringIndex, 3, frequencies, output);

  const weights = mixingWeights(build, output);
  const used = build.pickups.flatMap(pickup =>
    pickup.coils.flatMap(coil => {
      const on = coilOnString(build, pickup, coil, stringIndex);
      const share = coil.polarity * coil.winding * (weights.get(coilKey(pickup.id, coil.id)) ?? 0);
      return on.level > 0 && share !== 0 ? [{ x: on.x, strength: share * coil.sensitivity * on.level }] : [];
    }),
  );
  const total = used.reduce((sum, c) => sum + c.strength, 0);
  const middle = used.reduce((sum, c) => sum + c.strength * c.x, 0) / total;
  const together =
    used.every(c => c.strength * total > 0) &&
    Math.max(...used.map(c => c.x)) - Math.min(...used.map(c => c.x)) < SIDE_BY_SIDE;
  const cause = (k: number): ResponseNull['cause'] => {
    const halves = (k * middle) / Math.PI;
    if (together && Math.abs(halves - Math.round(halves)) < OVER) return 'position';
    return used.length > 1 ? 'coils' : 'aperture';
  };

  const nulls: ResponseNull[] = [];
  for (let i = 1; i < im.length; i++) {
    if (im[i - 1] * im[i] > 0 || im[i - 1] === 0) continue;
    const frequency = crossing(at, frequencies[i - 1], frequencies[i], im[i - 1], im[i]);
    const k = waveNumber(model, frequency);
    nulls.push({ frequency, partial: (k * speaking) / Math.PI, cause: cause(k) });
  }
  return nulls;
}

/** 1/48 octave from 20 Hz to about 10 kHz. */
const LEVEL_GRID = Float64Array.from({ length: 432 }, (_, i) => 20 * 2 ** (i / 48));

/**
 * Level of a build at a test point for plucked strings in general, dB re 1 unit of the test point for 1 N: the mean over
 * the strings of ∫ |H|² f^−2 df / ∫ f^−2 df from each string's open fundamental up. A pluck's bridge force falls as
 * 1/f, and the integral stands for notes on all frets. −Infinity: silence.
 */
export function pluckLevel(build: Build, point: TestPoint, output = 0): number {
  let mean = 0;
  const curves = responses(build, point, LEVEL_GRID, output);
  curves.forEach((curve, s) => {
    let [sum, weight] = [0, 0];
    for (let i = 0; i < LEVEL_GRID.length; i++) {
      if (LEVEL_GRID[i] < build.instrument.strings[s].pitch) continue;
      // df = f d(ln f) on this grid
      weight += 1 / LEVEL_GRID[i];
      sum += power(curve, i) / LEVEL_GRID[i];
    }
    mean += weight > 0 ? sum / weight / curves.length : 0;
  });
  return 10 * Math.log10(mean);
}
