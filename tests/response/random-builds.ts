/** Random builds whose strings, places and apertures are by lot too, beside everything that a harness can have. */
import type { ApertureWindow, Build } from '../../shared/document/build.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';
import { type Dice, randomBuild } from '../circuit/random.ts';

const aperture = (d: Dice): ApertureWindow =>
  d.of<ApertureWindow>([
    { shape: 'pole', width: 0.012, depth: d.between(0.002, 0.005) },
    { shape: 'pole', width: 0.012, depth: 0.0035 },
    { shape: 'rectangle', width: d.between(0.004, 0.03), depth: 0.0035 },
    { shape: 'raised-cosine', width: d.between(0.01, 0.03), depth: 0.0035 },
    { shape: 'gaussian', width: d.between(0.004, 0.02), depth: 0.0035 },
  ]);

/** A build by lot: harness, instrument, places, slants, heights, apertures, sensitivities. */
export function randomPlaced(d: Dice): Build {
  const build = randomBuild(d);
  const { instrument } = d.of(STRING_SETS);
  const shortest = Math.min(...instrument.strings.map(s => s.scale));
  return {
    ...build,
    instrument: structuredClone(instrument),
    pickups: build.pickups.map(pickup => ({
      ...pickup,
      position: d.between(0.03, 0.4 * shortest),
      slant: d.chance(0.3) ? d.between(-0.25, 0.25) : 0,
      height: { bass: d.between(0.0015, 0.004), treble: d.between(0.0015, 0.004) },
      coils: pickup.coils.map((coil, i, all) => ({
        ...coil,
        along: all.length > 1 ? (i - (all.length - 1) / 2) * d.between(0.01, 0.025) : 0,
        window: aperture(d),
        sensitivity: d.decade(0.05, 0.5),
      })),
    })),
  };
}
