/** `lab compare`: what differs between two builds, in words, and their figures at test point 5 side by side, as CSV. */
import type { Build } from '../../shared/document/build.ts';
import { differences, differenceText } from '../../shared/document/comparing/difference.ts';
import type { Dip } from '../../shared/response/dips.ts';
import { buildFigures, OCTAVES, outputFigures } from '../../shared/response/figures.ts';
import { type Figure, figureValue, figureValues } from '../../shared/response/quantities.ts';
import { combNulls } from '../../shared/sensor/comb.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import { matchingString } from '../../shared/string/matching.ts';
import { stringModel } from '../../shared/string/stiff.ts';
import { quantities } from '../words/quantity-words.ts';

const DIPS_SHOWN = 2;

interface Row {
  name: string;
  a: number | null;
  b: number | null;
  digits: number;
}

const cell = (value: number | null, digits: number): string =>
  value === null || Number.isNaN(value) ? '' : value.toFixed(digits);
const quoted = (text: string): string => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** A difference is told where both are there; from what cancels (−Infinity) nothing is so many decibels away. */
const line = ({ name, a, b, digits }: Row): string => {
  const difference = a === null || b === null || !Number.isFinite(b - a) ? null : b - a;
  return [quoted(name), cell(a, digits), cell(b, digits), cell(difference, digits)].join(',');
};

/** First node of a string over a coil, Hz; null: there is no such coil. */
const firstNode = (build: Build, key: string, s: number): number | null => {
  const [pickupId, coilId] = key.split('.');
  const pickup = build.pickups.find(p => p.id === pickupId);
  const coil = pickup?.coils.find(c => c.id === coilId);
  if (!pickup || !coil) return null;
  const { x } = coilOnString(build, pickup, coil, s);
  return combNulls(stringModel(build.instrument.strings[s]), x, 20_000)[0]?.frequency ?? null;
};

function soundRows(a: readonly Figure[], b: readonly Figure[]): Row[] {
  const [levelA, levelB] = [figureValue(a, 'level'), figureValue(b, 'level')];
  // the zero of the page: the first build
  const base = levelA ?? levelB ?? 0;
  const both = (name: string, quantity: 'resonance' | 'peak' | 'hum', digits: number): Row => ({
    name,
    a: figureValue(a, quantity),
    b: figureValue(b, quantity),
    digits,
  });
  return [
    {
      name: `${quantities.level.name} at test point 5 against a, dB`,
      a: levelA === null ? null : levelA - base,
      b: levelB === null ? null : levelB - base,
      digits: 2,
    },
    both(`${quantities.resonance.name}, Hz`, 'resonance', 1),
    both(`${quantities.peak.name}, dB`, 'peak', 2),
    ...OCTAVES.map((octave, i) => ({
      name: `octave at ${octave / 1000} kHz against 250 Hz, dB`,
      a: figureValues(a, 'octave')[i] ?? null,
      b: figureValues(b, 'octave')[i] ?? null,
      digits: 2,
    })),
    both(`${quantities.hum.name}, dB`, 'hum', 2),
  ];
}

/** Strings that both builds have, by name; what is left of either is not compared. */
function stringRows(a: Build, b: Build): Row[] {
  return a.instrument.strings.flatMap((string, s) => {
    const other = matchingString(a.instrument, s, b.instrument);
    if (other === null) return [];
    const [p, q] = [buildFigures(a, { string: s, point: 5 }).dips, buildFigures(b, { string: other, point: 5 }).dips];
    const value = (dip: Dip | undefined, key: 'frequency' | 'depth') => dip?.[key] ?? null;
    return Array.from({ length: DIPS_SHOWN }, (_, n) => n).flatMap(n => {
      if (!p[n] && !q[n]) return [];
      const name = `dip ${n + 1} of string ${s + 1} ${string.name}`;
      return [
        { name: `${name}, Hz`, a: value(p[n], 'frequency'), b: value(q[n], 'frequency'), digits: 2 },
        { name: `${name}, dB deep`, a: value(p[n], 'depth'), b: value(q[n], 'depth'), digits: 1 },
      ];
    });
  });
}

export function compareText(a: Build, b: Build): string {
  const keys = [...new Set([a, b].flatMap(x => x.pickups.flatMap(p => p.coils.map(c => `${p.id}.${c.id}`))))];
  const lowest = a.instrument.strings.length - 1;
  const match = matchingString(a.instrument, lowest, b.instrument);
  const alone = a.instrument.strings.filter((_, s) => matchingString(a.instrument, s, b.instrument) === null);
  const list = differences(a, b);
  return [
    `# a: ${a.name}`,
    `# b: ${b.name}`,
    '# what b has otherwise than a',
    ...(list.length === 0 ? ['# nothing'] : list.map(one => `# ${differenceText(one)}`)),
    ...(alone.length === 0
      ? []
      : [`# b has no string ${alone.map(string => string.name).join(', ')}: not compared string by string`]),
    'figure,a,b,b_minus_a',
    ...[
      ...soundRows(outputFigures(a, 5), outputFigures(b, 5)),
      ...stringRows(a, b),
      ...keys.map(key => ({
        name: `first node of string ${lowest + 1} over coil ${key}, Hz`,
        a: firstNode(a, key, lowest),
        b: match === null ? null : firstNode(b, key, match),
        digits: 2,
      })),
    ].map(line),
    '',
  ].join('\n');
}
