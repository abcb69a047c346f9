/** Pickups put in and taken out of a build, with everything in its harness that speaks of them. Pure. */
import type { Build, Tap } from '../../../shared/document/build.ts';
import { freeId } from '../../../shared/document/edits/changes.ts';
import { makePickup } from '../../../shared/sensor/typical.ts';

/** Free place along the strings, m: the middle of the widest gap between saddle, pickups and 0.25 of the scale. */
function freePlace(build: Build): number {
  const scale = Math.min(...build.instrument.strings.map(s => s.scale));
  const stops = [0.02, ...build.pickups.map(p => p.position), 0.27 * scale].sort((a, b) => a - b);
  let best = 0.16 * scale;
  let gap = 0;
  for (let i = 1; i < stops.length; i++)
    if (stops[i] - stops[i - 1] > gap) {
      gap = stops[i] - stops[i - 1];
      best = (stops[i] + stops[i - 1]) / 2;
    }
  return Math.round(best * 1000) / 1000;
}

const placeName = (x: number, scale: number): string =>
  x < 0.1 * scale ? 'Bridge' : x < 0.19 * scale ? 'Middle' : 'Neck';

/** The tap that connects a pickup whole. */
export const wholeTap = (pickup: string, output: string): Tap => ({
  pickup,
  coils: null,
  join: 'series',
  antiphase: false,
  reverse: false,
  output,
});

/** The build with one more pickup of a kind (`pickup/typical.ts`) in a free place, and a selector position that connects it alone. */
export function addPickup(build: Build, type: string): { build: Build; id: string } {
  const scale = Math.min(...build.instrument.strings.map(s => s.scale));
  const place = freePlace(build);
  const name = placeName(place, scale);
  const id = freeId(
    name,
    build.pickups.map(p => p.id),
  );
  const taken = build.pickups.map(p => p.name);
  const shown = taken.includes(name) ? `${name} ${taken.filter(t => t.startsWith(name)).length + 1}` : name;
  const pickup = makePickup(type, build.instrument, { id, name: shown, position: place });
  return {
    id,
    build: {
      ...build,
      pickups: [...build.pickups, pickup],
      harness: {
        ...build.harness,
        positions: [
          ...build.harness.positions,
          { label: shown.toLowerCase(), join: 'parallel' as const, taps: [wholeTap(id, build.outputs[0].id)] },
        ].slice(0, 24),
      },
    },
  };
}

/** The build without a pickup: its taps, its own controls, its blend and parts soldered to it go with it. */
export function removePickup(build: Build, id: string): Build {
  const pickups = build.pickups.filter(p => p.id !== id);
  if (pickups.length === 0 || pickups.length === build.pickups.length) return build;
  const { harness } = build;
  const kept = harness.positions
    .map(p => ({ ...p, taps: p.taps.filter(t => t.pickup !== id) }))
    .filter((p, i) => p.taps.length > 0 || harness.positions[i].taps.length === 0);
  const positions =
    kept.length > 0
      ? kept
      : [
          {
            label: pickups[0].name.toLowerCase(),
            join: 'parallel' as const,
            taps: [wholeTap(pickups[0].id, build.outputs[0].id)],
          },
        ];
  const controls = harness.controls.filter(c => c.pickup !== id);
  const gone = harness.controls.filter(c => c.pickup === id).map(c => c.id);
  const loose = (node: string) => [id, ...gone].some(name => node === name || node.startsWith(`${name}.`));
  return {
    ...build,
    pickups,
    harness: {
      ...harness,
      positions,
      selected: Math.min(harness.selected, positions.length - 1),
      controls,
      blend: harness.blend && (harness.blend.from === id || harness.blend.to === id) ? null : harness.blend,
      fixed: harness.fixed.filter(f => !loose(f.from) && !loose(f.to)),
    },
  };
}
