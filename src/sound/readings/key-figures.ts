/** Key figures of a build: resonance, nulls of one string, level, hum. Pure; kept as long as a build is the same object. */

import { humGains } from '../../../shared/circuit/hum.ts';
import { power } from '../../../shared/complex.ts';
import { dbOfPower } from '../../../shared/decibels.ts';
import type { Build, TestPoint } from '../../../shared/document/build.ts';
import { pluckLevel, type ResponseNull, responseNulls } from '../../../shared/response/figures.ts';
import { loadFigures } from '../../../shared/response/load-figures.ts';

export interface KeyFigures {
  /** Of coils, controls and load without the string, Hz; null: nothing stands out. */
  resonance: number | null;
  /** Over the level at low frequencies, dB. */
  height: number;
  /** −3 dB point, Hz; null: beyond the range. */
  corner: number | null;
  nulls: readonly ResponseNull[];
  /** Level of plucked strings in general at the test point, dB re 1 unit; null: no signal. */
  level: number | null;
  /** What a uniform hum field leaves at 100 Hz, dB re one middling coil by itself; −∞: cancelled; null: no signal. */
  hum: number | null;
  /** Something is connected in the selected position. */
  wired: boolean;
}

/** Nulls are listed up to here, Hz. */
const NULL_LIMIT = 5000;

/** Second harmonic of 50 Hz mains, the loudest part of most hum, Hz. */
const HUM = Float64Array.of(100);

function humLevel(build: Build, point: 4 | 5): number | null {
  const gain = humGains(build, point, HUM)[0];
  return gain ? dbOfPower(power(gain, 0)) : null;
}

const kept = new WeakMap<Build, Map<string, KeyFigures>>();

/** Figures of the string with index `string`, partials counted at `fret`, level at `point`. */
export function keyFigures(build: Build, string: number, point: TestPoint, fret: number): KeyFigures {
  let known = kept.get(build);
  if (!known) kept.set(build, (known = new Map()));
  const key = `${string}/${point}/${fret}`;
  let figures = known.get(key);
  if (!figures) known.set(key, (figures = compute(build, string, point, fret)));
  return figures;
}

function compute(build: Build, string: number, point: TestPoint, fret: number): KeyFigures {
  const electrical = point === 4 ? 4 : 5;
  const load = loadFigures(build);
  const level = pluckLevel(build, point);
  return {
    resonance: load?.resonance ?? null,
    height: load?.height ?? 0,
    corner: load?.corner ?? null,
    nulls: load ? responseNulls(build, string, NULL_LIMIT, fret) : [],
    level: Number.isFinite(level) ? level : null,
    hum: load ? humLevel(build, electrical) : null,
    wired: load !== null,
  };
}
