/** What the aperture of a pickup does on one string by itself: windows and coil spacing, without the position comb. Pure. */
import type { Build, Coil, Pickup } from '../../../shared/document/build.ts';
import { coilOnString } from '../../../shared/sensor/placement.ts';
import { windowGain, windowSkew } from '../../../shared/sensor/windows.ts';
import { stringModel, waveNumber } from '../../../shared/string/stiff.ts';

/** Coils of `pickup` that the selected position uses; all of them when it uses none. */
export function coilsInUse(build: Build, pickup: Pickup): Coil[] {
  const taps = build.harness.positions[build.harness.selected]?.taps.filter(t => t.pickup === pickup.id) ?? [];
  const used = pickup.coils.filter(coil => taps.some(t => t.coils === null || t.coils.includes(coil.id)));
  return used.length > 0 ? used : pickup.coils;
}

/** Pickups that the selected position uses; all of them when it uses none. */
export function pickupsInUse(build: Build): Pickup[] {
  const taps = build.harness.positions[build.harness.selected]?.taps ?? [];
  const used = build.pickups.filter(p => taps.some(t => t.pickup === p.id));
  return used.length > 0 ? used : build.pickups;
}

/** What the field over a pickup's poles follows from. */
const fieldOf = ({ height, poles, coils }: Pickup): string =>
  JSON.stringify([height, poles, coils.map(coil => coil.window)]);

/** Whether pickups of unlike gaps, poles or depths are in use, so that levels between the builds hang on the field model. */
export const unlikeFields = (builds: readonly Build[]): boolean =>
  new Set(builds.flatMap(pickupsInUse).map(fieldOf)).size > 1;

/** The same for a selector position of a build against the selected one. */
export const unlikePositions = (build: Build, position: number): boolean =>
  unlikeFields([build, { ...build, harness: { ...build.harness, selected: position } }]);

/**
 * Gain of the aperture at `f` Hz against that at 0 Hz: |Σ g (W + jV) e^(jkx)| / Σ g over the coils in use, each with its own
 * distance, taken about the middle of them.
 */
export function apertureGain(build: Build, pickup: Pickup, string: number, f: number): number {
  const k = waveNumber(stringModel(build.instrument.strings[string]), f);
  let re = 0;
  let im = 0;
  let sum = 0;
  for (const coil of coilsInUse(build, pickup)) {
    const { x, field, level } = coilOnString(build, pickup, coil, string);
    const g = coil.sensitivity * level;
    const w = g * windowGain(coil.window, field, k);
    const v = g * windowSkew(coil.window, field, k);
    re += w * Math.cos(k * x) - v * Math.sin(k * x);
    im += w * Math.sin(k * x) + v * Math.cos(k * x);
    sum += g;
  }
  return sum > 0 ? Math.hypot(re, im) / sum : 0;
}

/** Where the aperture first falls 3 dB, Hz; null: not below 40 kHz, or no coil under the string. */
export function apertureCorner(build: Build, pickup: Pickup, string: number): number | null {
  const half = Math.SQRT1_2;
  if (apertureGain(build, pickup, string, 0) === 0) return null;
  let below = 0;
  for (let f = 50; f < 40e3; f *= 1.03) {
    if (apertureGain(build, pickup, string, f) > half) {
      below = f;
      continue;
    }
    let [a, b] = [below, f];
    for (let i = 0; i < 40; i++) {
      const middle = (a + b) / 2;
      if (apertureGain(build, pickup, string, middle) > half) a = middle;
      else b = middle;
    }
    return a;
  }
  return null;
}
