/** All selector positions of a harness side by side. */

import { dbOfAmplitude } from '../decibels.ts';
import { type NetworkPoint, POINT } from '../document/build.ts';
import { CircuitError } from './elements.ts';
import { harnessGains } from './harness.ts';
import { humGains } from './hum.ts';
import { type LoadedFigures, loadedFigures } from './resonance.ts';
import type { Wired } from './solder-places.ts';

export interface PositionRow extends LoadedFigures {
  /** Index of the position. */
  position: number;
  label: string;
  output: number;
  /** Names of the connected coils, `pickup.coil`. */
  coils: string[];
  /**
   * Low-frequency level of the EMFs that one movement over all coils would make, each by its sensitivity and in its own
   * sense, against one coil of the build's mean sensitivity, dB. −Infinity: they cancel, or nothing is connected.
   */
  levelDb: number;
  /** Whether the connected coils add (`in`), some against the others (`out`), or there is only one (`single`). */
  phase: 'in' | 'out' | 'single' | 'none';
  /** Hum of a uniform field at `HUM_FREQUENCY` against one middling coil without load, dB; −Infinity: cancels. */
  humDb: number;
  /** What is wrong in this position, when it cannot be worked out; the figures are then empty. */
  problem: string | null;
}

/** Where level and hum are read: twice the mains in most of the world, Hz. */
export const HUM_FREQUENCY = 100;
/** Hum below this against one coil, dB, counts as cancelled: no two coils are more alike. */
export const CANCELLED = -100;
const at = Float64Array.of(HUM_FREQUENCY);

/** How the coils of the selected position stand to one another at one output: level, phase and hum, at `HUM_FREQUENCY`. */
export type Together = Pick<PositionRow, 'coils' | 'levelDb' | 'phase' | 'humDb'>;

/** See `Together`. Throws `CircuitError` for a network without a solution. */
export function together(wired: Wired, output: number, point: NetworkPoint = POINT.input): Together {
  const gains = harnessGains(wired, point, at)[output];
  const all = wired.pickups.flatMap(p => p.coils.map(coil => ({ key: `${p.id}.${coil.id}`, coil })));
  const mean = all.reduce((sum, { coil }) => sum + coil.sensitivity, 0) / all.length;
  let [re, im, adding, against] = [0, 0, 0, 0];
  const coils: string[] = [];
  for (const { key, coil } of all) {
    const gain = gains.get(key);
    if (!gain || (gain.re[0] === 0 && gain.im[0] === 0)) continue;
    coils.push(key);
    const w = (coil.polarity * coil.winding * coil.sensitivity) / mean;
    re += w * gain.re[0];
    im += w * gain.im[0];
    if (w * gain.re[0] > 0) adding++;
    else against++;
  }
  const hum = humGains(wired, point, at)[output];
  const dB = (x: number) => {
    const level = dbOfAmplitude(x);
    return level < CANCELLED ? -Infinity : level;
  };
  return {
    coils,
    levelDb: dB(Math.hypot(re, im)),
    phase: coils.length === 0 ? 'none' : coils.length === 1 ? 'single' : adding > 0 && against > 0 ? 'out' : 'in',
    humDb: dB(Math.hypot(hum.re[0], hum.im[0])),
  };
}

function row(wired: Wired, position: number, output: number, point: NetworkPoint): PositionRow {
  const here: Wired = { ...wired, harness: { ...wired.harness, selected: position } };
  const { label } = wired.harness.positions[position];
  try {
    const sums = together(here, output, point);
    return { position, label, output, ...sums, ...loadedFigures(here, point, output), problem: null };
  } catch (error) {
    if (!(error instanceof CircuitError)) throw error;
    const empty = { peakHz: null, peakDb: 0, minus3dBHz: null, dcDb: -Infinity };
    const nothing = { levelDb: -Infinity, phase: 'none', humDb: -Infinity } as const;
    return { position, label, output, coils: [], ...empty, ...nothing, problem: error.message };
  }
}

/** A row per position and output (outputs that a position leaves without pickups are left out, unless all are). */
export function positionTable(wired: Wired, point: NetworkPoint = POINT.input): PositionRow[] {
  return wired.harness.positions.flatMap((position, p) => {
    const used = wired.outputs.flatMap((o, i) => (position.taps.some(t => t.output === o.id) ? [i] : []));
    return (used.length > 0 ? used : [0]).map(o => row(wired, p, o, point));
  });
}
