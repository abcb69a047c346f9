import fc from 'fast-check';
import * as v from 'valibot';
import { describe, expect, test } from 'vitest';
import { InstrumentSchema, type StringSpec } from '../../shared/document/build.ts';
import { describeString } from '../../shared/string/describe.ts';
import { coreUnit, gaugeUnit } from '../../shared/string/gauge-unit.ts';
import { forcedAmplitude, pluckAmplitude, releaseFactor, widthFactor } from '../../shared/string/pluck.ts';
import { familyOf, STRING_SETS } from '../../shared/string/sets.ts';
import { frequencyOf, impedance, partial, stringModel, waveNumber } from '../../shared/string/stiff.ts';
import { rodMass, woundMass } from '../../shared/string/wire.ts';
import { formatQuantity, typedGaugeUnit } from '../../shared/units.ts';

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
  test('entered and computed are told apart', () => {
    expect(describeString(e2).sources).toEqual({
      mass: 'computed-wound',
      tension: 'computed-wound',
      inharmonicity: 'computed-core',
    });
    expect(describeString({ ...e2, unitWeight: 7e-3 }).sources.mass).toBe('entered');
    expect(describeString({ ...e2, core: null }).sources.mass).toBe('computed-plain');
    expect(describeString({ ...e2, inharmonicity: 1e-4 })).toMatchObject({
      B: 1e-4,
      sources: { inharmonicity: 'entered' },
    });
  });
  test('inharmonicity: measured on the recorded string of that pitch, entered, of the string or of its core', () => {
    const recorded = STRING_SETS.find(set => set.id === 'guitar-6-recorded')!.instrument.strings;
    const b = (spec: StringSpec, change: Partial<StringSpec> = {}) =>
      describeString({ ...spec, ...change }).sources.inharmonicity;
    for (const spec of recorded) {
      expect(b(spec)).toBe('recorded');
      for (const semitones of [1, -1, 0.5]) {
        const retuned = spec.pitch * 2 ** ((semitones * 0.99) / 12);
        expect(b(spec, { pitch: retuned })).toBe('recorded');
      }
      for (const semitones of [1.1, -1.1])
        expect(b(spec, { pitch: spec.pitch * 2 ** (semitones / 12) })).toBe('entered');
      expect(b(spec, { inharmonicity: spec.inharmonicity! * 1.01 })).toBe('entered');
      expect(b(spec, { inharmonicity: null })).toBe(spec.core === null ? 'computed-plain' : 'computed-core');
    }
  });
  test('a string is worked out once', () => {
    expect(stringModel(e2)).toBe(stringModel(e2));
  });
  // Turns of round wire as rings side by side: their volume added up by slices, against the closed form.
  test('a wound string weighs its core and the rings around it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2e-4, max: 4e-3, noNaN: true }),
        fc.double({ min: 0.2, max: 0.95, noNaN: true }),
        (gauge, share) => {
          const core = share * gauge;
          const w = (gauge - core) / 2;
          const slices = 2000;
          let volume = 0;
          for (let i = 0; i < slices; i++) {
            const z = w * ((i + 0.5) / slices - 0.5);
            const half = Math.sqrt((w / 2) ** 2 - z * z);
            const [inner, outer] = [(core + w) / 2 - half, (core + w) / 2 + half];
            volume += Math.PI * (outer ** 2 - inner ** 2) * (w / slices);
          }
          const rings = (7850 * volume) / w;
          expect((woundMass(gauge, core) - rodMass(core)) / rings).toBeCloseTo(1, 4);
        },
      ),
    );
    expect(woundMass(1e-3, 1e-3)).toBeCloseTo(rodMass(1e-3), 12);
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
          const s = stringModel({ ...spec });
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
        const s = stringModel({ ...spec });
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
  // The deflection of a tensioned beam, pinned, under a force F at x: T y″ − EI y⁗ = −F δ gives at the force
  // y = F/T (x(L − x)/L − sinh(ax) sinh(a(L − x))/(a sinh(aL))), a = √(T/EI) (S. Timoshenko, Strength of Materials II).
  test('the modes of a stiff string add up to its shape at the force', () => {
    for (const inharmonicity of [1e-4, 5e-3]) {
      const s = stringModel({ ...STRING_SETS[0].instrument.strings[2], inharmonicity });
      const L = s.length;
      const x = 0.13 * L;
      const a = Math.sqrt(s.tension / s.bending);
      const bent = (Math.sinh(a * x) * Math.sinh(a * (L - x))) / (a * Math.sinh(a * L));
      const expected = (3 / s.tension) * ((x * (L - x)) / L - bent);
      let sum = 0;
      for (let n = 1; n < 40_000; n++) {
        const k = (n * Math.PI) / L;
        sum += forcedAmplitude(s, L, k, x, 3) * Math.sin(k * x);
      }
      expect(sum / expected).toBeCloseTo(1, 5);
    }
  });
  // Rectangular force 5 mm wide, partial 40 of a 648 mm string: sinc(40·5/1296).
  test('width and release', () => {
    expect(20 * Math.log10(widthFactor((40 * Math.PI) / 0.648, 0.005))).toBeCloseTo(-0.343, 3);
    expect(releaseFactor(0, 1e-3)).toBe(1);
    expect(releaseFactor(500, 1e-3)).toBeCloseTo(Math.PI / 4, 6);
    expect(releaseFactor(500.2, 1e-3)).toBeCloseTo(Math.PI / 4, 3);
    expect(releaseFactor(1500, 1e-3)).toBeCloseTo(0, 12);
    expect(widthFactor(0, 0.005)).toBe(1);
    // at its first zero a whole wave length lies under the pick
    expect(widthFactor((2 * Math.PI) / 0.005, 0.005)).toBeCloseTo(0, 12);
    expect(widthFactor(1e-6, 0.005)).toBeCloseTo(1, 12);
  });
  test('width and release are the transforms of what they say', () => {
    const n = 20_000;
    /** Transform of a density on −½…½ of `span`, about its middle, by the midpoint rule. */
    const transform = (density: (x: number) => number, radians: number, span: number) => {
      let [over, under] = [0, 0];
      for (let i = 0; i < n; i++) {
        const x = (i + 0.5) / n - 0.5;
        over += density(x) * Math.cos(radians * x * span);
        under += density(x);
      }
      return over / under;
    };
    for (const k of [40, 300, 900])
      expect(widthFactor(k, 0.006)).toBeCloseTo(
        transform(() => 1, k, 0.006),
        7,
      );
    // a raised-cosine ramp rises as fast as a half wave of a sine is high
    for (const f of [100, 400, 499.9999, 900, 2300])
      expect(releaseFactor(f, 1e-3)).toBeCloseTo(
        transform(x => Math.cos(Math.PI * x), 2 * Math.PI * f, 1e-3),
        6,
      );
  });
});

describe('the unit of a gauge', () => {
  const INCH = 0.0254;
  test('as typed: thousandths, fractions and inches, or millimetres', () => {
    for (const text of ['.046', '46', '0,046', '.046"', '3/64 in', '9.5'])
      expect(typedGaugeUnit(text), text).toBe('in');
    for (const text of ['1.17', '1,17', '1.17 mm', '0.117 cm', '1170 µm'])
      expect(typedGaugeUnit(text), text).toBe('mm');
  });
  test('what nobody typed is written in inches where it is whole half thousandths', () => {
    const core = null;
    expect(gaugeUnit({ gauge: 0.0095 * INCH })).toBe('in');
    expect(gaugeUnit({ gauge: 0.56e-3 })).toBe('mm');
    expect(gaugeUnit({ gauge: 0.0095 * INCH, gaugeIn: 'mm' })).toBe('mm');
    expect(coreUnit({ gauge: 0.046 * INCH, core: 0.45 * 0.046 * INCH })).toBe('in');
    expect(coreUnit({ gauge: 0.56e-3, core: 0.28e-3 })).toBe('mm');
    expect(coreUnit({ gauge: 0.56e-3, core: 0.28e-3, coreIn: 'in' })).toBe('in');
    expect(gaugeUnit({ gauge: 1.17e-3, core } as StringSpec)).toBe('mm');
    for (const { family, instrument } of STRING_SETS)
      for (const string of instrument.strings) expect(gaugeUnit(string)).toBe(family === 'bowed' ? 'mm' : 'in');
  });
  test('every ready gauge is written with no more figures than it has', () => {
    const written = STRING_SETS[0].instrument.strings.map(s => formatQuantity(s.gauge, 'gauge', gaugeUnit(s)));
    expect(written).toEqual(['.010 in', '.013 in', '.017 in', '.026 in', '.036 in', '.046 in']);
  });
});
