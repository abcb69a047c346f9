/** Names of pitches and strings: which note a pitch is, which strings belong side by side, what family an instrument is of. */
import { describe, expect, test } from 'vitest';
import type { Instrument } from '../../shared/document/build.ts';
import { matchingString } from '../../shared/string/matching.ts';
import { centsOff, noteNameOf } from '../../shared/string/note-names.ts';
import { familyOf, STRING_SETS } from '../../shared/string/sets.ts';

const instrument = (id: string): Instrument => STRING_SETS.find(set => set.id === id)!.instrument;
const guitar = instrument('guitar-6');

describe('notes', () => {
  // Scientific pitch notation, A4 = 440 Hz (ISO 16); C4 = 261.63 and C0 = 16.35 Hz (published tables).
  test.each([
    [440, 'A4'],
    [261.63, 'C4'],
    [246.94, 'B3'],
    [277.18, 'C#4'],
    [82.41, 'E2'],
    [16.35, 'C0'],
    [15.43, 'B-1'],
    [8.18, 'C-1'],
    [7.72, 'B-2'],
  ])('%f Hz is %s', (hertz, name) => {
    expect(noteNameOf(hertz)).toBe(name);
    expect(Math.abs(centsOff(hertz))).toBeLessThan(2);
  });

  test('a pitch between two notes has the name of the nearer, and its distance in cents', () => {
    expect(noteNameOf(440 * 2 ** (0.4 / 12))).toBe('A4');
    expect(centsOff(440 * 2 ** (0.4 / 12))).toBeCloseTo(40, 9);
    expect(noteNameOf(440 * 2 ** (0.6 / 12))).toBe('A#4');
    expect(centsOff(440 * 2 ** (0.6 / 12))).toBeCloseTo(-40, 9);
  });
});

describe('the string that belongs beside another', () => {
  test('has its name, whatever its number', () => {
    const bass = instrument('bass-4');
    const six = instrument('bass-6');
    expect(bass.strings.map((_, i) => matchingString(bass, i, six))).toEqual([1, 2, 3, 4]);
    expect(six.strings.map((_, i) => matchingString(six, i, bass))).toEqual([null, 0, 1, 2, 3, null]);
    expect(matchingString(guitar, 5, guitar)).toBe(5);
  });

  test('of two of one name it is the one of the same number', () => {
    const doubled = { strings: [...guitar.strings.slice(0, 5), { ...guitar.strings[4] }] };
    expect(matchingString(doubled, 5, doubled)).toBe(5);
    expect(matchingString(doubled, 4, doubled)).toBe(4);
  });

  test('in another tuning it is the one of the same number, less than an octave away', () => {
    const tuned = (ratio: number) => ({
      strings: guitar.strings.map(s => ({ ...s, name: `${s.name}, tuned`, pitch: s.pitch * ratio })),
    });
    for (const ratio of [2 ** (-2 / 12), 2 ** (11 / 12), 2 ** (-11 / 12)])
      expect(matchingString(guitar, 2, tuned(ratio))).toBe(2);
    for (const ratio of [2.01, 1 / 2.01]) expect(matchingString(guitar, 2, tuned(ratio))).toBeNull();
    expect(matchingString(guitar, 2, { strings: tuned(0.9).strings.slice(0, 5) })).toBeNull();
    expect(matchingString(guitar, 5, { strings: tuned(0.9).strings.slice(0, 5) })).toBeNull();
  });
});

describe('families', () => {
  const tuned = (base: Instrument, ratio: number, change: Partial<Instrument> = {}): Instrument => ({
    ...base,
    strings: base.strings.map(s => ({ ...s, pitch: s.pitch * ratio })),
    ...change,
  });
  test('a known stringing is known up to half a semitone, with its frets', () => {
    expect(familyOf(tuned(guitar, 1, { frets: 20 }))).toBe('flat-top');
    for (const ratio of [1.025, 0.975]) expect(familyOf(tuned(guitar, ratio, { frets: 20 }))).toBe('flat-top');
    for (const ratio of [2 ** (1 / 12), 2 ** (-1 / 12)])
      expect(familyOf(tuned(guitar, ratio, { frets: 20 }))).toBe('guitar');
    // one string of six is not a stringing
    const dropped = guitar.strings.map((s, i) => (i === 5 ? { ...s, pitch: s.pitch * 2 ** (-2 / 12) } : s));
    expect(familyOf({ ...guitar, frets: 20, strings: dropped })).toBe('guitar');
    expect(familyOf({ ...guitar, frets: 20, strings: guitar.strings.slice(0, 5) })).toBe('guitar');
  });
  test('others are told by frets, length and lowest pitch', () => {
    expect(familyOf(tuned(instrument('violin'), 0.9))).toBe('bowed');
    expect(familyOf(tuned(guitar, 0.9))).toBe('guitar');
    // long, however it is tuned; and one string that is long is enough
    const long = guitar.strings.map((s, i) => (i === 5 ? { ...s, scale: 0.76 } : s));
    expect(familyOf(tuned({ ...guitar, strings: long }, 0.9))).toBe('bass');
    // short but low: a short-scale bass; with seven strings or more a guitar whose lowest string is low
    expect(familyOf(tuned(guitar, 0.5))).toBe('bass');
    expect(familyOf(tuned(instrument('guitar-8'), 0.9))).toBe('guitar');
    expect(familyOf(tuned(instrument('guitar-7'), 0.7))).toBe('guitar');
  });
});
