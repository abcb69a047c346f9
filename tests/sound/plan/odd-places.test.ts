import { describe, expect, test } from 'vitest';
import type { Build } from '../../../shared/document/build.ts';
import { demoBass, demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { STRING_SETS } from '../../../shared/string/sets.ts';
import { oddPlaces } from '../../../src/sound/plan/odd-places.ts';

const [neck] = demoBuilds();
const at = (position: number, change: Partial<Build['pickups'][0]> = {}): Build => ({
  ...neck,
  pickups: [{ ...neck.pickups[0], ...change, position }],
});
const kinds = (build: Build, fret = 0, string = 5) => oddPlaces(build, string, fret).map(place => place.kind);

describe('odd places', () => {
  test('what the page begins with has none', () => {
    for (const build of [...demoBuilds(), demoBass()]) expect(kinds(build, 0, 0)).toEqual([]);
    for (const { instrument } of STRING_SETS)
      expect(kinds({ ...neck, pickups: [], instrument }, 0, 0), instrument.name).toEqual([]);
  });

  test('under the fretboard: from where the body meets its end, half a body before the middle does', () => {
    const { instrument } = neck;
    const last = instrument.strings[0].scale * 2 ** (-instrument.frets / 12);
    // two coils 9.5 mm wide, one pitch apart; the board ends 5 mm behind the last fret
    const half = Math.max(...neck.pickups[0].coils.map(coil => coil.along)) + 9.5e-3 / 2;
    const first = last - 5e-3 - half;
    expect(kinds(at(first - 1e-4))).toEqual([]);
    expect(kinds(at(first + 1e-4))).toEqual(['under-fretboard']);
    // turned, a corner gets there first
    expect(kinds(at(first - 1e-3, { slant: 0.1 }))).toEqual(['under-fretboard']);
    expect(kinds({ ...at(0.28), instrument: { ...instrument, frets: 0 } })).toEqual([]);
  });

  test('a shorter scale that leaves a pickup where it is may push the fretboard over it', () => {
    const { instrument } = neck;
    const shorter = { ...instrument, strings: instrument.strings.map(s => ({ ...s, scale: s.scale * 0.85 })) };
    expect(kinds({ ...neck, instrument: shorter })).toEqual(['under-fretboard']);
  });

  test('behind the finger: 200 mm at fret 22, where the string is stopped 182 mm from the saddle', () => {
    const build = at(0.2, { slant: 0 });
    expect(kinds(build, 22)).toContain('behind-finger');
    expect(kinds(build, 12)).not.toContain('behind-finger');
    const [place] = oddPlaces(build, 5, 22).filter(one => one.kind === 'behind-finger');
    expect(place.kind === 'behind-finger' && place.stopped).toBeCloseTo(0.648 * 2 ** (-22 / 12), 3);
    // a coil that is not under the string hears nothing of it anyway
    const elsewhere = build.pickups[0].coils.map(coil => ({ ...coil, strings: [1] }));
    expect(kinds(at(0.2, { coils: elsewhere }), 22)).not.toContain('behind-finger');
  });

  test('two pickups claim the same room when their bodies meet, also where only one is turned', () => {
    const [one] = neck.pickups;
    const two = (gap: number, slant = 0): Build => ({
      ...neck,
      pickups: [at(0.06).pickups[0], { ...one, id: 'other', position: 0.06 + gap, slant }],
    });
    const body = 2 * (Math.max(...one.coils.map(coil => coil.along)) + 9.5e-3 / 2);
    expect(kinds(two(body - 1e-4))).toEqual(['overlap']);
    expect(kinds(two(body + 1e-4))).toEqual([]);
    expect(kinds(two(body + 1e-4, 0.05))).toEqual(['overlap']);
    // side by side in the corner: boxes around both would meet, the bodies do not
    expect(kinds(two(body + 30e-3, 0.2))).toEqual([]);
  });
});
