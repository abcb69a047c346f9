import fc from 'fast-check';
import * as v from 'valibot';
import { describe, expect, test } from 'vitest';
import { InstrumentSchema, type StringSpec } from '../../shared/document/build.ts';
import { describeString } from '../../shared/string/describe.ts';
import { forcedAmplitude, pluckAmplitude, releaseFactor, widthFactor } from '../../shared/string/pluck.ts';
import { familyOf, STRING_SETS } from '../../shared/string/sets.ts';
import { frequencyOf, impedance, partial, stringModel, waveNumber } from '../../shared/string/stiff.ts';
import { packingFactor } from '../../shared/string/wire.ts';

const strings = STRING_SETS.flatMap(({ id, instrument }) =>
  instrument.strings.map(spec => ({ where: `${id} ${spec.name}`, spec })),
);
const anyString = fc.constantFrom(...strings.map(s => s.spec));

describe('ready instruments', () => {
  test('ids are unique, documents valid, strings from high to low', () => {
    expect(new Set(STRING_SETS.map(s => s.id)).size).toBe(STRING_SETS.length);
    for (const { instrument, family } of STRING_SETS) {
      expect(v.safeParse(InstrumentSchema, instrument).success).toBe(true);
      const pitches = instrument.strings.map(s => s.pitch);
      expect(pitches).toEqual([...pitches].sort((a, b) => b - a));
      expect(familyOf(instrument)).toBe(family);
    }
  });
  // Common practice: strings of an instrument pull within a factor of about two of each other, and none near breaking.
  test.each(strings)('$where: tension and inharmonicity are those of a string', ({ spec }) => {
    const s = stringModel(spec);
    expect(s.tension).toBeGreaterThan(35);
    expect(s.tension).toBeLessThan(320);
    expect(s.B).toBeGreaterThan(5e-6);
    expect(s.B).toBeLessThan(6e-4);
    // Breaking stress of steel music wire is about 2.7 GPa (from memory).
    const core = spec.core ?? spec.gauge;
    expect(s.tension / ((Math.PI * core ** 2) / 4)).toBeLessThan(2.4e9);
    if (spec.core !== null) expect(spec.core).toBeLessThan(spec.gauge * 0.7);
  });
  test('an instrument of one’s own finds its family', () => {
    const [guitar] = STRING_SETS;
    const bass = STRING_SETS.find(s => s.id === 'bass-5')!;
    expect(familyOf({ ...guitar.instrument, strings: guitar.instrument.strings.slice(0, 5) })).toBe('guitar');
    expect(familyOf({ ...bass.instrument, strings: bass.instrument.strings.slice(1, 4) })).toBe('bass');
  });
});

describe('where figures come from', () => {
  const e2: StringSpec = STRING_SETS[0].instrument.strings[5];
  test('chart, entered and computed are told apart', () => {
    expect(describeString(e2).sources).toEqual({ mass: 'chart', tension: 'chart', inharmonicity: 'computed-core' });
    expect(describeString({ ...e2, unitWeight: 7e-3 }).sources.mass).toBe('entered');
    expect(describeString({ ...e2, unitWeight: null }).sources.mass).toBe('computed-wound');
    expect(describeString({ ...e2, unitWeight: null, core: null }).sources.mass).toBe('computed-plain');
    expect(describeString({ ...e2, inharmonicity: 1e-4 })).toMatchObject({
      B: 1e-4,
      sources: { inharmonicity: 'entered' },
    });
  });
  test('an estimated wound mass lies within 2 % of the chart where both exist', () => {
    for (const spec of STRING_SETS[0].instrument.strings.filter(s => s.core !== null))
      expect(stringModel({ ...spec, unitWeight: null }).mass / stringModel(spec).mass).toBeCloseTo(1, 1.7);
    expect(packingFactor(0.001)).toBeLessThan(packingFactor(0.0008));
  });
  test('an entered inharmonicity and the bending stiffness agree', () => {
    const s = stringModel({ ...e2, inharmonicity: 1.2e-4 });
    expect(partial(s, 10)).toBeCloseTo(10 * s.f0 * Math.sqrt(1 + 1.2e-4 * 100), 9);
  });
});

describe('waves', () => {
  test('the wave number solves the dispersion relation and partials stand at k = nπ/L', () => {
    fc.assert(
      fc.property(
        anyString,
        fc.double({ min: 1, max: 24000, noNaN: true }),
        fc.integer({ min: 0, max: 24 }),
        (spec, f, fret) => {
          const s = stringModel(spec);
          expect(frequencyOf(s, waveNumber(s, f)) / f).toBeCloseTo(1, 12);
          const n = 1 + (fret % 7);
          const k = (n * Math.PI) / (s.length * 2 ** (-fret / 12));
          expect(waveNumber(s, partial(s, n, fret)) / k).toBeCloseTo(1, 12);
        },
      ),
    );
  });
  test('without stiffness k = ω/c and Z = √(Tμ), also at 0 Hz', () => {
    const s = stringModel({ ...STRING_SETS[0].instrument.strings[5], inharmonicity: 0 });
    expect(waveNumber(s, 1000)).toBeCloseTo((2 * Math.PI * 1000) / s.speed, 10);
    expect(impedance(s, 1000)).toBeCloseTo(Math.sqrt(s.tension * s.mass), 10);
    expect(impedance(s, 0)).toBeCloseTo(impedance(s, 1e-3), 10);
    expect(waveNumber(s, 0)).toBe(0);
  });
  test('impedance times velocity is the force T k + EI k³ of the pinned end', () => {
    fc.assert(
      fc.property(anyString, fc.double({ min: 20, max: 20000, noNaN: true }), (spec, f) => {
        const s = stringModel(spec);
        const k = waveNumber(s, f);
        expect((impedance(s, f) * 2 * Math.PI * f) / (k * (s.tension + s.bending * k * k))).toBeCloseTo(1, 10);
      }),
    );
  });
});

describe('pluck', () => {
  test('a force at a point and a triangle give the same modes without stiffness', () => {
    const s = stringModel({ ...STRING_SETS[0].instrument.strings[2], inharmonicity: 0 });
    const p = 0.17;
    const height = (2 * p * (1 - p) * s.length) / s.tension;
    for (const n of [1, 2, 7, 30])
      expect(forcedAmplitude(s, s.length, (n * Math.PI) / s.length, p * s.length, 2)).toBeCloseTo(
        pluckAmplitude(n, p, height),
        12,
      );
  });
  // Rectangular force 5 mm wide, partial 40 of a 648 mm string: sinc(40·5/1296).
  test('width and release', () => {
    expect(20 * Math.log10(widthFactor((40 * Math.PI) / 0.648, 0.005))).toBeCloseTo(-0.343, 3);
    expect(releaseFactor(0, 1e-3)).toBe(1);
    expect(releaseFactor(500, 1e-3)).toBeCloseTo(Math.PI / 4, 6);
    expect(releaseFactor(500.2, 1e-3)).toBeCloseTo(Math.PI / 4, 3);
    expect(releaseFactor(1500, 1e-3)).toBeCloseTo(0, 12);
  });
});
