/** Texts typed into fields: what is read is a finite number that its own text gives back; the rest is refused in words. */
import fc from 'fast-check';
import {
  formatQuantity,
  parseQuantity,
  parseWithin,
  QUANTITY_KINDS,
  type QuantityKind,
  type UnitSystem,
} from '../../shared/units.ts';
import { isSentence } from './documents.ts';
import type { Program } from './program.ts';

interface Typed {
  text: string;
  kind: QuantityKind;
  system: UnitSystem;
}

/** What numbers and units are written with, beside plain digits. */
const PIECES = [
  ...[
    '0',
    '1',
    '22',
    '047',
    '4',
    '7',
    '100',
    '1000',
    '999999999999',
    '.',
    ',',
    '-',
    '−',
    '+',
    ' ',
    '\u00a0',
    '/',
    '9/16',
    '½',
    '⅝',
  ],
  ...[
    'e',
    'e3',
    'E-9',
    'e400',
    'k',
    'K',
    'M',
    'meg',
    'm',
    'u',
    'µ',
    'n',
    'p',
    'R',
    'r',
    'G',
    'F',
    'H',
    'h',
    'Ω',
    'ohm',
    '\u2126',
  ],
  ...[
    'mm',
    'cm',
    'in',
    '"',
    '″',
    "'",
    'ft',
    'mil',
    '°',
    'deg',
    '%',
    'dB',
    'Hz',
    'kHz',
    'N',
    'lb',
    'kg/m',
    '/m',
    '/ft',
    'V',
    's',
  ],
  ...['A4', 'e2', 'B♭3', 'Infinity', 'NaN', 'x', '(', '\u0000', '🎸', '٣', '１', '--', '1e', '0x10'],
];

const cases: fc.Arbitrary<Typed> = fc.record({
  text: fc.oneof(
    {
      weight: 4,
      arbitrary: fc
        .tuple(
          fc.double({ min: -9999, max: 9999, noNaN: true }),
          fc.nat(4),
          fc.constantFrom('', ' ', ','),
          fc.constantFrom(...PIECES),
        )
        .map(([n, digits, between, unit]) => n.toFixed(digits) + between + unit),
    },
    { weight: 6, arbitrary: fc.array(fc.constantFrom(...PIECES), { maxLength: 7 }).map(pieces => pieces.join('')) },
    { weight: 1, arbitrary: fc.string({ unit: 'binary', maxLength: 20 }) },
    {
      weight: 1,
      arbitrary: fc.tuple(fc.nat(9), fc.constantFrom(30, 310, 5000)).map(([digit, n]) => `${digit}`.repeat(n)),
    },
  ),
  kind: fc.constantFrom(...QUANTITY_KINDS),
  system: fc.constantFrom<UnitSystem[]>('mm', 'in'),
});

/** What fields take lies well inside, SI. */
const FIELDS = [1e-14, 1e9] as const;

export const units: Program<Typed> = {
  cases,
  check: ({ text, kind, system }) => {
    const parsed = parseQuantity(text, kind, system);
    const within = parseWithin(text, kind, [1e-3, 1e3], system);
    if (!within.ok) isSentence(within.message.replaceAll(text.trim(), ''));
    else if (!(within.value >= 1e-3 && within.value <= 1e3)) throw new Error(`${within.value} is not in the range`);
    if (!parsed.ok) {
      isSentence(parsed.message.replaceAll(text.trim(), ''));
      return 'refused';
    }
    if (!Number.isFinite(parsed.value)) throw new Error(`"${text}" was read as ${parsed.value}`);
    const size = Math.abs(parsed.value);
    if (size !== 0 && (size < FIELDS[0] || size > FIELDS[1])) return 'read, beyond any field';
    const shown = formatQuantity(parsed.value, kind, system);
    const again = parseQuantity(shown, kind, system);
    if (!again.ok) throw new Error(`"${text}" is shown as "${shown}", which is refused: ${again.message}`);
    const twice = formatQuantity(again.value, kind, system);
    if (twice !== shown) throw new Error(`"${text}" is shown as "${shown}", and that as "${twice}"`);
    return 'read';
  },
  batch: 10_000,
  usual: 50_000,
};
