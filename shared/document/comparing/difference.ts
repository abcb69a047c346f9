/**
 * What differs between two builds, in words and numbers: `cable 6 m → 3 m: −300 pF`. Rows come in the order of the path:
 * instrument, pickups, selector and controls, what is plugged in. Equal builds give none.
 */
import { placeMeaning } from '../../circuit/solder-places.ts';
import { coreUnit, gaugeUnit } from '../../string/gauge-unit.ts';
import { formatQuantity, type QuantityKind, type UnitSystem } from '../../units.ts';
import type { Build, Coil, Control, Fixed, Harness, Instrument, Pickup, Pot, Stage, StringSpec } from '../build.ts';
import { wholeInductance } from '../edits/coils.ts';

export interface Difference {
  /** What it is about: `cable length`, `pickup Neck, position`. */
  what: string;
  /** In the first build; `none` for what it does not have. */
  from: string;
  to: string;
  /** What the change comes to: `−300 pF`, `−29 %`. */
  effect?: string;
}

const NONE = 'none';
type Show<T> = (value: T) => string;

const withSign = (text: string, negative: boolean): string => `${negative ? '−' : '+'}${text}`;

/** Collects rows; a row of equal texts is none, however the numbers differ below what is shown. */
class Rows {
  readonly list: Difference[] = [];
  readonly units: UnitSystem;

  constructor(units: UnitSystem) {
    this.units = units;
  }

  add(what: string, from: string, to: string, effect = ''): void {
    if (from !== to) this.list.push(effect === '' ? { what, from, to } : { what, from, to, effect });
  }

  text<T>(what: string, a: T, b: T, show: Show<T> = String): void {
    if (a !== b) this.add(what, show(a), show(b));
  }

  show(value: number | null, kind: QuantityKind, absent = NONE, units = this.units): string {
    return value === null ? absent : formatQuantity(value, kind, units);
  }

  /** A diameter of a string, each in the unit it is written in. */
  diameter(what: string, a: number | null, b: number | null, units: readonly [UnitSystem, UnitSystem]): void {
    const effect = a !== null && b !== null ? withSign(formatQuantity(Math.abs(b - a), 'gauge', units[1]), b < a) : '';
    this.add(what, this.show(a, 'gauge', 'plain', units[0]), this.show(b, 'gauge', 'plain', units[1]), effect);
  }

  /** A quantity whose change is best told as a difference. */
  shift(what: string, a: number | null, b: number | null, kind: QuantityKind, absent?: string): void {
    const both = a !== null && b !== null;
    const effect = both ? withSign(formatQuantity(Math.abs(b - a), kind, this.units), b < a) : '';
    this.add(what, this.show(a, kind, absent), this.show(b, kind, absent), effect);
  }

  /** A quantity whose change is best told in percent. */
  part(what: string, a: number | null, b: number | null, kind: QuantityKind, absent?: string): void {
    this.add(
      what,
      this.show(a, kind, absent),
      this.show(b, kind, absent),
      a !== null && b !== null ? percent(a, b) : '',
    );
  }
}

function percent(a: number, b: number): string {
  if (!(a > 0 && b > 0)) return '';
  const change = (b / a - 1) * 100;
  if (change > 900) return `× ${formatQuantity(b / a, 'ratio')}`;
  const size = Math.abs(change);
  return withSign(`${size.toFixed(size < 10 ? 1 : 0)} %`, change < 0);
}

/** Items of two lists that belong together: by id, then what is left and `fits`, in its order; null: no partner. */
function paired<T extends { id: string }>(
  a: readonly T[],
  b: readonly T[],
  fits: (one: T, other: T) => boolean = () => true,
): [T | null, T | null][] {
  const match = new Map<T, T>();
  for (const one of a) {
    const other = b.find(item => item.id === one.id);
    if (other) match.set(one, other);
  }
  const taken = new Set(match.values());
  const free = b.filter(item => !taken.has(item));
  const pairs = a.map((one): [T | null, T | null] => {
    const same = match.get(one);
    if (same) return [one, same];
    const at = free.findIndex(other => fits(one, other));
    return [one, at < 0 ? null : free.splice(at, 1)[0]];
  });
  return [...pairs, ...free.map((other): [T | null, T | null] => [null, other])];
}

/** Rows for `items` of the same shape on both sides; what all of them have alike is said once. */
function each(
  rows: Rows,
  names: readonly string[],
  together: string,
  compare: (rows: Rows, index: number, name: string) => void,
): void {
  const lists = names.map((_, i) => {
    const own = new Rows(rows.units);
    compare(own, i, '');
    return own.list;
  });
  const key = (list: Difference[]) => JSON.stringify(list);
  if (names.length > 1 && lists.every(list => key(list) === key(lists[0]))) {
    for (const row of lists[0]) rows.list.push({ ...row, what: `${together} ${row.what}` });
    return;
  }
  lists.forEach((list, i) => {
    for (const row of list) rows.list.push({ ...row, what: `${names[i]} ${row.what}` });
  });
}

function compareStrings(rows: Rows, a: readonly StringSpec[], b: readonly StringSpec[]): void {
  if (a.length !== b.length) {
    rows.add('strings', String(a.length), String(b.length));
    return;
  }
  const properties: [string, keyof StringSpec & ('scale' | 'pitch'), QuantityKind][] = [
    ['scale length', 'scale', 'length'],
    ['pitch', 'pitch', 'pitch'],
  ];
  const names = a.map((s, i) => `string ${i + 1} (${s.name})`);
  for (const [what, key, kind] of properties)
    each(rows, names, 'every string:', (own, i) =>
      key === 'pitch' ? own.part(what, a[i][key], b[i][key], kind) : own.shift(what, a[i][key], b[i][key], kind),
    );
  each(rows, names, 'every string:', (own, i) =>
    own.diameter('gauge', a[i].gauge, b[i].gauge, [gaugeUnit(a[i]), gaugeUnit(b[i])]),
  );
  each(rows, names, 'every string:', (own, i) => {
    own.shift('saddle offset', a[i].saddle, b[i].saddle, 'smallLength');
    own.diameter('core', a[i].core, b[i].core, [coreUnit(a[i]), coreUnit(b[i])]);
    own.part('unit weight', a[i].unitWeight, b[i].unitWeight, 'unitWeight', 'from gauge');
    own.part('inharmonicity', a[i].inharmonicity, b[i].inharmonicity, 'number', 'from core');
  });
}

function compareInstruments(rows: Rows, a: Instrument, b: Instrument): void {
  if (a === b) return;
  rows.text('instrument', a.name, b.name);
  compareStrings(rows, a.strings, b.strings);
  rows.shift('string spread at the saddle', a.spread.saddle, b.spread.saddle, 'smallLength');
  rows.shift('string spread at the nut', a.spread.nut, b.spread.nut, 'smallLength');
  rows.text('frets', a.frets, b.frets);
}

const lossText = (loss: Coil['loss'], rows: Rows): string =>
  loss.kind === 'none'
    ? NONE
    : loss.kind === 'eddy'
      ? `eddy currents, ${rows.show(loss.resistance, 'resistance')}`
      : `solid cores: ${loss.sections.map(s => `${rows.show(s.inductance, 'inductance')} ∥ ${rows.show(s.resistance, 'resistance')}`).join(', ')}`;

const windowText = (window: Coil['window'], rows: Rows): string =>
  window.shape === 'pole'
    ? `pole, ${window.depth === null ? 'depth from its face' : `${rows.show(window.depth, 'smallLength')} deep`}`
    : `${window.shape.replace('-', ' ')}, ${rows.show(window.width, 'smallLength')} wide`;

/** As the page calls them. */
const KIND: Record<Pickup['kind'], string> = {
  single: 'single coil',
  double: 'two coils side by side',
  stacked: 'two coils stacked',
  split: 'two halves, each under its own strings',
  free: 'coils entered one by one',
};
const POLES: Record<Pickup['poles']['kind'], string> = { one: '1 per string', two: '2 per string', rail: 'rail' };
const TAPER: Record<Pot['taper'], string> = {
  linear: 'linear',
  'audio-10': 'audio, 10 % at half',
  'audio-15': 'audio, 15 % at half',
  'audio-20': 'audio, 20 % at half',
  'reverse-audio-10': 'reverse audio, 10 %',
};
const POLE: Record<Coil['polarity'], string> = { 1: 'north', [-1]: 'south' };
const TURN: Record<Coil['winding'], string> = { 1: 'clockwise', [-1]: 'counter-clockwise' };

function compareCoil(rows: Rows, a: Coil, b: Coil): void {
  rows.shift('offset along the string', a.along, b.along, 'smallLength');
  rows.add('aperture', windowText(a.window, rows), windowText(b.window, rows));
  rows.part('resistance', a.resistance, b.resistance, 'resistance');
  rows.part('inductance', wholeInductance(a), wholeInductance(b), 'inductance');
  rows.part('own capacitance', a.capacitance, b.capacitance, 'capacitance');
  rows.add('losses', lossText(a.loss, rows), lossText(b.loss, rows));
  rows.part('cover dulls above', a.cover, b.cover, 'frequency');
  rows.part('output', a.sensitivity, b.sensitivity, 'sensitivity');
  rows.part('turns', a.turns ?? null, b.turns ?? null, 'count', 'not given');
  rows.text('pole', a.polarity, b.polarity, value => POLE[value]);
  rows.text('winding', a.winding, b.winding, value => TURN[value]);
  const strings = (list: Coil['strings']) => (list === null ? 'all' : list.join(', '));
  rows.add('strings under it', strings(a.strings), strings(b.strings));
}

const total = (coils: readonly Coil[], key: 'resistance' | 'inductance'): number =>
  coils.reduce((sum, coil) => sum + (key === 'inductance' ? wholeInductance(coil) : coil.resistance), 0);

function comparePickup(rows: Rows, a: Pickup, b: Pickup): void {
  const of = a.name === b.name ? `${a.name} pickup` : 'pickup';
  rows.text('pickup', a.name, b.name);
  rows.text(`${of} kind`, a.kind, b.kind, kind => KIND[kind]);
  rows.shift(`${of} position`, a.position, b.position, 'length');
  rows.shift(`${of} slant`, a.slant, b.slant, 'angle');
  if (a.height.bass - b.height.bass === a.height.treble - b.height.treble && a.height.bass === a.height.treble)
    rows.shift(`${of} gap`, a.height.bass, b.height.bass, 'smallLength');
  else {
    rows.shift(`${of} gap, bass side`, a.height.bass, b.height.bass, 'smallLength');
    rows.shift(`${of} gap, treble side`, a.height.treble, b.height.treble, 'smallLength');
  }
  rows.text(`${of} poles`, a.poles.kind, b.poles.kind, kind => POLES[kind]);
  const rail = a.poles.kind === 'rail' && b.poles.kind === 'rail';
  rows.shift(
    `${of} ${rail ? 'rail length' : 'outermost poles, centres'}`,
    a.poles.spread,
    b.poles.spread,
    'smallLength',
  );
  rows.shift(`${of} ${rail ? 'rail width' : 'pole diameter'}`, a.poles.size, b.poles.size, 'smallLength');
  if (a.poles.kind === 'two' && b.poles.kind === 'two')
    rows.shift(`${of} two poles of a string apart`, a.poles.pair, b.poles.pair, 'smallLength');
  if (a.coils.length === b.coils.length) {
    const names = a.coils.length === 1 ? [`${of} coil`] : a.coils.map((_, i) => `${of} coil ${i + 1}`);
    each(rows, names, `${of}, each coil:`, (own, i) => compareCoil(own, a.coils[i], b.coils[i]));
    return;
  }
  rows.text(`${of} coils`, a.coils.length, b.coils.length);
  for (const key of ['resistance', 'inductance'] as const)
    rows.part(`${of} ${key}, all coils`, total(a.coils, key), total(b.coils, key), key);
}

function comparePot(rows: Rows, of: string, a: Pot, b: Pot): void {
  rows.part(`${of} pot`, a.value, b.value, 'resistance');
  rows.shift(`${of} deviation`, a.deviation, b.deviation, 'percent');
  rows.text(`${of} taper`, a.taper, b.taper, taper => TAPER[taper]);
  rows.shift(`${of} setting`, a.setting, b.setting, 'percent');
}

const bleedText = (bleed: NonNullable<Control['volume']>['bleed'], rows: Rows): string => {
  if (bleed === null) return NONE;
  const c = rows.show(bleed.capacitance, 'capacitance');
  return bleed.kind === 'capacitor' ? c : `${c} and ${rows.show(bleed.resistance, 'resistance')} in ${bleed.kind}`;
};

const potText = (pot: Pot | null, rows: Rows): string => (pot === null ? NONE : rows.show(pot.value, 'resistance'));

function compareControl(rows: Rows, of: string, a: Control, b: Control): void {
  if (a.volume && b.volume) {
    comparePot(rows, `${of}volume`, a.volume, b.volume);
    rows.add(`${of}treble bleed`, bleedText(a.volume.bleed, rows), bleedText(b.volume.bleed, rows));
    rows.text(`${of}volume wiring`, a.volumeWiring, b.volumeWiring);
  } else rows.add(`${of}volume pot`, potText(a.volume, rows), potText(b.volume, rows));
  if (a.tone && b.tone) {
    comparePot(rows, `${of}tone`, a.tone, b.tone);
    rows.part(`${of}tone capacitor`, a.tone.capacitance, b.tone.capacitance, 'capacitance');
    if (a.volume && b.volume) rows.text(`${of}tone taken`, a.toneAt, b.toneAt, at => `${at} the volume`);
  } else rows.add(`${of}tone pot`, potText(a.tone, rows), potText(b.tone, rows));
}

const fixedText = (part: Fixed | null, build: Build, rows: Rows): string => {
  if (part === null) return NONE;
  const kind = { resistor: 'resistance', capacitor: 'capacitance', inductor: 'inductance' } as const;
  return `${rows.show(part.value, kind[part.kind])} from ${placeMeaning(build, part.from)} to ${placeMeaning(build, part.to)}`;
};

/** A selector position written out, so that two wirings can be told apart. */
const tapsText = ({ positions, selected }: Harness, pickups: readonly Pickup[]): string => {
  const position = positions[selected];
  if (!position) return NONE;
  const parts = position.taps.map(tap => {
    const pickup = pickups.find(p => p.id === tap.pickup);
    const coils = tap.coils?.length ?? pickup?.coils.length ?? 1;
    const how = coils > 1 ? ` in ${tap.join}` : '';
    const some = tap.coils === null ? '' : ` (${tap.coils.join(', ')})`;
    return `${pickup?.name ?? tap.pickup}${some}${how}${tap.antiphase ? ', coils out of phase' : ''}${tap.reverse ? ', reversed' : ''}`;
  });
  return parts.join(position.join === 'series' ? ' in series with ' : ' + ') || NONE;
};

function compareHarnesses(rows: Rows, a: Build, b: Build): void {
  const [one, other] = [a.harness, b.harness];
  rows.text('selector', one.positions[one.selected]?.label ?? NONE, other.positions[other.selected]?.label ?? NONE);
  rows.add('connected', tapsText(one, a.pickups), tapsText(other, b.pickups));
  rows.text('selector positions', one.positions.length, other.positions.length);
  const pickupName = (control: Control, build: Build) =>
    control.pickup === null ? '' : `${build.pickups.find(p => p.id === control.pickup)?.name ?? control.pickup} `;
  for (const [x, y] of paired(one.controls, other.controls, (c, d) => c.pickup === d.pickup)) {
    const of = x ? pickupName(x, a) : y ? pickupName(y, b) : '';
    const empty = { ...(x ?? y)!, volume: null, tone: null };
    compareControl(rows, of, x ?? empty, y ?? empty);
  }
  if (one.blend && other.blend) {
    comparePot(rows, 'blend', one.blend, other.blend);
    rows.text('blend gangs', one.blend.gangs, other.blend.gangs);
  } else rows.add('blend pot', potText(one.blend, rows), potText(other.blend, rows));
  for (const [x, y] of paired(one.fixed, other.fixed))
    rows.add(`soldered ${(x ?? y)!.kind}`, fixedText(x, a, rows), fixedText(y, b, rows));
}

type Cable = Extract<Stage, { kind: 'cable' }>;
const cableTotal = (cable: Cable): number => cable.measured ?? cable.length * cable.capacitancePerMetre;

/** A cable or none; what the change comes to in capacitance stands with the first row that has to do with it. */
function compareCable(rows: Rows, of: string, a: Cable | null, b: Cable | null): void {
  const own = new Rows(rows.units);
  const change = (b ? cableTotal(b) : 0) - (a ? cableTotal(a) : 0);
  const effect = change === 0 ? '' : withSign(formatQuantity(Math.abs(change), 'capacitance'), change < 0);
  own.add(of, own.show(a?.length ?? null, 'cableLength'), own.show(b?.length ?? null, 'cableLength'));
  if (a && b) {
    const perMetre = (c: Cable) => own.show(c.capacitancePerMetre, 'capacitancePerMetre');
    own.add(`${of} capacitance`, perMetre(a), perMetre(b));
    const whole = (c: Cable) => own.show(c.measured, 'capacitance', 'not measured');
    own.add(`${of} measured`, whole(a), whole(b));
  }
  if (own.list.length > 0 && effect !== '') own.list[0] = { ...own.list[0], effect };
  rows.list.push(...own.list);
  if (!a || !b) return;
  rows.part(`${of} conductor`, a.resistancePerMetre, b.resistancePerMetre, 'resistancePerMetre');
  rows.part(`${of} leakage`, a.leakage, b.leakage, 'resistance');
}

function compareStage(rows: Rows, of: string, a: Stage, b: Stage): void {
  if (a.kind === 'cable' && b.kind === 'cable') compareCable(rows, of, a, b);
  else if (a.kind === 'buffer' && b.kind === 'buffer') {
    rows.text(of, a.name, b.name);
    rows.part(`${of} resistance`, a.resistance, b.resistance, 'resistance');
    rows.shift(`${of} capacitance`, a.capacitance, b.capacitance, 'capacitance');
    rows.add(`${of} gain`, formatQuantity(a.gain, 'ratio'), formatQuantity(b.gain, 'ratio'), percent(a.gain, b.gain));
    rows.part(`${of} output`, a.output, b.output, 'resistance');
  } else if (a.kind === 'input' && b.kind === 'input') {
    rows.text(of, a.name, b.name);
    rows.part(`${of} resistance`, a.resistance, b.resistance, 'resistance');
    rows.shift(`${of} capacitance`, a.capacitance, b.capacitance, 'capacitance');
    rows.shift(`${of} series resistor`, a.series, b.series, 'resistance');
  }
}

function compareChains(rows: Rows, a: readonly Stage[], b: readonly Stage[], of: string): void {
  for (const kind of ['cable', 'buffer', 'input'] as const) {
    const [one, other] = [a.filter(s => s.kind === kind), b.filter(s => s.kind === kind)];
    for (let i = 0; i < Math.max(one.length, other.length); i++) {
      const [x, y] = [one[i], other[i]];
      const name = `${of}${kind}${Math.max(one.length, other.length) > 1 ? ` ${i + 1}` : ''}`;
      if (x && y) compareStage(rows, name, x, y);
      else if (kind === 'cable') compareCable(rows, name, (x as Cable) ?? null, (y as Cable) ?? null);
      else rows.add(name, x && 'name' in x ? x.name : NONE, y && 'name' in y ? y.name : NONE);
    }
  }
  const order = (chain: readonly Stage[]) => chain.map(s => s.kind).join(', ');
  if (a.length === b.length) rows.add(`${of}order after the jack`, order(a), order(b));
}

/** What `b` has otherwise than `a`. Names and notes of the builds themselves are left out. */
export function differences(a: Build, b: Build, units: UnitSystem = 'mm'): Difference[] {
  if (a === b) return [];
  const rows = new Rows(units);
  compareInstruments(rows, a.instrument, b.instrument);
  if (a.pickups !== b.pickups)
    for (const [one, other] of paired(a.pickups, b.pickups)) {
      if (one && other) comparePickup(rows, one, other);
      else rows.add('pickup', one?.name ?? NONE, other?.name ?? NONE);
    }
  if (a.harness !== b.harness || a.pickups !== b.pickups) compareHarnesses(rows, a, b);
  if (a.outputs === b.outputs) return rows.list;
  rows.text('jacks', a.outputs.length, b.outputs.length);
  for (let i = 0; i < Math.min(a.outputs.length, b.outputs.length); i++)
    compareChains(rows, a.outputs[i].chain, b.outputs[i].chain, a.outputs.length > 1 ? `${a.outputs[i].name} ` : '');
  return rows.list;
}

/** A difference as one line: `cable 6 m → 3 m: −300 pF`. */
export const differenceText = ({ what, from, to, effect }: Difference): string =>
  `${what} ${from} → ${to}${effect === undefined ? '' : `: ${effect}`}`;
