import { expect, test } from 'vitest';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { fieldWindow } from '../../shared/sensor/field.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';

const [, b] = demoBuilds();

/** The demo's instrument with strings that do not converge, so that the pole spread alone makes the miss. */
const straight = { ...b, instrument: { ...b.instrument, spread: { saddle: 0.052, nut: 0.052 } } };

test('a string that runs e beside its pole loses what the field of all poles has it lose', () => {
  const pickup = { ...b.pickups[0], position: 0.1, poles: { ...b.pickups[0].poles, spread: 0.046 } };
  const [coil] = pickup.coils;
  const { offset, gap, alignment } = coilOnString(straight, pickup, coil, 0);
  expect(offset).toBeCloseTo(0.003, 12);
  const row = [23, 13.8, 4.6, -4.6, -13.8, -23].map(y => y * 1e-3);
  const at = (y: number) =>
    fieldWindow({ shape: 'disc', size: 0.0048, length: 0, at: row }, { y, angle: 0, z: gap + 0.0024 }).area;
  expect(alignment).toBeCloseTo(at(0.026) / at(0.023), 12);
  expect(20 * Math.log10(alignment)).toBeLessThan(-2);
});

test('it costs nothing over its own pole, between its own two, or in the middle of a rail', () => {
  for (const kind of ['one', 'two', 'rail'] as const) {
    const poles = { kind, size: 0.004, spread: kind === 'two' ? 0.0615 : 0.052, pair: 0.0095 };
    const pickup = { ...b.pickups[0], position: 0.1, poles };
    for (let string = 0; string < 6; string++) {
      const { alignment } = coilOnString(straight, pickup, pickup.coils[0], string);
      if (kind === 'rail') expect(alignment).toBeLessThan(1);
      else expect(alignment).toBeCloseTo(1, 12);
    }
  }
});

test('the measured distance of the outermost poles is what the field means: half a millimetre of miss is a small loss', () => {
  // two poles 8.6 mm apart under each of four strings 55.57 mm apart: a calliper reads 64.17 mm over the outermost
  const strings = straight.instrument.strings.slice(0, 4);
  const four = {
    ...straight,
    instrument: { ...straight.instrument, strings, spread: { saddle: 0.05557, nut: 0.05557 } },
  };
  const poles = { kind: 'two' as const, size: 0.0048, spread: 0.06417, pair: 0.0086 };
  const pickup = { ...b.pickups[0], position: 0.1, poles };
  for (let string = 0; string < 4; string++) {
    const { offset, alignment } = coilOnString(four, pickup, pickup.coils[0], string);
    expect(offset).toBeCloseTo(0, 12);
    expect(alignment).toBeCloseTo(1, 12);
  }
});
