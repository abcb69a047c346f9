/** The kinds of pickup on offer: what is said of them in words is what their coils make together. */
import { describe, expect, test } from 'vitest';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { stringAt } from '../../shared/sensor/placement.ts';
import {
  MIDDLING_SENSITIVITY,
  makePickup,
  PICKUP_TYPES,
  type PickupType,
  rodLoss,
  steelLoss,
  usualType,
} from '../../shared/sensor/typical.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';

const instrument = (id: string) => STRING_SETS.find(set => set.id === id)!.instrument;
const under = ({ id, family }: Pick<PickupType, 'id' | 'family'>, reversed = false) =>
  makePickup(id, instrument(family === 'bass' ? 'bass-4' : 'guitar-6'), {
    id: 'p',
    name: 'P',
    position: 0.1,
    reversed,
  });
const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);
const said = (values: string, unit: string) => Number(new RegExp(`([\\d.]+) ${unit}(?![a-zA-Z])`).exec(values)![1]);

describe.each(PICKUP_TYPES)('$id', type => {
  const pickup = under(type);
  const { coils } = pickup;

  test('coils in series: resistances and inductances add up to what is said, capacitances as their reciprocals', () => {
    expect(sum(coils.map(c => c.resistance)) / 1e3).toBeCloseTo(said(type.values, 'kΩ'), 9);
    expect(sum(coils.map(c => c.inductance))).toBeCloseTo(said(type.values, 'H'), 9);
    expect(Math.abs(1e12 / sum(coils.map(c => 1 / c.capacitance)) - said(type.values, 'pF'))).toBeLessThan(1e-9);
  });

  test('two coils cancel hum and, side by side, add what they sense', () => {
    if (coils.length === 1) {
      expect([coils[0].polarity, coils[0].winding]).toEqual([1, 1]);
      return;
    }
    expect(sum(coils.map(c => c.winding))).toBe(0);
    // EMF goes as polarity times winding; stacked coils stand over the same magnet
    const sense = coils.map(c => c.polarity * c.winding);
    expect(sense).toEqual(pickup.kind === 'stacked' ? [1, -1] : [1, 1]);
  });

  test('loss of the core that stands in it, the cover that is said, a middling coil’s sensitivity or near it', () => {
    for (const coil of coils) {
      const perHenry = coil.loss.kind === 'eddy' ? coil.loss.resistance / coil.inductance : 0;
      const rods = /rod|stacked|in-?line|in line|halves/.test(type.name);
      expect(Math.abs(perHenry / (rods ? 500e3 : 120e3) - 1)).toBeLessThan(0.05);
      expect(coil.cover).toBe(/cover (\d+) kHz/.test(type.values) ? said(type.values, 'kHz') * 1e3 : null);
      expect(coil).toMatchObject({ origin: 'typical', window: { shape: 'pole', width: 0.012, depth: null } });
      if (type.id !== 'single-stacked') {
        expect(coil.sensitivity).toBeGreaterThanOrEqual(0.12);
        expect(coil.sensitivity).toBeLessThanOrEqual(0.22);
      }
    }
    expect(new Set(coils.map(c => c.id)).size).toBe(coils.length);
  });

  test('stands where it is put, under the strings, at the height of its family; reversed it is turned over', () => {
    expect(pickup).toMatchObject({ id: 'p', name: 'P', position: 0.1, slant: 0, senses: 'velocity' });
    expect(pickup.height).toEqual(
      type.family === 'bass' ? { bass: 3e-3, treble: 2.5e-3 } : { bass: 2.5e-3, treble: 2e-3 },
    );
    const along = coils.map(c => c.along);
    const apart = Math.max(...along) - Math.min(...along);
    expect(sum(along)).toBeCloseTo(0, 12);
    if (/apart/.test(type.values)) expect(apart * 1e3).toBeCloseTo(said(type.values, 'mm'), 9);
    // 18 to 19 mm, common practice; the staggered halves of a bass pickup stand farther apart
    else if (type.letter === 'H' && pickup.poles.kind !== 'rail') {
      expect(apart).toBeGreaterThanOrEqual(0.018);
      expect(apart).toBeLessThanOrEqual(0.019);
    } else if (pickup.poles.kind !== 'rail') expect(apart).toBeCloseTo(type.id === 'bass-split' ? 0.028 : 0, 12);
    const turned = under(type, true).coils;
    expect(turned.map(c => [c.polarity, c.winding])).toEqual(coils.map(c => [0 - c.polarity, 0 - c.winding]));
  });
});

test('the coil nearer the neck comes first and is the unreversed one; the halves’ high strings sit nearer the saddle', () => {
  const double = under({ id: 'double', family: 'guitar' }).coils;
  expect(double.map(c => [c.id, Math.sign(c.along), c.winding])).toEqual([
    ['neck-side', 1, 1],
    ['bridge-side', -1, -1],
  ]);
  const halves = under({ id: 'bass-split', family: 'bass' }).coils;
  expect(halves.map(c => [c.id, c.strings, Math.sign(c.along)])).toEqual([
    ['low', [3, 4], 1],
    ['high', [1, 2], -1],
  ]);
});

test('halves share out any number of strings, the odd one to the low half; a single string has one coil', () => {
  const strings = instrument('guitar-7').strings;
  for (let count = 1; count <= 7; count++) {
    const coils = makePickup(
      'single-inline',
      { ...instrument('guitar-7'), strings: strings.slice(0, count) },
      { id: 'p', name: 'P', position: 0.1 },
    ).coils;
    const numbers = coils.flatMap(c => c.strings ?? []).sort((a, b) => a - b);
    expect(numbers).toEqual(strings.slice(0, count).map((_, i) => i + 1));
    const low = coils.find(c => c.id === 'low')!.strings!;
    expect(low).toHaveLength(Math.ceil(count / 2));
    if (count > 1) expect(Math.min(...low)).toBeGreaterThan(Math.max(...coils.find(c => c.id === 'high')!.strings!));
  }
});

test('poles stand under the outer strings to half a millimetre, more where there are two to a string', () => {
  const guitar = instrument('guitar-6');
  for (const position of [0.04, 0.1, 0.16]) {
    const { poles } = makePickup('single-rods', guitar, { id: 'p', name: 'P', position });
    const outer = stringAt(guitar, 0, position) - stringAt(guitar, 5, position);
    expect(Math.abs(poles.spread - outer)).toBeLessThanOrEqual(0.25e-3 + 1e-12);
    expect((poles.spread * 2000) % 1).toBeCloseTo(0, 6);
    expect(poles).toMatchObject({ kind: 'one', size: 4.8e-3 });
  }
  const bass = instrument('bass-4');
  const { poles } = makePickup('bass-single', bass, { id: 'p', name: 'P', position: 0.1 });
  const outer = stringAt(bass, 0, 0.1) - stringAt(bass, 3, 0.1);
  expect(Math.abs(poles.spread - 9.5e-3 - outer)).toBeLessThanOrEqual(0.25e-3 + 1e-12);
  expect(poles.pair).toBe(9.5e-3);
  const sizes = ['single-rails', 'bass-rails', 'bass-double'].map(
    id => makePickup(id, bass, { id: 'p', name: 'P', position: 0.1 }).poles.size * 1e3,
  );
  expect(sizes).toEqual([2, 4, 9.5]);
});

test('losses to two digits, an unknown kind is refused, the usual kinds and those of the demo are of their family', () => {
  expect(steelLoss(2.25)).toEqual({ kind: 'eddy', resistance: 270e3 });
  expect(rodLoss(2.57)).toEqual({ kind: 'eddy', resistance: 1.3e6 });
  expect(MIDDLING_SENSITIVITY).toBeGreaterThanOrEqual(0.1);
  expect(() => under({ id: 'banjo', family: 'guitar' })).toThrow('no kind of pickup "banjo"');
  for (const letter of ['S', 'H'] as const)
    for (const family of ['guitar', 'bass'] as const)
      expect(PICKUP_TYPES.find(t => t.id === usualType(letter, family))).toMatchObject({ letter, family });
  expect([demoBuilds()[0].pickups[0].coils.length, demoBass().pickups[0].coils.length]).toEqual([2, 2]);
});
