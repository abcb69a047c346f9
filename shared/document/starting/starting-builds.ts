/**
 * Builds to begin with. Instruments and names are invented; electrical values lie in the middle of what published tables
 * give for such coils.
 */
import { USUAL_POT, USUAL_TONE, usualMaster, usualOutput, usualTap } from '../../circuit/usual.ts';
import { makePickup } from '../../sensor/typical.ts';
import { STRING_SETS } from '../../string/sets.ts';
import {
  BUILD_VERSION,
  type Build,
  type Control,
  type Harness,
  type Instrument,
  type Pickup,
  type Tap,
} from '../build.ts';
import { buildName } from './names.ts';

const mm = 1e-3;

function instrumentOf(set: string): Instrument {
  const found = STRING_SETS.find(s => s.id === set);
  if (!found) throw new Error(`no string set "${set}"`);
  return found.instrument;
}

const pickup = (type: string, instrument: Instrument, id: string, position: number): Pickup =>
  makePickup(type, instrument, { id, name: `${id[0].toUpperCase()}${id.slice(1)}`, position });

const tap = (id: string, change: Partial<Tap> = {}): Tap => ({ ...usualTap(id, 'out'), ...change });

const selector = (positions: Harness['positions'], controls: Control[]): Harness => ({
  positions,
  selected: 0,
  controls,
  blend: null,
  fixed: [],
});

const build = (instrument: Instrument, pickups: Pickup[], harness: Harness): Build => ({
  format: 'comb-and-coil/build',
  version: BUILD_VERSION,
  name: buildName({ pickups }),
  nameDerived: true,
  note: '',
  instrument,
  pickups,
  harness,
  outputs: [usualOutput()],
});

/** Two placements for one neck: A, two coils side by side at 162 mm; B, a single coil at 38 mm. */
export function demoBuilds(): [Build, Build] {
  const heron = instrumentOf('guitar-6-recorded');
  const a = build(
    heron,
    [pickup('double', heron, 'neck', 162 * mm)],
    selector(
      [
        { label: 'two coils, series', join: 'parallel', taps: [tap('neck')] },
        { label: 'two coils, parallel', join: 'parallel', taps: [tap('neck', { join: 'parallel' })] },
        { label: 'neck-side coil', join: 'parallel', taps: [tap('neck', { coils: ['neck-side'] })] },
      ],
      [usualMaster('out', USUAL_POT.double)],
    ),
  );
  const b = build(
    heron,
    [pickup('single-rods', heron, 'bridge', 38 * mm)],
    selector([{ label: 'bridge', join: 'parallel', taps: [tap('bridge')] }], [usualMaster('out')]),
  );
  return [a, b];
}

/** A four-string bass: a split pickup and a single coil, a volume for each, one tone control. */
export function demoBass(): Build {
  const volume = (pickup: string): Control => ({
    ...usualMaster('out', USUAL_POT.single, USUAL_TONE.bass),
    id: `${pickup}-volume`,
    pickup,
    tone: null,
    volumeWiring: 'independent',
  });
  const bittern = instrumentOf('bass-4');
  return build(
    bittern,
    [pickup('bass-split', bittern, 'middle', 137 * mm), pickup('bass-single', bittern, 'bridge', 69 * mm)],
    selector(
      [
        { label: 'both', join: 'parallel', taps: [tap('middle'), tap('bridge')] },
        { label: 'middle', join: 'parallel', taps: [tap('middle')] },
        { label: 'bridge', join: 'parallel', taps: [tap('bridge')] },
      ],
      [
        volume('middle'),
        volume('bridge'),
        { ...usualMaster('out', USUAL_POT.single, USUAL_TONE.bass), id: 'tone', volume: null },
      ],
    ),
  );
}

/** Builds the command line prints as examples, and what each shows. */
export function examples(): { id: string; build: Build }[] {
  const [a, b] = demoBuilds();
  return [
    { id: 'neck-double', build: a },
    { id: 'bridge-single', build: b },
    { id: 'bass-split', build: demoBass() },
  ];
}
