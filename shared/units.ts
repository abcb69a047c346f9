/**
 * Quantities as people write them, to and from SI: `22n`, `4k7`, `2.5 H`, `4 9/16 in`, `162 mm`, `100 pF/m`, `9.5°`.
 *
 * The only place where units are converted. Everything inside the model is SI (metres, ohms, farads, radians), levels
 * are in dB. A field parses its text with `parseQuantity` and shows the value with `formatQuantity`; what is shown can
 * always be typed back.
 *
 * Notation: SI prefixes; a prefix or `R` in place of the decimal point (IEC 60062: `4k7`, `2R2`); decimal comma or
 * point; mixed fractions (`4 9/16`). A bare number takes the unit the field shows, except where the trade has no
 * common unit (capacitance, time): there the unit must be written.
 */

/** What lengths are shown in; values typed with a unit are understood in either. */
export type UnitSystem = 'mm' | 'in';

export type Parsed = { ok: true; value: number } | { ok: false; message: string };

/** m in one inch. */
export const INCH = 0.0254;
const FOOT = 0.3048;
/** kg/m in one lb/in (pound 0.45359237 kg exactly, inch 0.0254 m exactly). */
export const LB_PER_IN = 0.45359237 / INCH;

interface Unit {
  /** Lower case, without spaces; the first is what is shown. */
  names: readonly string[];
  /** SI value of one. */
  factor: number;
  /** Whether SI prefixes may stand before it. */
  prefixed?: boolean;
}

interface Kind {
  /** Completes "expected …". */
  expected: string | ((system: UnitSystem) => string);
  units: readonly Unit[];
  /** SI value of a number without a unit; null: a unit must be given. */
  bare: number | null | ((n: number, system: UnitSystem) => number);
  show: (value: number, system: UnitSystem) => { number: string; unit: string };
}

const PREFIX: Record<string, number> = {
  p: 1e-12,
  n: 1e-9,
  u: 1e-6,
  m: 1e-3,
  k: 1e3,
  M: 1e6,
  meg: 1e6,
  G: 1e9,
};
/** Spellings that cannot be mistaken for another prefix. */
const PREFIX_ALIAS: Record<string, string> = { P: 'p', N: 'n', U: 'u', K: 'k', Meg: 'meg', MEG: 'meg' };

const trimZeros = (text: string): string => (text.includes('.') ? text.replace(/\.?0+$/, '') : text);
const signed = (text: string): string => (/^-0(\.0*)?$/.test(text) ? '0' : text.replace('-', '−'));
/** At most `digits` decimals. */
const decimals = (value: number, digits: number): string => signed(trimZeros(value.toFixed(digits)));
/** At most `digits` significant figures, never in exponent form. */
const significant = (value: number, digits: number): string => {
  if (value === 0) return '0';
  const places = Math.min(15, Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value)))));
  return signed(trimZeros(Number(value.toPrecision(digits)).toFixed(places)));
};

const STEPS: readonly (readonly [number, string])[] = [
  [1e9, 'G'],
  [1e6, 'M'],
  [1e3, 'k'],
  [1, ''],
  [1e-3, 'm'],
  [1e-6, 'µ'],
  [1e-9, 'n'],
  [1e-12, 'p'],
];
/** Significant figures with the SI prefix that keeps the number between 1 and 1000. */
const engineering =
  (unit: string, digits: number, smallest: number, largest = 1e9) =>
  (value: number) => {
    const rounded = Number(Math.abs(value).toPrecision(digits));
    const steps = STEPS.filter(([size]) => size >= smallest && size <= largest);
    const [size, prefix] =
      value === 0
        ? ([1, ''] as const)
        : (steps.find(([s]) => rounded >= s * (1 - 1e-12)) ?? (steps[steps.length - 1] as [number, string]));
    return { number: significant(value / size, digits), unit: prefix + unit };
  };

const LENGTH_UNITS: readonly Unit[] = [
  { names: ['mm'], factor: 1e-3 },
  { names: ['cm'], factor: 1e-2 },
  { names: ['m'], factor: 1 },
  { names: ['um'], factor: 1e-6 },
  { names: ['in', 'inch', 'inches', '"', "''"], factor: INCH },
  { names: ['ft', 'feet', 'foot', "'"], factor: FOOT },
];
const lengthKind = (mm: number, inch: number): Kind => ({
  expected: 'a length such as 162 mm or 4 9/16 in',
  units: LENGTH_UNITS,
  bare: (_, system) => (system === 'in' ? INCH : 1e-3),
  show: (value, system) =>
    system === 'in'
      ? { number: decimals(value / INCH, inch), unit: 'in' }
      : { number: decimals(value * 1e3, mm), unit: 'mm' },
});

const electrical = (expected: string, names: string[], unit: string, smallest: number, bare: number | null): Kind => ({
  expected,
  units: [{ names, factor: 1, prefixed: true }],
  bare,
  show: engineering(unit, 5, smallest),
});

/**
 * A gauge without a unit: the trade writes thousandths of an inch either way (`.046`, `46`), and millimetres between
 * 0.16 and 6; no string is 0.16 in thick or 6 thousandths thin, so the three never overlap.
 */
const bareGauge = (n: number): number => {
  const size = Math.abs(n);
  if (size < 0.16) return INCH;
  return size < 6 ? 1e-3 : INCH * 1e-3;
};

/** A gauge in inches as the trade writes it: `.010`, `.0095`. */
const thousandths = (inches: number): string => {
  const text = inches.toFixed(4);
  return (text.endsWith('0') ? text.slice(0, -1) : text).replace(/^0\./, '.');
};

const KINDS = {
  /** m. Positions, scale lengths, spacings. */
  length: lengthKind(2, 4),
  /** m. Heights, widths, offsets: one more decimal. */
  smallLength: {
    ...lengthKind(3, 4),
    expected: 'a length such as 2.4 mm or 3/32 in',
  },
  /** m. String diameter. */
  gauge: {
    expected: 'a string gauge such as .046, 46 or 1.17 mm',
    units: LENGTH_UNITS,
    bare: bareGauge,
    show: (value, system) =>
      system === 'in'
        ? { number: thousandths(value / INCH), unit: 'in' }
        : { number: decimals(value * 1e3, 4), unit: 'mm' },
  },
  /** m. */
  cableLength: {
    expected: 'a cable length such as 6 m or 20 ft',
    units: LENGTH_UNITS,
    bare: (_, system) => (system === 'in' ? FOOT : 1),
    show: (value, system) =>
      system === 'in' ? { number: decimals(value / FOOT, 3), unit: 'ft' } : { number: decimals(value, 3), unit: 'm' },
  },
  /** ohm. */
  resistance: electrical('a resistance such as 250k, 4k7 or 1 MΩ', ['ohm', 'ohms', 'r'], 'Ω', 1e-3, 1),
  /** F. */
  capacitance: {
    ...electrical('a capacitance with its unit, such as 22n, 500 pF or 0.047 µF', ['f', 'farad'], 'F', 1e-12, null),
    units: [
      { names: ['f', 'farad'], factor: 1, prefixed: true },
      { names: ['mfd'], factor: 1e-6 },
    ],
  },
  /** H. */
  inductance: electrical('an inductance such as 2.5 H or 850 mH', ['h', 'henry', 'henries'], 'H', 1e-6, 1),
  /** F/m. */
  capacitancePerMetre: {
    expected: 'a capacitance per length such as 100 pF/m or 30 pF/ft',
    units: [
      { names: ['f/m'], factor: 1, prefixed: true },
      { names: ['f/ft', 'f/foot'], factor: 1 / FOOT, prefixed: true },
    ],
    bare: (_, system) => (system === 'in' ? 1e-12 / FOOT : 1e-12),
    show: (value, system) =>
      system === 'in'
        ? { number: significant(value * 1e12 * FOOT, 5), unit: 'pF/ft' }
        : { number: significant(value * 1e12, 5), unit: 'pF/m' },
  },
  /** ohm/m. */
  resistancePerMetre: {
    expected: 'a resistance per length such as 0.1 Ω/m or 30 mΩ/ft',
    units: [
      { names: ['ohm/m', 'ohms/m'], factor: 1, prefixed: true },
      { names: ['ohm/ft', 'ohms/ft'], factor: 1 / FOOT, prefixed: true },
    ],
    bare: (_, system) => (system === 'in' ? 1 / FOOT : 1),
    show: (value, system) =>
      system === 'in'
        ? { number: significant(value * FOOT, 5), unit: 'Ω/ft' }
        : { number: significant(value, 5), unit: 'Ω/m' },
  },
  /** Hz. */
  frequency: {
    expected: 'a frequency such as 82.4 Hz or 4.2k',
    units: [{ names: ['hz', 'hertz', 'c/s'], factor: 1, prefixed: true }],
    bare: 1,
    show: engineering('Hz', 4, 1, 1e6),
  },
  /** Hz, more figures; note names are understood too (A4 = 440 Hz, equal temperament). */
  pitch: {
    expected: 'a pitch such as E2, F#3 or 82.41 Hz',
    units: [{ names: ['hz', 'hertz'], factor: 1, prefixed: true }],
    bare: 1,
    show: value => ({ number: significant(value, 6), unit: 'Hz' }),
  },
  /** rad. */
  angle: {
    expected: 'an angle such as 9.5° or 0.166 rad',
    units: [
      { names: ['°', 'deg', 'degree', 'degrees'], factor: Math.PI / 180 },
      { names: ['rad'], factor: 1, prefixed: true },
    ],
    bare: Math.PI / 180,
    show: value => ({ number: decimals((value * 180) / Math.PI, 2), unit: '°' }),
  },
  /** 1. A setting or a fraction, shown as a number. */
  ratio: {
    expected: 'a number such as 0.5, 1/2 or 50 %',
    units: [{ names: ['%'], factor: 0.01 }],
    bare: 1,
    show: value => ({ number: significant(value, 5), unit: '' }),
  },
  /** 1. A fraction shown in percent. */
  percent: {
    expected: 'a percentage such as 10 %',
    units: [{ names: ['%'], factor: 0.01 }],
    bare: 0.01,
    show: value => ({ number: significant(value * 100, 4), unit: '%' }),
  },
  /** A plain number without unit; exponents are shown where they are easier to read. */
  number: {
    expected: 'a number such as 0.25 or 8.1e-5',
    units: [],
    bare: 1,
    show: value => ({
      number:
        value !== 0 && (Math.abs(value) < 1e-3 || Math.abs(value) >= 1e6)
          ? Number(value.toPrecision(5)).toExponential().replace('-', '−').replace('e-', 'e−')
          : significant(value, 6),
      unit: '',
    }),
  },
  /** A whole number. */
  count: {
    expected: 'a whole number such as 22',
    units: [],
    bare: 1,
    show: value => ({ number: decimals(value, 0), unit: '' }),
  },
  /** dB. */
  level: {
    expected: 'a level such as −6 dB',
    units: [{ names: ['db'], factor: 1 }],
    bare: 1,
    show: value => ({ number: decimals(value, 2), unit: 'dB' }),
  },
  /** kg/m. */
  unitWeight: {
    expected: 'a weight per length such as 6.82 g/m or 0.000382 lb/in',
    units: [
      { names: ['g/m'], factor: 1e-3 },
      { names: ['mg/m'], factor: 1e-6 },
      { names: ['kg/m'], factor: 1 },
      { names: ['lb/in', 'lbs/in', 'lb/inch'], factor: LB_PER_IN },
    ],
    bare: (_, system) => (system === 'in' ? LB_PER_IN : 1e-3),
    show: (value, system) =>
      system === 'in'
        ? { number: significant(value / LB_PER_IN, 5), unit: 'lb/in' }
        : { number: significant(value * 1e3, 5), unit: 'g/m' },
  },
  /** V s/m: EMF per string velocity. */
  sensitivity: {
    expected: 'an output per string speed such as 120 mV per m/s',
    units: [
      {
        names: ['vperm/s', 'v/(m/s)', 'v/m/s', 'vs/m', 'v·s/m', 'v'],
        factor: 1,
        prefixed: true,
      },
    ],
    bare: 1e-3,
    show: value => ({ number: significant(value * 1e3, 5), unit: 'mV per m/s' }),
  },
  /** s. */
  time: {
    expected: 'a time with its unit, such as 0.8 ms or 2 s',
    units: [{ names: ['s', 'sec', 'seconds'], factor: 1, prefixed: true }],
    bare: null,
    show: engineering('s', 4, 1e-6, 1),
  },
  /** N. */
  force: {
    expected: 'a force such as 78 N or 17.5 lbf',
    units: [
      { names: ['n', 'newton', 'newtons'], factor: 1 },
      { names: ['lbf', 'lb', 'lbs'], factor: 4.4482216152605 },
      { names: ['kgf', 'kg'], factor: 9.80665 },
    ],
    bare: (_, system) => (system === 'in' ? 4.4482216152605 : 1),
    show: (value, system) =>
      system === 'in'
        ? { number: significant(value / 4.4482216152605, 4), unit: 'lbf' }
        : { number: significant(value, 4), unit: 'N' },
  },
} as const satisfies Record<string, Kind>;

export type QuantityKind = keyof typeof KINDS;
export const QUANTITY_KINDS = Object.keys(KINDS) as QuantityKind[];

/** What a value of this kind looks like: completes "expected …". */
export const expectedText = (kind: QuantityKind, system: UnitSystem = 'mm'): string => {
  const { expected } = KINDS[kind] as Kind;
  return typeof expected === 'string' ? expected : expected(system);
};

const VULGAR: Record<string, string> = {
  '½': '1/2',
  '¼': '1/4',
  '¾': '3/4',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
};

/** One spelling for look-alike signs; spaces single; decimal point. Null: a comma that could be either. */
const normalise = (text: string): string | null => {
  const plain = text
    .replace(/[\s\u00a0\u2000-\u200b\u202f\u205f\u3000]+/g, ' ')
    .trim()
    .replace(/[\u2212\u2012\u2013\u2014\ufe63\uff0d]/g, '-')
    .replace(/[\u00b5\u03bc]/g, 'u')
    .replace(/[\u03a9\u2126]/g, 'ohm')
    .replace(/[\u2032\u2019]/g, "'")
    .replace(/[\u2033\u201d\u201c]/g, '"')
    .replace(/\u00ba/g, '°')
    .replace(/\u2044/g, '/')
    .replace(/[½¼¾⅛⅜⅝⅞]/g, c => ` ${VULGAR[c]}`)
    .trim()
    .replace(/(\d) (?=\d{3}(?!\d|\/))/g, '$1');
  const commas = plain.split(',').length - 1;
  if (commas === 0) return plain;
  if (commas > 1 || plain.includes('.')) return null;
  return /[1-9]\d{0,2},\d{3}(?!\d)/.test(plain) ? null : plain.replace(',', '.');
};

const NUMBER = /^([+-]?) ?(?:(\d+)[ -](\d+)\/(\d+)|(\d+)\/(\d+)|(\d+\.?\d*|\.\d+)(?:e([+-]?\d+))?)/i;
/** IEC 60062: the multiplier stands where the decimal point would. */
const INFIX = /^([+-]?)(\d+)(p|n|u|m|k|K|M|G|R|r|H|F)(\d+) ?(.*)$/;

/** SI value of one `tail`, or null when it is no unit of this kind. */
const unitFactor = (units: readonly Unit[], tail: string): number | null => {
  const lower = tail.toLowerCase();
  for (const unit of units) if (unit.names.includes(lower)) return unit.factor;
  for (const prefix of ['meg', 'Meg', 'MEG', tail[0] ?? '']) {
    const size = PREFIX[PREFIX_ALIAS[prefix] ?? prefix];
    if (size === undefined || !tail.startsWith(prefix)) continue;
    const rest = lower.slice(prefix.length);
    for (const unit of units)
      if (unit.prefixed && (rest === '' || unit.names.includes(rest))) return size * unit.factor;
  }
  return null;
};

const NOTE = /^([a-g])([#b♯♭]?)(-?\d)$/i;
const SEMITONE: Record<string, number> = { c: -9, d: -7, e: -5, f: -4, g: -2, a: 0, b: 2 };
/** Pitch of a note name in scientific notation, equal temperament, A4 = 440 Hz; null when it is none. */
export const notePitch = (name: string): number | null => {
  const note = NOTE.exec(name.trim());
  if (!note) return null;
  const [, letter, accidental, octave] = note;
  const shift = accidental === '' ? 0 : accidental === '#' || accidental === '♯' ? 1 : -1;
  return 440 * 2 ** ((SEMITONE[letter.toLowerCase()] + shift) / 12 + Number(octave) - 4);
};

/**
 * Reads a quantity as people write it.
 * @returns the SI value, or a message that says what was expected
 */
export const parseQuantity = (text: string, kind: QuantityKind, system: UnitSystem = 'mm'): Parsed => {
  const spec: Kind = KINDS[kind];
  const fail = (why?: string): Parsed => ({
    ok: false,
    message: why ? `${why}; expected ${expectedText(kind, system)}` : `expected ${expectedText(kind, system)}`,
  });
  if (text.trim() === '') return fail('nothing entered');
  const plain = normalise(text);
  if (plain === null) return fail(`"${text.trim()}" can be read in two ways: write it without the comma`);
  if (kind === 'pitch') {
    const pitch = notePitch(plain);
    if (pitch !== null) return { ok: true, value: pitch };
  }
  const infix = INFIX.exec(plain);
  if (infix) {
    const [, sign, whole, mark, part, rest] = infix;
    const value = Number(`${sign}${whole}.${part}`);
    const tail = rest.replace(/ /g, '');
    const asUnit = tail === '' && /[RrHF]/.test(mark) ? unitFactor(spec.units, mark) : null;
    const factor = /[RrHF]/.test(mark) ? asUnit : unitFactor(spec.units, mark + tail);
    if (factor === null) return fail(`"${plain}" is not one`);
    return Number.isFinite(value) ? { ok: true, value: value * factor } : fail(`"${plain}" is not a finite number`);
  }
  const match = NUMBER.exec(plain);
  if (!match) return fail();
  const [, sign, whole, top, bottom, top2, bottom2, decimal, exponent] = match;
  const size =
    decimal !== undefined
      ? Number(exponent === undefined ? decimal : `${decimal}e${exponent}`)
      : top2 !== undefined
        ? Number(top2) / Number(bottom2)
        : Number(whole) + Number(top) / Number(bottom);
  if (!Number.isFinite(size)) return fail(`"${plain}" is not a finite number`);
  const n = sign === '-' ? -size : size;
  const tail = plain.slice(match[0].length).replace(/ /g, '');
  if (kind === 'count' && !Number.isInteger(n)) return fail(`"${plain}" is not a whole number`);
  if (tail === '') {
    if (n === 0) return { ok: true, value: 0 };
    if (spec.bare === null) return fail(`"${plain}" has no unit`);
    return { ok: true, value: n * (typeof spec.bare === 'number' ? spec.bare : spec.bare(n, system)) };
  }
  const factor = unitFactor(spec.units, tail);
  return factor === null ? fail(`"${tail}" is not a unit for it`) : { ok: true, value: n * factor };
};

/** The unit that a gauge is typed in: `.046`, `46` and `3/64 in` in inches, `1.17` and `1.17 mm` in millimetres. */
export const typedGaugeUnit = (text: string): UnitSystem => {
  const plain = normalise(text) ?? '';
  const number = NUMBER.exec(plain)?.[0] ?? '';
  const tail = plain.slice(number.length).replace(/ /g, '').toLowerCase();
  if (tail !== '') return /^(mm|cm|m|um)$/.test(tail) ? 'mm' : 'in';
  const parsed = parseQuantity(plain, 'gauge');
  return parsed.ok && bareGauge(Number(number)) === 1e-3 ? 'mm' : 'in';
};

/** A value as number and unit apart, for tables and labels. */
export const quantityParts = (
  value: number,
  kind: QuantityKind,
  system: UnitSystem = 'mm',
): { number: string; unit: string } => {
  const spec: Kind = KINDS[kind];
  if (Number.isFinite(value)) {
    const shown = spec.show(value, system);
    // what rounds to nothing has no sign
    return /[1-9]/.test(shown.number) ? shown : spec.show(0, system);
  }
  return { number: Number.isNaN(value) ? '–' : value > 0 ? '∞' : '−∞', unit: spec.show(1, system).unit };
};

/** A value with its unit, in the figures that make sense for its kind; `parseQuantity` reads it back. */
export const formatQuantity = (value: number, kind: QuantityKind, system: UnitSystem = 'mm'): string => {
  const { number, unit } = quantityParts(value, kind, system);
  if (unit === '') return number;
  return unit === '°' ? number + unit : `${number} ${unit}`;
};

/** As `parseQuantity`, and the value must lie in `range` (SI, ends included); the message gives the range in people's units. */
export const parseWithin = (
  text: string,
  kind: QuantityKind,
  range: readonly [number, number],
  system: UnitSystem = 'mm',
): Parsed => {
  const parsed = parseQuantity(text, kind, system);
  if (!parsed.ok) return parsed;
  const slack = 1e-9 * Math.max(Math.abs(range[0]), Math.abs(range[1]));
  if (parsed.value < range[0] - slack || parsed.value > range[1] + slack)
    return {
      ok: false,
      message: `${formatQuantity(parsed.value, kind, system)} is out of range; expected ${formatQuantity(range[0], kind, system)} to ${formatQuantity(range[1], kind, system)}`,
    };
  return { ok: true, value: Math.min(range[1], Math.max(range[0], parsed.value)) };
};
