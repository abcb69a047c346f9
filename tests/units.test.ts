import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  expectedText,
  formatQuantity,
  notePitch,
  parseQuantity,
  parseWithin,
  QUANTITY_KINDS,
  type QuantityKind,
  typedGaugeUnit,
  type UnitSystem,
} from '../shared/units.ts';

const value = (text: string, kind: QuantityKind, system: UnitSystem = 'mm'): number => {
  const parsed = parseQuantity(text, kind, system);
  if (!parsed.ok) throw new Error(parsed.message);
  return parsed.value;
};
const message = (text: string, kind: QuantityKind, system: UnitSystem = 'mm'): string => {
  const parsed = parseQuantity(text, kind, system);
  if (parsed.ok) throw new Error(`accepted "${text}" as ${parsed.value}`);
  return parsed.message;
};

describe('quantities as people write them', () => {
  test.each<[string, QuantityKind, number]>([
    ['22n', 'capacitance', 22e-9],
    ['22 nF', 'capacitance', 22e-9],
    ['22N', 'capacitance', 22e-9],
    ['.047u', 'capacitance', 47e-9],
    ['0,047 µF', 'capacitance', 47e-9],
    ['0.047 μF', 'capacitance', 47e-9],
    [',047uF', 'capacitance', 47e-9],
    ['.022 MFD', 'capacitance', 22e-9],
    ['4n7', 'capacitance', 4.7e-9],
    ['2n2F', 'capacitance', 2.2e-9],
    ['500 pF', 'capacitance', 500e-12],
    ['0', 'capacitance', 0],
    ['4k7', 'resistance', 4700],
    ['4K7', 'resistance', 4700],
    ['250k', 'resistance', 250e3],
    ['250 kΩ', 'resistance', 250e3],
    ['250 kohm', 'resistance', 250e3],
    ['250 k\u2126', 'resistance', 250e3],
    ['1M', 'resistance', 1e6],
    ['1 meg', 'resistance', 1e6],
    ['2.2 Megohm', 'resistance', 2.2e6],
    ['1M5', 'resistance', 1.5e6],
    ['2R2', 'resistance', 2.2],
    ['470R', 'resistance', 470],
    ['10 000 Ω', 'resistance', 10000],
    ['6,1 k', 'resistance', 6100],
    ['1e3', 'resistance', 1000],
    ['2.5 H', 'inductance', 2.5],
    ['2,5H', 'inductance', 2.5],
    ['850 mH', 'inductance', 0.85],
    ['2H5', 'inductance', 2.5],
    ['4 9/16 in', 'length', 0.1158875],
    ['4 9/16"', 'length', 0.1158875],
    ['4-9/16 in', 'length', 0.1158875],
    ['4⅝″', 'length', 0.117475],
    ['3/32 in', 'smallLength', 0.00238125],
    ['162 mm', 'length', 0.162],
    ['162', 'length', 0.162],
    ['16.2cm', 'length', 0.162],
    ['−3 mm', 'length', -0.003],
    ['-3', 'length', -0.003],
    ['.046', 'gauge', 0.0011684],
    ['46', 'gauge', 0.0011684],
    ['1.17', 'gauge', 0.00117],
    ['.046"', 'gauge', 0.0011684],
    ['9,5', 'gauge', 0.0002413],
    ['6 m', 'cableLength', 6],
    ['6', 'cableLength', 6],
    ['20 ft', 'cableLength', 6.096],
    ["20'", 'cableLength', 6.096],
    ['100 pF/m', 'capacitancePerMetre', 100e-12],
    ['100', 'capacitancePerMetre', 100e-12],
    ['30 pF/ft', 'capacitancePerMetre', 30e-12 / 0.3048],
    ['80 mΩ/m', 'resistancePerMetre', 0.08],
    ['9.5°', 'angle', (9.5 * Math.PI) / 180],
    ['9.5', 'angle', (9.5 * Math.PI) / 180],
    ['9,5 deg', 'angle', (9.5 * Math.PI) / 180],
    ['0.1 rad', 'angle', 0.1],
    ['4.2k', 'frequency', 4200],
    ['4.2 kHz', 'frequency', 4200],
    ['82.4', 'frequency', 82.4],
    ['A4', 'pitch', 440],
    ['50 %', 'ratio', 0.5],
    ['1/2', 'ratio', 0.5],
    ['10', 'percent', 0.1],
    ['−6 dB', 'level', -6],
    ['8.1e-5', 'number', 8.1e-5],
    ['22', 'count', 22],
    ['6.82 g/m', 'unitWeight', 6.82e-3],
    ['.00038216 lb/in', 'unitWeight', 0.00038216 * 17.857967],
    ['120 mV per m/s', 'sensitivity', 0.12],
    ['0.12 V s/m', 'sensitivity', 0.12],
    ['0.8 ms', 'time', 0.8e-3],
    ['17.5 lbf', 'force', 77.844],
  ])('%s as %s', (text, kind, expected) => {
    const got = value(text, kind);
    expect(Math.abs(got - expected)).toBeLessThanOrEqual(1e-5 * Math.abs(expected) + 1e-30);
  });

  test('a bare number takes the unit the field shows', () => {
    expect(value('4 9/16', 'length', 'in')).toBeCloseTo(0.1158875, 9);
    expect(value('20', 'cableLength', 'in')).toBeCloseTo(6.096, 9);
    expect(value('30', 'capacitancePerMetre', 'in')).toBeCloseTo(30e-12 / 0.3048, 18);
    expect(value('.00038216', 'unitWeight', 'in')).toBeCloseTo(6.8246e-3, 6);
  });

  test.each<[string, QuantityKind, RegExp]>([
    ['', 'length', /nothing entered; expected a length such as 162 mm or 4 9\/16 in/],
    ['abc', 'length', /expected a length such as/],
    ['162 ohm', 'length', /"ohm" is not a unit/],
    ['22', 'capacitance', /no unit; expected a capacitance with its unit/],
    ['3', 'time', /no unit/],
    ['1,500 k', 'resistance', /read in two ways/],
    ['1,2,3', 'resistance', /read in two ways/],
    ['22 n H', 'resistance', /is not a unit/],
    ['1/0', 'ratio', /not a finite number/],
    ['1e999', 'frequency', /not a finite number/],
    ['2.5', 'count', /whole number/],
    ['NaN', 'resistance', /expected a resistance/],
    ['Infinity', 'resistance', /expected a resistance/],
    ['4k7k', 'resistance', /expected a resistance/],
    ['4R7k', 'resistance', /is not one/],
    ['H2', 'pitch', /expected a pitch/],
  ])('"%s" is no %s', (text, kind, expected) => {
    expect(message(text, kind)).toMatch(expected);
  });

  test('ranges are stated in the units shown', () => {
    const bad = parseWithin('900', 'length', [0.003, 0.6], 'mm');
    expect(bad).toEqual({ ok: false, message: '900 mm is out of range; expected 3 mm to 600 mm' });
    expect(parseWithin('600 mm', 'length', [0.003, 0.6])).toEqual({ ok: true, value: 0.6 });
    expect(parseWithin('x', 'length', [0.003, 0.6]).ok).toBe(false);
  });

  test('a value at the end of its range is that end, whatever rounding its unit brings; beyond it is refused', () => {
    // the hair beyond an end is a part in 10⁹ of the larger end
    const range = [0.1, 0.6] as const;
    for (const [text, is] of [
      ['600.0000003 mm', 0.6],
      ['99.9999998 mm', 0.1],
      ['300 mm', 0.3],
    ] as const)
      expect(parseWithin(text, 'length', range)).toEqual({ ok: true, value: is });
    for (const text of ['600.000001 mm', '99.999999 mm', '0 mm', '-300 mm'])
      expect(parseWithin(text, 'length', range).ok).toBe(false);
    // an end at 0 has its slack from the other
    expect(parseWithin('-0.0000000005', 'ratio', [0, 1])).toEqual({ ok: true, value: 0 });
    expect(parseWithin('-0.5', 'ratio', [-1, 0])).toEqual({ ok: true, value: -0.5 });
  });

  test('a note is a pitch, and nothing but a pitch', () => {
    expect(value('E2', 'pitch')).toBeCloseTo(82.4069, 4);
    expect(value(' a4 ', 'pitch')).toBe(440);
    expect(message('E2', 'frequency')).toMatch(/expected a frequency/);
    expect(message('A4', 'ratio')).toMatch(/expected a number/);
  });

  test.each<[string, UnitSystem]>([
    ['.046', 'in'],
    ['46', 'in'],
    ['3/64 in', 'in'],
    ['0.046"', 'in'],
    ['1.17', 'mm'],
    ['1.17 mm', 'mm'],
    ['1,17mm', 'mm'],
    ['0.1 cm', 'mm'],
    ['nothing', 'in'],
  ])('a gauge typed as %s is in %s', (text, unit) => {
    expect(typedGaugeUnit(text)).toBe(unit);
  });

  test.each<[number, QuantityKind, UnitSystem, string]>([
    [0.162, 'length', 'mm', '162 mm'],
    [0.1158875, 'length', 'in', '4.5625 in'],
    [-0.0025, 'length', 'mm', '−2.5 mm'],
    [-1e-9, 'length', 'mm', '0 mm'],
    [22e-9, 'capacitance', 'mm', '22 nF'],
    [4.7e3, 'resistance', 'mm', '4.7 kΩ'],
    [999.9999, 'resistance', 'mm', '1 kΩ'],
    [250e3, 'resistance', 'mm', '250 kΩ'],
    [1e6, 'resistance', 'mm', '1 MΩ'],
    [2.5, 'inductance', 'mm', '2.5 H'],
    [4170.55, 'frequency', 'mm', '4.171 kHz'],
    [(9.5 * Math.PI) / 180, 'angle', 'mm', '9.5°'],
    [100e-12, 'capacitancePerMetre', 'mm', '100 pF/m'],
    [8.0863e-5, 'number', 'mm', '8.0863e−5'],
    [0.0011684, 'gauge', 'in', '.046 in'],
    [0.1, 'percent', 'mm', '10 %'],
    [0.5, 'frequency', 'mm', '0.5 Hz'],
    [5e9, 'frequency', 'mm', '5000 MHz'],
    [2000, 'time', 'mm', '2000 s'],
    [1e-7, 'time', 'mm', '0.1 µs'],
    [Number.NaN, 'resistance', 'mm', '– Ω'],
    [Number.POSITIVE_INFINITY, 'resistance', 'mm', '∞ Ω'],
  ])('%s %s in %s reads %s', (v, kind, system, expected) => {
    expect(formatQuantity(v, kind, system)).toBe(expected);
  });

  // Coarsest step shown, SI; relative for kinds with significant figures.
  const STEP: Record<QuantityKind, { span: [number, number]; absolute?: number; relative?: number }> = {
    length: { span: [-1, 1.3], absolute: 0.6e-5 },
    smallLength: { span: [-0.08, 0.1], absolute: 1.5e-6 },
    gauge: { span: [1e-4, 6e-3], absolute: 1.5e-6 },
    cableLength: { span: [0, 100], absolute: 0.6e-3 },
    resistance: { span: [1e-2, 1e12], relative: 6e-5 },
    capacitance: { span: [1e-13, 1e-4], relative: 6e-5 },
    inductance: { span: [1e-6, 1e3], relative: 6e-5 },
    capacitancePerMetre: { span: [1e-13, 1e-9], relative: 6e-5 },
    resistancePerMetre: { span: [1e-4, 10], relative: 6e-5 },
    frequency: { span: [1e-2, 2e5], relative: 6e-4 },
    pitch: { span: [15, 2000], relative: 6e-6 },
    angle: { span: [-0.8, 0.8], absolute: 1e-4 },
    ratio: { span: [-10, 10], absolute: 1e-12, relative: 6e-5 },
    percent: { span: [-1, 1], absolute: 1e-12, relative: 6e-4 },
    number: { span: [-1e3, 1e3], relative: 6e-5 },
    count: { span: [-40, 40], absolute: 0.5 },
    level: { span: [-150, 60], absolute: 0.0051 },
    unitWeight: { span: [1e-5, 0.5], relative: 6e-5 },
    sensitivity: { span: [1e-5, 100], relative: 6e-5 },
    time: { span: [1e-6, 100], relative: 6e-4 },
    force: { span: [1e-3, 1e3], relative: 6e-4 },
  };
  test.each(QUANTITY_KINDS)('what is shown can be typed back: %s', kind => {
    const { span, absolute = 0, relative = 0 } = STEP[kind];
    // Logarithmic where the span allows, so that small values are visited too.
    const values =
      span[0] > 0
        ? fc.double({ min: Math.log(span[0]), max: Math.log(span[1]), noNaN: true }).map(Math.exp)
        : fc.double({ min: span[0], max: span[1], noNaN: true });
    fc.assert(
      fc.property(values, fc.constantFrom<UnitSystem>('mm', 'in'), (v, system) => {
        const back = value(formatQuantity(v, kind, system), kind, system);
        expect(Math.abs(back - v)).toBeLessThanOrEqual(absolute + relative * Math.abs(v) + 1e-300);
      }),
      { numRuns: 300 },
    );
  });

  test('the example in every message is itself accepted', () => {
    for (const kind of QUANTITY_KINDS) {
      const examples = expectedText(kind)
        .split('such as ')[1]
        .split(/,\s(?!\d)|, | or /);
      for (const example of examples)
        expect(parseQuantity(example, kind), `${kind}: ${example}`).toMatchObject({ ok: true });
    }
  });

  test('no text makes it throw or return a value that is no number', () => {
    const piece = fc.constantFrom(
      '1',
      '4',
      '.',
      ',',
      '/',
      ' ',
      '-',
      'e',
      'k',
      'M',
      'n',
      'in',
      '"',
      'mm',
      'pF',
      '%',
      '½',
    );
    const text = fc.oneof(
      fc.string(),
      fc.array(piece, { maxLength: 8 }).map(parts => parts.join('')),
    );
    fc.assert(
      fc.property(text, fc.constantFrom(...QUANTITY_KINDS), (t, kind) => {
        const parsed = parseQuantity(t, kind);
        if (parsed.ok) expect(Number.isFinite(parsed.value)).toBe(true);
        else expect(parsed.message.length).toBeGreaterThan(5);
      }),
      { numRuns: 3000 },
    );
  });

  test('note names', () => {
    expect(notePitch('E2')).toBeCloseTo(82.4069, 4);
    expect(notePitch('F#3')).toBeCloseTo(notePitch('Gb3') as number, 12);
    expect(notePitch('B0')).toBeCloseTo(30.8677, 4);
    expect(notePitch('x')).toBeNull();
  });
});
