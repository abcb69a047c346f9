/** What the aperture of a pickup does on one string by itself: windows and coil spacing, without the position comb. Pure. */
import { dbOfAmplitude } from '../../../shared/decibels.ts';
import type { Build, Coil, Pickup } from '../../../shared/document/build.ts';
import { opposed } from '../../../shared/response/mixing.ts';
import { coilOnString, isUnder } from '../../../shared/sensor/placement.ts';
import { windowGain, windowSkew } from '../../../shared/sensor/windows.ts';
import { stringModel, waveNumber } from '../../../shared/string/stiff.ts';

/** Coils of `pickup` that the selected position uses; all of them when it uses none. */
export function coilsInUse(build: Build, pickup: Pickup): Coil[] {
  const taps = build.harness.positions[build.harness.selected]?.taps.filter(t => t.pickup === pickup.id) ?? [];
  const used = pickup.coils.filter(coil => taps.some(t => t.coils === null || t.coils.includes(coil.id)));
  return used.length > 0 ? used : pickup.coils;
}

/** Those of them that lie under a string; all of them where none does. */
export function coilsUnder(build: Build, pickup: Pickup, string: number): Coil[] {
  const used = coilsInUse(build, pickup);
  const under = used.filter(coil => isUnder(coil, string));
  return under.length > 0 ? under : used;
}

/** Pickups that the selected position uses; all of them when it uses none. */
export function pickupsInUse(build: Build): Pickup[] {
  const taps = build.harness.positions[build.harness.selected]?.taps ?? [];
  const used = build.pickups.filter(p => taps.some(t => t.pickup === p.id));
  return used.length > 0 ? used : build.pickups;
}

/** What the field over a pickup's poles follows from. */
const fieldOf = ({ height, slant, poles, coils }: Pickup): string =>
  JSON.stringify([height, slant, poles, coils.map(coil => coil.window)]);

/** Level that the field gives a pickup, mean over the strings it lies under, dB: by its gap, and by how far they run beside its poles. */
function fieldLevel(build: Build, pickup: Pickup): number {
  const levels = build.instrument.strings.flatMap((_, i) => {
    const best = Math.max(...coilsInUse(build, pickup).map(coil => coilOnString(build, pickup, coil, i).level));
    return best > 0 ? [dbOfAmplitude(best)] : [];
  });
  return levels.length === 0 ? 0 : levels.reduce((a, b) => a + b, 0) / levels.length;
}

/** Levels that far apart show in a figure, dB. */
const SHOWN = 0.1;

/**
 * Whether pickups in use differ by their fields, in gaps, slants, poles or depths, or because strings run otherwise beside their
 * poles, so that levels between the builds, or what one build mixes, hang on the field model.
 */
export function unlikeFields(builds: readonly Build[]): boolean {
  const used = builds.flatMap(build => pickupsInUse(build).map(pickup => ({ build, pickup })));
  if (new Set(used.map(({ pickup }) => fieldOf(pickup))).size > 1) return true;
  const levels = used.map(({ build, pickup }) => fieldLevel(build, pickup));
  return Math.max(...levels) - Math.min(...levels) >= SHOWN;
}

/** Whether what a selector position mixes hangs on the field model: its pickups have unlike fields. */
export const mixedPosition = (build: Build, position: number): boolean =>
  unlikeFields([{ ...build, harness: { ...build.harness, selected: position } }]);

/** The same for a selector position of a build against the selected one. */
export const unlikePositions = (build: Build, position: number): boolean =>
  unlikeFields([build, { ...build, harness: { ...build.harness, selected: position } }]);

/**
 * Gain of the aperture at `f` Hz against that at 0 Hz: |Σ g (W + jV) e^(jkx)| / Σ g over the coils in use, each with its own
 * distance, taken about the middle of them.
 */
export const apertureGain = (build: Build, pickup: Pickup, string: number, f: number): number =>
  apertureOf(build, pickup, string)(f);

function apertureOf(build: Build, pickup: Pickup, string: number): (f: number) => number {
  const model = stringModel(build.instrument.strings[string]);
  const coils = coilsInUse(build, pickup).map(coil => {
    const at = coilOnString(build, pickup, coil, string);
    return { window: coil.window, at, weight: coil.sensitivity * at.level };
  });
  const sum = coils.reduce((all, { weight }) => all + weight, 0);
  return f => {
    const k = waveNumber(model, f);
    let re = 0;
    let im = 0;
    for (const { window, at, weight } of coils) {
      const w = weight * windowGain(window, at.field, k);
      const v = weight * windowSkew(window, at.field, k);
      const [cos, sin] = [Math.cos(k * at.x), Math.sin(k * at.x)];
      re += w * cos - v * sin;
      im += w * sin + v * cos;
    }
    return sum > 0 ? Math.hypot(re, im) / sum : 0;
  };
}

/**
 * Where the aperture first falls 3 dB, Hz; null: not below 40 kHz, no coil under the string, or coils out of phase, which
 * have no level at low frequencies to fall from.
 */
export function apertureCorner(build: Build, pickup: Pickup, string: number): number | null {
  const half = Math.SQRT1_2;
  if (opposed(build, pickup.id, string)) return null;
  const gain = apertureOf(build, pickup, string);
  if (gain(0) === 0) return null;
  let below = 0;
  for (let f = 50; f < 40e3; f *= 1.03) {
    if (gain(f) > half) {
      below = f;
      continue;
    }
    let [a, b] = [below, f];
    for (let i = 0; i < 40; i++) {
      const middle = (a + b) / 2;
      if (gain(middle) > half) a = middle;
      else b = middle;
    }
    return a;
  }
  return null;
}
