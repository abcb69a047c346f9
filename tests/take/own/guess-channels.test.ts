/** Channels told apart by their pitches. */
import { describe, expect, test } from 'vitest';
import { demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { guessRoles, type Heard, pitchesOf, pitchPieces } from '../../../shared/take/own/guess-channels.ts';

const { instrument } = demoBuilds()[0];
const rate = 24000;
/** A decaying tone with eight harmonics. */
const tone = (f: number, seconds = 1): Float32Array =>
  Float32Array.from({ length: seconds * rate }, (_, i) => {
    const t = i / rate;
    let sum = 0;
    for (let n = 1; n <= 8; n++) sum += Math.sin(2 * Math.PI * n * f * t) / n;
    return 0.2 * sum * Math.exp(-t);
  });
const heardIn = (samples: Float32Array) =>
  pitchesOf(
    pitchPieces(samples.length, rate).map(([from, to]) => samples.subarray(from, to)),
    rate,
  );
const one = (low: number, high = low, clear = 1): Heard => ({ low, high, clear });

describe('pitches', () => {
  test('lowest and highest note of a part', () => {
    const part = new Float32Array(3 * rate);
    [110, 146.83, 123.47].forEach((f, i) => {
      part.set(tone(f), i * rate);
    });
    const heard = heardIn(part);
    expect(heard?.low).toBeCloseTo(110, 0);
    expect(heard?.high).toBeCloseTo(146.8, 0);
    expect(heard?.clear).toBeGreaterThan(0.7);
  });
  test('silence has none', () => {
    expect(heardIn(new Float32Array(rate))).toBeNull();
    expect(heardIn(new Float32Array(10))).toBeNull();
  });
});

test('of an hour, forty pieces are looked at', () => {
  const pieces = pitchPieces(3600 * rate, rate);
  expect(pieces.length).toBeGreaterThan(30);
  expect(pieces.reduce((sum, [from, to]) => sum + to - from, 0)).toBeLessThanOrEqual(40 * 0.4 * rate);
  expect(pieces.at(-1)![1]).toBeGreaterThan(3500 * rate);
});

describe('roles', () => {
  test('six channels of open strings, in any order, each find their own', () => {
    const order = [3, 0, 5, 1, 4, 2];
    const roles = guessRoles(
      order.map(i => one(instrument.strings[i].pitch)),
      instrument,
    );
    expect(roles).toEqual(order.map(i => ({ kind: 'string', string: i + 1 })));
  });
  test('a fretted part lies on a string that can play all of it', () => {
    const low = instrument.strings[5].pitch * 2 ** (3 / 12);
    expect(guessRoles([one(low, low * 2)], instrument)).toEqual([{ kind: 'string', string: 6 }]);
  });
  test('notes that no single string reaches, or no clear pitch, are a mixture', () => {
    expect(guessRoles([one(82.4, 1200)], instrument)[0].kind).toBe('mixed');
    expect(guessRoles([one(110, 110, 0.2)], instrument)[0].kind).toBe('mixed');
    expect(guessRoles([null], instrument)).toEqual([{ kind: 'mixed', reference: 6 }]);
  });
  test('a silent channel, and the second side of a stereo pair, are left out', () => {
    expect(guessRoles([one(196), null], instrument)).toEqual([{ kind: 'string', string: 3 }, { kind: 'off' }]);
    expect(guessRoles([one(196, 220), one(196.1, 220.1)], instrument)).toEqual([
      { kind: 'string', string: 3 },
      { kind: 'off' },
    ]);
  });
});
