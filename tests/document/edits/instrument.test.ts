import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import manifestJson from '../../../samples/manifest.json' with { type: 'json' };
import type { Build, StringSpec } from '../../../shared/document/build.ts';
import { editInstrument } from '../../../shared/document/edits/builds.ts';
import {
  evened,
  followAdded,
  followRemoved,
  followReplaced,
  onInstrument,
  regauged,
  rewound,
  tuned,
  withString,
  withStringAdded,
  withStringRemoved,
} from '../../../shared/document/edits/instrument.ts';
import { withFittingTake } from '../../../shared/document/edits/takes.ts';
import { parseBuild } from '../../../shared/document/reading/parse-build.ts';
import { demoSheet } from '../../../shared/document/starting/demo-sheet.ts';
import { demoBass, demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { describeString } from '../../../shared/string/describe.ts';
import { centsOff, noteNameOf } from '../../../shared/string/note-names.ts';
import { STRING_SETS } from '../../../shared/string/sets.ts';
import { parseManifest } from '../../../shared/take/manifest.ts';
import { notePitch } from '../../../shared/units.ts';
import { words } from '../../../src/words/edit-words.ts';

const builds: Build[] = [...demoBuilds(), demoBass()];
const valid = (build: Build) => {
  const parsed = parseBuild(build);
  return parsed.ok ? [] : parsed.issues;
};

describe('what a whole other instrument takes along', () => {
  test('that pickups keep their share of the scale is said, with their places', () => {
    const [, single] = demoBuilds();
    const { instrument } = STRING_SETS.find(set => set.family === 'bass')!;
    const { build, went } = onInstrument(single, instrument, followReplaced);
    const [{ name, position }] = single.pickups;
    expect(went).toContainEqual({ kind: 'scaled', pickups: [{ name, from: position, to: build.pickups[0].position }] });
    expect(words.went(went)).toBe(
      'Pickups keep their share of the scale length (Bridge 38 mm → 50.7 mm), their poles lie under the strings.',
    );
    // the same scale with other strings moves nothing
    const other = {
      ...single.instrument,
      strings: single.instrument.strings.map(s => ({ ...s, pitch: s.pitch * 0.9 })),
    };
    expect(onInstrument(single, other, followReplaced).went).toEqual([]);
  });

  test('a bass gets what is written for one', () => {
    const sheet = demoSheet();
    const { instrument } = STRING_SETS.find(set => set.family === 'bass')!;
    const bass = editInstrument(sheet, 'A', () => instrument, followReplaced);
    const { sheet: after, went } = withFittingTake(sheet, bass, parseManifest(manifestJson));
    expect(after.take).toBe('modelled-bass-line');
    expect(went.map(one => one.kind)).toContain('scaled');
    expect(went.map(one => one.kind)).toContain('take');
  });
});

describe('instruments under pickups', () => {
  test('any build goes onto any ready instrument and stays valid', () => {
    for (const build of builds)
      for (const { instrument } of STRING_SETS)
        expect(
          valid(onInstrument(build, instrument, followReplaced).build),
          `${build.name} on ${instrument.name}`,
        ).toEqual([]);
  });

  test('a pickup keeps its share of the scale on another instrument', () => {
    const [a] = demoBuilds();
    const bass = STRING_SETS.find(s => s.id === 'bass-4')!.instrument;
    const moved = onInstrument(a, bass, followReplaced).build.pickups[0];
    expect(moved.position / 0.864).toBeCloseTo(0.162 / 0.648, 12);
  });

  test('strings come and go in any order without breaking a build', () => {
    const step = fc.oneof(
      fc.constant({ kind: 'add', side: 'bass' } as const),
      fc.constant({ kind: 'add', side: 'treble' } as const),
      fc.record({ kind: fc.constant('remove' as const), at: fc.nat(11) }),
    );
    fc.assert(
      fc.property(fc.constantFrom(...builds), fc.array(step, { maxLength: 14 }), (start, steps) => {
        let build = start;
        for (const s of steps) {
          const { instrument } = build;
          if (s.kind === 'add') {
            const next = withStringAdded(instrument, s.side);
            if (next !== instrument) build = onInstrument(build, next, followAdded(s.side)).build;
          } else {
            const at = s.at % instrument.strings.length;
            const next = withStringRemoved(instrument, at);
            if (next !== instrument) build = onInstrument(build, next, followRemoved(at)).build;
          }
          expect(valid(build)).toEqual([]);
        }
      }),
      { numRuns: 200 },
    );
  });

  test('a fifth bass string joins the half that lies under the low strings', () => {
    const bass = demoBass();
    const five = onInstrument(bass, withStringAdded(bass.instrument, 'bass'), followAdded('bass')).build;
    expect(five.pickups[0].coils.map(c => c.strings)).toEqual([
      [3, 4, 5],
      [1, 2],
    ]);
    const high = onInstrument(bass, withStringAdded(bass.instrument, 'treble'), followAdded('treble')).build;
    expect(high.pickups[0].coils.map(c => c.strings)).toEqual([
      [4, 5],
      [1, 2, 3],
    ]);
    expect(five.instrument.strings[4].name).toBe('B0');
    // neighbours keep their distance
    expect(five.instrument.spread.saddle / 4).toBeCloseTo(bass.instrument.spread.saddle / 3, 12);
  });

  test('a string beyond is a fourth away, thicker or thinner, wound where its neighbour or its gauge asks for it', () => {
    const [{ instrument }] = demoBuilds();
    const beyond = (side: 'bass' | 'treble', change: Partial<StringSpec>) => {
      const strings = instrument.strings.map(s => ({ ...s, ...change }));
      const made = withStringAdded({ ...instrument, strings }, side).strings;
      return made[side === 'bass' ? made.length - 1 : 0];
    };
    const fourth = 2 ** (5 / 12);
    const plain = { core: null, pitch: 200 } as const;
    expect(beyond('bass', { ...plain, gauge: 0.3e-3 })).toMatchObject({ pitch: 200 / fourth, core: null });
    expect(beyond('bass', { ...plain, gauge: 0.3e-3 }).gauge).toBeCloseTo(0.384e-3, 9);
    expect(beyond('treble', { ...plain, gauge: 0.384e-3 }).gauge).toBeCloseTo(0.3e-3, 9);
    expect(beyond('treble', { ...plain, gauge: 0.384e-3 })).toMatchObject({ pitch: 200 * fourth, core: null });
    // downwards plain steel ends at 0.56 mm
    expect(beyond('bass', { ...plain, gauge: 0.43e-3 }).core).toBeNull();
    expect(beyond('bass', { ...plain, gauge: 0.45e-3 }).core).toBeCloseTo(0.45 * 1.28 * 0.45e-3, 9);
    // upwards a wound string's neighbour is wound while it is thicker than that, a plain one's never
    expect(beyond('treble', { core: 0.3e-3, gauge: 0.75e-3 }).core).toBeCloseTo(0.3e-3, 9);
    expect(beyond('treble', { core: 0.3e-3, gauge: 0.7e-3 }).core).toBeNull();
    expect(beyond('treble', { ...plain, gauge: 1e-3 }).core).toBeNull();
    expect(beyond('bass', { core: 0.3e-3, gauge: 0.4e-3 }).core).toBeCloseTo(0.3e-3, 9);
  });

  test('a shorter scale moves a pickup that would stand too far out, and no other', () => {
    const [a] = demoBuilds();
    const scaled = (scale: number) => ({
      ...a.instrument,
      strings: a.instrument.strings.map(s => ({ ...s, scale })),
    });
    expect(onInstrument(a, scaled(0.6)).build.pickups).toBe(a.pickups);
    expect(onInstrument(a, scaled(0.3)).build.pickups[0].position).toBeCloseTo(0.45 * 0.3, 12);
  });

  test('even steps run from the first string to the last', () => {
    const { instrument } = demoBuilds()[0];
    const fan = evened(withString(withString(instrument, 0, { scale: 0.635 }), 5, { scale: 0.685, saddle: -0.01 }));
    expect(fan.strings.map(s => s.scale)).toEqual(
      [0.635, 0.645, 0.655, 0.665, 0.675, 0.685].map(x => expect.closeTo(x, 9)),
    );
    expect(fan.strings.map(s => s.saddle)).toEqual(
      [0, -0.002, -0.004, -0.006, -0.008, -0.01].map(x => expect.closeTo(x, 9)),
    );
  });
});

describe('strings', () => {
  const low = STRING_SETS.find(s => s.id === 'guitar-6')!.instrument.strings[5];
  const apply = (string: StringSpec, change: Partial<StringSpec>): StringSpec => ({ ...string, ...change });

  test('another gauge weighs what it is, an entered weight stays', () => {
    const inch = 0.0254;
    const heavier = apply(low, regauged(low, { gauge: 0.052 * inch }));
    expect(heavier).toMatchObject({ gauge: 0.052 * inch, core: low.core, unitWeight: null });
    expect(describeString(heavier).mass).toBeGreaterThan(1.2 * describeString(low).mass);
    expect(describeString(heavier).sources.mass).toBe('computed-wound');
    const thin = apply(low, regauged(low, { gauge: 0.012 * inch }));
    expect(thin.core!).toBeLessThan(thin.gauge);
    const own = { ...low, unitWeight: 0.0071 };
    expect(apply(own, regauged(own, { gauge: 0.05 * inch })).unitWeight).toBe(0.0071);
  });

  test('a rewound string has a core thinner than itself, a plain one none', () => {
    const plain = apply(low, rewound(low, false));
    expect(plain.core).toBe(null);
    expect(describeString(plain).sources.mass).toBe('computed-plain');
    const again = apply(plain, rewound(plain, true));
    expect(again.core!).toBeLessThan(again.gauge);
  });

  test('a string called after its note follows its tuning, another keeps its name', () => {
    expect(tuned(low, notePitch('D2')!)).toMatchObject({ name: 'D2' });
    expect(tuned({ ...low, name: 'sixth' }, notePitch('D2')!)).not.toHaveProperty('name');
  });

  test('note names are the inverse of note pitches', () => {
    for (let octave = 0; octave < 7; octave++)
      for (const note of ['C', 'C#', 'D', 'F#', 'A', 'B']) {
        const name = `${note}${octave}`;
        expect(noteNameOf(notePitch(name)!)).toBe(name);
        expect(centsOff(notePitch(name)! * 2 ** (30 / 1200))).toBeCloseTo(30, 6);
      }
  });
});
