/** Any edit that the page can make, as plain data with a name, so that a failing sequence shrinks to a short story. */
import fc from 'fast-check';
import { schemesFor } from '../../../shared/circuit/schemes.ts';
import { solderPlaces } from '../../../shared/circuit/solder-places.ts';
import { type Build, PICKUP_KINDS, RANGE, type RangeName, WINDOW_SHAPES } from '../../../shared/document/build.ts';
import { setBlend, setBlendEnd } from '../../../shared/document/edits/blend.ts';
import {
  addString,
  copyBuild,
  type EditedSheet,
  editBuild,
  editInstrument,
  moveBuild,
  removeBuild,
  removeString,
  renameBuild,
  shareInstrument,
} from '../../../shared/document/edits/builds.ts';
import { addStage, moveStage, removeStage } from '../../../shared/document/edits/chain.ts';
import {
  addCoil,
  asLoss,
  removeCoil,
  setCoils,
  setKind,
  setLoss,
  setSpacing,
  setUnder,
} from '../../../shared/document/edits/coils.ts';
import {
  addControl,
  removeControl,
  setBleed,
  setControl,
  withTone,
  withVolume,
} from '../../../shared/document/edits/controls.ts';
import { addFixed, removeFixed, solder } from '../../../shared/document/edits/fixed.ts';
import {
  evened,
  followReplaced,
  regauged,
  rewound,
  tuned,
  withString,
} from '../../../shared/document/edits/instrument.ts';
import { setStereo } from '../../../shared/document/edits/outputs.ts';
import {
  addPickup,
  movePickupInList,
  placePickup,
  removePickup,
  setPickup,
  turnPickup,
} from '../../../shared/document/edits/pickups.ts';
import {
  addPosition,
  connect,
  movePosition,
  removePosition,
  selectPosition,
  setTap,
} from '../../../shared/document/edits/selector.ts';
import type { Edited } from '../../../shared/document/edits/settle.ts';
import { chooseTake, setPluck, setTitle } from '../../../shared/document/edits/sheet.ts';
import { setValue } from '../../../shared/document/edits/value.ts';
import { applyConfiguration, applyScheme } from '../../../shared/document/edits/wiring.ts';
import { LETTERS, type Letter, type Sheet } from '../../../shared/document/sheet.ts';
import { PICKUP_TYPES } from '../../../shared/sensor/typical.ts';
import { STRING_SETS } from '../../../shared/string/sets.ts';

/** What an edit is about: three choices and a place in a range. */
export interface Chosen {
  a: number;
  b: number;
  c: number;
  /** 0 to 1. */
  x: number;
}
export interface AnyEdit extends Chosen {
  do: string;
}

const at = <T>(list: readonly T[], n: number): T => list[n % list.length];
const within = ([low, high]: readonly [number, number], x: number): number =>
  Math.min(high, low > 0 && high / low > 100 ? low * (high / low) ** x : low + (high - low) * x);
const ranged = (name: RangeName, x: number): number => Math.min(RANGE[name][1], within(RANGE[name], x));
const pickupOf = (build: Build, n: number) => at(build.pickups, n);

/** Values at fixed places, with the range that their fields have. */
const VALUES: readonly (readonly [string, RangeName])[] = [
  ['/pickups/P/height/bass', 'height'],
  ['/pickups/P/poles/spread', 'poleSpread'],
  ['/pickups/P/coils/0/resistance', 'resistance'],
  ['/pickups/P/coils/0/inductance', 'inductance'],
  ['/pickups/P/coils/0/capacitance', 'capacitance'],
  ['/pickups/P/coils/0/cover', 'coverFrequency'],
  ['/pickups/P/coils/0/along', 'along'],
  ['/harness/controls/C/volume/value', 'pot'],
  ['/harness/controls/C/volume/setting', 'setting'],
  ['/harness/controls/C/tone/setting', 'setting'],
  ['/harness/controls/C/tone/capacitance', 'toneCapacitance'],
  ['/harness/blend/setting', 'setting'],
  ['/outputs/0/chain/0/length', 'cableLength'],
  ['/outputs/0/chain/0/resistance', 'inputResistance'],
  ['/outputs/0/chain/0/gain', 'gain'],
];

type OnBuild = (build: Build, chosen: Chosen) => Edited;

const ON_BUILD: Record<string, OnBuild> = {
  'add a pickup': (b, { a }) => addPickup(b, at(PICKUP_TYPES, a).id),
  'remove a pickup': (b, { a }) => removePickup(b, pickupOf(b, a).id),
  'reorder pickups': (b, { a, c }) => movePickupInList(b, a % b.pickups.length, c % 2 ? 1 : -1),
  'move a pickup': (b, { a, x }) => placePickup(b, pickupOf(b, a).id, x * 0.6),
  'turn a pickup': (b, { a, x }) => turnPickup(b, pickupOf(b, a).id, within(RANGE.slant, x)),
  'rename a pickup': (b, { a }) => setPickup(b, pickupOf(b, a).id, p => ({ ...p, name: `Renamed ${a}` })),
  'change a pickup’s kind': (b, { a, c }) => setKind(b, pickupOf(b, a).id, at(PICKUP_KINDS, c)),
  'add a coil': (b, { a }) => addCoil(b, pickupOf(b, a).id),
  'remove a coil': (b, { a, c }) => removeCoil(b, pickupOf(b, a).id, at(pickupOf(b, a).coils, c).id),
  'set the coils’ distance': (b, { a, x }) => setSpacing(b, pickupOf(b, a).id, x * 0.08),
  'set a window': (b, { a, c, x }) =>
    setCoils(b, pickupOf(b, a).id, coil => ({
      ...coil,
      window: { shape: at(WINDOW_SHAPES, c), width: ranged('windowWidth', x), depth: ranged('windowDepth', x) },
    })),
  'set a string under a coil': (b, { a, b: n, c, x }) =>
    setUnder(b, pickupOf(b, a).id, at(pickupOf(b, a).coils, c).id, 1 + (n % b.instrument.strings.length), x > 0.5),
  'set a loss': (b, { a, c }) => {
    const coil = at(pickupOf(b, a).coils, c);
    return setLoss(b, pickupOf(b, a).id, coil.id, asLoss(at(['none', 'eddy', 'ladder'] as const, c), coil));
  },
  'type a value': (b, { a, b: n, x }) => {
    const [place, range] = at(VALUES, n);
    const pointer = place
      .replace('P', String(a % b.pickups.length))
      .replace('C', String(a % Math.max(1, b.harness.controls.length)));
    const stage = b.outputs[0].chain[0]?.kind;
    const fits =
      (range !== 'cableLength' || stage === 'cable') &&
      (range !== 'gain' || stage === 'buffer') &&
      (range !== 'inputResistance' || (stage !== undefined && stage !== 'cable')) &&
      (!pointer.includes('/volume/') || b.harness.controls[a % b.harness.controls.length]?.volume) &&
      (!pointer.includes('/tone/') || b.harness.controls[a % b.harness.controls.length]?.tone);
    return fits ? setValue(b, pointer, ranged(range, x)) : { build: b, went: [] };
  },
  'add a control': b => addControl(b),
  'remove a control': (b, { a }) => removeControl(b, a % Math.max(1, b.harness.controls.length)),
  'put a control over a pickup': (b, { a, c }) =>
    setControl(b, a % Math.max(1, b.harness.controls.length), { pickup: c % 3 ? pickupOf(b, c).id : null }),
  'put a control to an output': (b, { a, c }) =>
    setControl(b, a % Math.max(1, b.harness.controls.length), { output: at(b.outputs, c).id }),
  'wire a control otherwise': (b, { a, c }) =>
    setControl(b, a % Math.max(1, b.harness.controls.length), {
      toneAt: c % 2 ? 'before' : 'after',
      volumeWiring: c % 3 ? 'normal' : 'independent',
    }),
  'switch a volume': (b, { a, x }) => withVolume(b, a % Math.max(1, b.harness.controls.length), x > 0.5),
  'switch a tone': (b, { a, x }) => withTone(b, a % Math.max(1, b.harness.controls.length), x > 0.5),
  'set a treble bleed': (b, { a, c }) =>
    setBleed(
      b,
      a % Math.max(1, b.harness.controls.length),
      at(['none', 'capacitor', 'parallel', 'series'] as const, c),
    ),
  'select a position': (b, { a }) => selectPosition(b, a),
  'add a position': b => addPosition(b, 'new'),
  'remove a position': (b, { a }) => removePosition(b, a % b.harness.positions.length),
  'move a position': (b, { a, c }) => movePosition(b, a % b.harness.positions.length, c % 2 ? 1 : -1),
  'join a position’s pickups': (b, { a, c }) =>
    setValue(b, `/harness/positions/${a % b.harness.positions.length}/join`, c % 2 ? 'series' : 'parallel'),
  'connect a pickup': (b, { a, c, x }) => connect(b, a % b.harness.positions.length, pickupOf(b, c).id, x > 0.4),
  'use other coils in a position': (b, { a, b: n, c }) => {
    const position = a % b.harness.positions.length;
    const tap = at(b.harness.positions[position].taps, n);
    const coils = b.pickups.find(p => p.id === tap?.pickup)?.coils ?? [];
    const used = coils.filter((_, i) => (c >> i) & 1).map(one => one.id);
    return setTap(b, position, n % Math.max(1, b.harness.positions[position].taps.length), {
      coils: used.length > 0 ? used : null,
    });
  },
  'connect a pickup otherwise': (b, { a, b: n, c, x }) => {
    const position = a % b.harness.positions.length;
    return setTap(b, position, n % Math.max(1, b.harness.positions[position].taps.length), {
      join: c % 2 ? 'series' : 'parallel',
      antiphase: x > 0.7,
      reverse: c % 3 === 0,
      output: at(b.outputs, c).id,
    });
  },
  'solder a part in': (b, { a }) => addFixed(b, at(['resistor', 'capacitor', 'inductor'] as const, a)),
  'solder a part elsewhere': (b, { a, b: n, c }) =>
    solder(b, a % Math.max(1, b.harness.fixed.length), c % 2 ? 'from' : 'to', at(solderPlaces(b), n).place),
  'take a part out': (b, { a }) => removeFixed(b, a % Math.max(1, b.harness.fixed.length)),
  'switch the blend': (b, { x }) => setBlend(b, x > 0.4),
  'blend another pickup': (b, { a, c }) => setBlendEnd(b, c % 2 ? 'from' : 'to', pickupOf(b, a).id),
  'switch stereo': (b, { x }) => setStereo(b, x > 0.5, 'second jack'),
  'plug something in': (b, { a, c }) => addStage(b, a % b.outputs.length, at(['cable', 'buffer', 'input'] as const, c)),
  'unplug something': (b, { a, c }) => removeStage(b, a % b.outputs.length, c % 12),
  'reorder the chain': (b, { a, c, x }) => moveStage(b, a % b.outputs.length, c % 12, x > 0.5 ? 1 : -1),
  'wire by a scheme': (b, { a }) => applyScheme(b, at(schemesFor(b.pickups), a).id),
  'set up a configuration': (b, { a, c }) =>
    applyConfiguration(b, Array.from({ length: 1 + (c % 6) }, (_, i) => ((a >> i) & 1 ? 'H' : 'S')).join('')),
};

type OnSheet = (sheet: Sheet, chosen: Chosen) => EditedSheet;
const inch = 0.0254;

const ON_SHEET: Record<string, OnSheet> = {
  'choose a ready instrument': (s, { a }) =>
    editInstrument(s, s.view.heard, () => at(STRING_SETS, a).instrument, followReplaced),
  'add a string': (s, { a }) => addString(s, s.view.heard, a % 2 ? 'bass' : 'treble'),
  'remove a string': (s, { a }) => removeString(s, s.view.heard, a % 12),
  'set the scale': (s, { x }) =>
    editInstrument(s, s.view.heard, i => ({
      ...i,
      strings: i.strings.map(string => ({ ...string, scale: within(RANGE.scale, x) })),
    })),
  'set one string’s scale and saddle': (s, { a, x }) =>
    editInstrument(s, s.view.heard, i =>
      withString(i, a % i.strings.length, { scale: within(RANGE.scale, x), saddle: 0.1 - 0.2 * x }),
    ),
  'even out the fan': s => editInstrument(s, s.view.heard, evened),
  'set the string spread': (s, { a, x }) =>
    editInstrument(s, s.view.heard, i => ({ ...i, spread: { ...i.spread, [a % 2 ? 'saddle' : 'nut']: 0.2 * x } })),
  'set a gauge': (s, { a, x }) =>
    editInstrument(s, s.view.heard, i => {
      const n = a % i.strings.length;
      return withString(i, n, regauged(i.strings[n], { gauge: ranged('gauge', x) }));
    }),
  'wind a string or not': (s, { a, x }) =>
    editInstrument(s, s.view.heard, i => {
      const n = a % i.strings.length;
      return withString(i, n, rewound(i.strings[n], x > 0.5));
    }),
  'tune a string': (s, { a, x }) =>
    editInstrument(s, s.view.heard, i => {
      const n = a % i.strings.length;
      return withString(i, n, tuned(i.strings[n], within(RANGE.pitch, x)));
    }),
  'set the frets': (s, { a }) => editInstrument(s, s.view.heard, i => ({ ...i, frets: a % 37 })),
  'share the instrument': (s, { x }) => shareInstrument(s, s.view.heard, x > 0.5),
  'copy a build': (s, { a }) => copyBuild(s, at(LETTERS, a)),
  'remove a build': (s, { a }) => removeBuild(s, at(LETTERS, a)),
  'move a build': (s, { a, c }) => moveBuild(s, at(LETTERS, a), c % 2 ? 1 : -1),
  'rename a build': (s, { a, c }) => renameBuild(s, at(LETTERS, a), `Named ${c}`),
  'set the title': (s, { a }) => setTitle(s, a % 3 ? 'Mine' : ''),
  'set the pluck': (s, { x }) => setPluck(s, x > 0.2 ? 0.005 + 0.5 * x * inch : null),
  'choose a take': (s, { a }) => chooseTake(s, `take-${a % 4}`),
};

/** Looking at another build: no edit, but what is edited from then on depends on it. */
export const HEAR = 'hear another build';
export const letterFor = (sheet: Sheet, { a }: Chosen): Letter => at(sheet.builds, a).letter;

const NAMES = [...Object.keys(ON_BUILD), ...Object.keys(ON_SHEET), HEAR];

export const anyEdit: fc.Arbitrary<AnyEdit> = fc.record({
  do: fc.constantFrom(...NAMES),
  a: fc.nat(40),
  b: fc.nat(40),
  c: fc.nat(40),
  x: fc.double({ min: 0, max: 1, noNaN: true }),
});

/** The edit done on a sheet, its build edits on the build that is heard. */
export function applied(sheet: Sheet, edit: AnyEdit): EditedSheet {
  const onBuild = ON_BUILD[edit.do];
  if (onBuild) return editBuild(sheet, sheet.view.heard, build => onBuild(build, edit));
  return ON_SHEET[edit.do](sheet, edit);
}
