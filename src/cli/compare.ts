/** `lab compare`: what differs between two builds, in words, and their key figures side by side, as CSV. */
import type { Build } from '../../shared/document/build.ts';
import { differences, differenceText } from '../../shared/document/comparing/difference.ts';
import { pluckLevel, responseNulls } from '../../shared/response/figures.ts';
import { loadFigures } from '../../shared/response/load-figures.ts';
import { combNulls } from '../../shared/sensor/comb.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import { stringModel } from '../../shared/string/stiff.ts';

const NULL_LIMIT = 10_000;

interface Row {
  name: string;
  a: number | null;
  b: number | null;
  digits: number;
}

const cell = (value: number | null, digits: number): string =>
  value === null || !Number.isFinite(value) ? '' : value.toFixed(digits);
const quoted = (text: string): string => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

const line = ({ name, a, b, digits }: Row): string =>
  [quoted(name), cell(a, digits), cell(b, digits), a === null || b === null ? '' : cell(b - a, digits)].join(',');

/** First null of a string in the selected position, Hz; null: none below the limit, or no such string. */
const firstNull = (build: Build, s: number): number | null =>
  s < build.instrument.strings.length ? (responseNulls(build, s, NULL_LIMIT)[0]?.frequency ?? null) : null;

/** First node over a coil, Hz. */
const firstNode = (build: Build, key: string, s: number): number | null => {
  const [pickupId, coilId] = key.split('.');
  const pickup = build.pickups.find(p => p.id === pickupId);
  const coil = pickup?.coils.find(c => c.id === coilId);
  if (!pickup || !coil || s >= build.instrument.strings.length) return null;
  const { x } = coilOnString(build, pickup, coil, s);
  return combNulls(stringModel(build.instrument.strings[s]), x, 20_000)[0]?.frequency ?? null;
};

export function compareText(a: Build, b: Build): string {
  const [loadA, loadB] = [loadFigures(a), loadFigures(b)];
  const [levelA, levelB] = [pluckLevel(a, 5), pluckLevel(b, 5)];
  const keys = [...new Set([a, b].flatMap(x => x.pickups.flatMap(p => p.coils.map(c => `${p.id}.${c.id}`))))];
  const lowest = Math.max(a.instrument.strings.length, b.instrument.strings.length);
  const names = (a.instrument.strings.length >= b.instrument.strings.length ? a : b).instrument.strings.map(
    s => s.name,
  );
  const rows: Row[] = [
    { name: 'level of plucked strings in general at test point 5, dB re 1 V/N', a: levelA, b: levelB, digits: 2 },
    { name: 'resonance, Hz', a: loadA?.resonance ?? null, b: loadB?.resonance ?? null, digits: 1 },
    {
      name: 'height of the resonance, dB',
      a: loadA?.resonance == null ? null : loadA.height,
      b: loadB?.resonance == null ? null : loadB.height,
      digits: 2,
    },
    { name: '-3 dB, Hz', a: loadA?.corner ?? null, b: loadB?.corner ?? null, digits: 1 },
    ...Array.from({ length: lowest }, (_, s) => ({
      name: `first null of string ${s + 1} ${names[s]} in the selected position, Hz`,
      a: firstNull(a, s),
      b: firstNull(b, s),
      digits: 2,
    })),
    ...keys.map(key => ({
      name: `first node of string ${lowest} over coil ${key}, Hz`,
      a: firstNode(a, key, lowest - 1),
      b: firstNode(b, key, lowest - 1),
      digits: 2,
    })),
  ];
  const list = differences(a, b);
  return [
    `# a: ${a.name}`,
    `# b: ${b.name}`,
    '# what b has otherwise than a',
    ...(list.length === 0 ? ['# nothing'] : list.map(one => `# ${differenceText(one)}`)),
    'figure,a,b,b_minus_a',
    ...rows.map(line),
    '',
  ].join('\n');
}
