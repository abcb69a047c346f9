/**
 * How far apart two builds lie in tone, as an ear analyses it: of every string that both have by name, the excitation along the
 * ear's bands of a plucked note's spectrum through each build, level taken out. Pure.
 *
 * Auditory filters are rounded exponentials, (1 + pg) e^(−pg), g = |f − fc|/fc, p = 4 fc/ERB (Patterson, Nimmo-Smith,
 * Weber and Milroy, JASA 72, 1982), as wide as `auditoryBand` says. A pluck's bridge force falls as 1/f; harmonics are taken
 * as lying everywhere, as those of notes on all frets do.
 */
import { dbOfPower, powerOfDb } from '../decibels.ts';
import type { Build, TestPoint } from '../document/build.ts';
import { matchingString } from '../string/matching.ts';
import { figureGrid } from './figure-grid.ts';
import { pluckLevel, stringPowers } from './figures.ts';
import { auditoryBand } from './noticeable.ts';

export interface SpectrumStep {
  /** What the second build has more in that band, once both are equally loud, dB. */
  step: number;
  /** Middle of the band, Hz. */
  at: number;
  /** Name of the string in the second build. */
  string: string;
}

/** Bands are read up to here, Hz; above it a pluck leaves next to nothing. */
const HIGHEST = 8000;
/** Bands per width of a band. */
const OVERLAP = 2;
/** What lies this far under the strongest band of its string is masked or below hearing, dB. */
const BURIED = 50;

interface Band {
  centre: number;
  /** First point of the grid that counts, and what each from there on counts. */
  from: number;
  counts: Float64Array;
}

let bands: Band[] | null = null;
function auditoryBands(): Band[] {
  if (bands) return bands;
  bands = [];
  const grid = figureGrid();
  for (let centre = 60; centre <= HIGHEST; centre += auditoryBand(centre) / OVERLAP) {
    const p = (4 * centre) / auditoryBand(centre);
    const weight = (f: number): number => {
      const x = (p * Math.abs(f - centre)) / centre;
      return ((1 + x) * Math.exp(-x)) / (f * f);
    };
    // beyond 14 p the filter is 50 dB down
    const within = (f: number): boolean => (p * Math.abs(f - centre)) / centre < 14;
    const from = Math.max(1, grid.findIndex(within));
    const to = Math.min(grid.length - 1, grid.findLastIndex(within));
    const counts = Float64Array.from({ length: Math.max(0, to - from) }, (_, i) => {
      const n = from + i;
      return (weight(grid[n]) * (grid[n + 1] - grid[n - 1])) / 2;
    });
    bands.push({ centre, from, counts });
  }
  return bands;
}

/** Excitation in every band of a string that speaks from `lowest` Hz on. */
function excitation(powers: Float64Array, lowest: number): number[] {
  const grid = figureGrid();
  return auditoryBands().map(({ centre, from, counts }) => {
    if (centre < lowest) return 0;
    let sum = 0;
    for (let i = 0; i < counts.length; i++) if (grid[from + i] >= lowest) sum += counts[i] * powers[from + i];
    return sum;
  });
}

/** The band that differs most between `a` and `b` at a test point; null: no string in common, or one of them is silent. */
export function spectrumStep(a: Build, b: Build, point: TestPoint): SpectrumStep | null {
  const [p, q] = [a, b].map(build => pluckLevel(build, point));
  if (!Number.isFinite(p) || !Number.isFinite(q)) return null;
  const louder = powerOfDb(q - p);
  let most: SpectrumStep | null = null;
  b.instrument.strings.forEach(({ name, pitch }, s) => {
    const other = matchingString(b.instrument, s, a.instrument);
    if (other === null || a.instrument.strings[other].name !== name) return;
    const lowest = Math.max(pitch, a.instrument.strings[other].pitch);
    const was = excitation(stringPowers(a, point)[other], lowest);
    const is = excitation(stringPowers(b, point)[s], lowest).map(x => x / louder);
    const floor = Math.max(...was, ...is) * powerOfDb(-BURIED);
    auditoryBands().forEach(({ centre }, i) => {
      if (!(Math.max(was[i], is[i]) > floor)) return;
      const step = dbOfPower(Math.max(is[i], floor) / Math.max(was[i], floor));
      if (most === null || Math.abs(step) > Math.abs(most.step)) most = { step, at: centre, string: name };
    });
  });
  return most;
}
