import { expect, test } from 'vitest';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';

const [, b] = demoBuilds();

/** The demo's instrument with strings that do not converge, so that the pole spread alone makes the miss. */
const straight = { ...b, instrument: { ...b.instrument, spread: { saddle: 0.052, nut: 0.052 } } };

test('a string that runs e beside its pole at depth h loses (1 + (e/h)²)^(5/2), the law of one derived pole field', () => {
  const pickup = { ...b.pickups[0], position: 0.1, poles: { kind: 'one' as const, spread: 0.046 } };
  const [coil] = pickup.coils;
  const { offset, gap, alignment } = coilOnString(straight, pickup, coil, 0);
  expect(offset).toBeCloseTo(0.003, 12);
  expect(alignment).toBeCloseTo((1 + (offset / (gap + coil.window.depth)) ** 2) ** -2.5, 12);
});

test('it costs nothing over its own pole, between its own two, or over a rail', () => {
  for (const kind of ['one', 'two', 'rail'] as const) {
    const pickup = { ...b.pickups[0], position: 0.1, poles: { kind, spread: 0.052 } };
    for (let string = 0; string < 6; string++)
      expect(coilOnString(straight, pickup, pickup.coils[0], string).alignment).toBeCloseTo(1, 12);
  }
});
