/** Decibels are taken in one place, by functions that say whether they take an amplitude or a power. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { amplitudeOfDb, dbOfAmplitude, dbOfPower, powerOfDb } from '../shared/decibels.ts';

const root = fileURLToPath(new URL('..', import.meta.url));
/** The helpers themselves; preferred frequencies of third octaves, tenths of a decade; AssemblyScript, compiled alone. */
const APART = ['shared/decibels.ts', 'src/parts/plot-ticks.ts', 'shared/audio/vector/limiter.ts'];

/** Tests compute levels by themselves: what they are held against must not be what is tested. */
const sources = ['src', 'shared', 'worklets'].flatMap(folder =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter(name => /\.m?ts$/.test(name))
    .map(name => join(folder, name))
    .filter(name => !APART.includes(name)),
);

const STRAY =
  /\b[12]0(?:\.0)? \* Math\.log10\(|Math\.log10\([^\n]*\) \* [12]0\b|\b(?:10 \*\* |Math\.pow\(10, )[^\n;]*\/ [12]0\b|Math\.LN10|\b8\.68/g;
const straysIn = (text: string): string[] => [...text.matchAll(STRAY)].map(([found]) => found);

describe('decibels', () => {
  test('are taken by shared/decibels.ts alone', () => {
    const found = sources.flatMap(file =>
      straysIn(readFileSync(join(root, file), 'utf8')).map(stray => `${file}: ${stray}`),
    );
    expect(found).toEqual([]);
  });

  test.each([
    'const dB = 20 * Math.log10(ratio);',
    '10 * Math.log10(a * a + b * b)',
    'Math.log10(x) * 20',
    '10 ** (level / 20)',
    '10 ** ((a - b) / 10)',
    'Math.pow(10, gain / 20)',
  ])('taken elsewhere are found: %s', text => expect(straysIn(text)).toHaveLength(1));

  test.each(['10 ** Math.floor(Math.log10(span))', '2 ** (n / 12)', 'Math.log10(high / low)'])(
    'decades and semitones are none: %s',
    text => expect(straysIn(text)).toEqual([]),
  );

  // IEC 60027-3: a level is 20 lg of a ratio of field quantities, 10 lg of one of powers
  test('twice the amplitude is 6.02 dB, twice the power 3.01 dB, and back', () => {
    expect(dbOfAmplitude(2)).toBeCloseTo(6.0206, 4);
    expect(dbOfPower(2)).toBeCloseTo(3.0103, 4);
    expect(dbOfAmplitude(0)).toBe(Number.NEGATIVE_INFINITY);
    for (const dB of [-120, -3, 0, 40]) {
      expect(dbOfAmplitude(amplitudeOfDb(dB))).toBeCloseTo(dB, 9);
      expect(dbOfPower(powerOfDb(dB))).toBeCloseTo(dB, 9);
    }
  });
});
