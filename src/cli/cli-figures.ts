/** `lab figures`: every selector position's figures, the load in one line, where coils stand, the dips of every string. */
import { dbOfAmplitude } from '../../shared/decibels.ts';
import type { Build } from '../../shared/document/build.ts';
import { buildFigures, OCTAVES, outputFigures } from '../../shared/response/figures.ts';
import { figureValue, figureValues } from '../../shared/response/quantities.ts';
import { positionFigures } from '../../shared/response/selector-figures.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import { loadText, modelledLegend } from '../parts/figure-text.ts';
import { quantities } from '../words/quantity-words.ts';

const cell = (value: number | null | undefined, digits: number): string =>
  value === null || value === undefined ? '' : value.toFixed(digits);
const quoted = (text: string): string => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
const column = (quantity: keyof typeof quantities): string => quantities[quantity].column;

function positions(build: Build, output: number): string[] {
  return positionFigures(build)
    .filter(row => row.output === output)
    .map(({ position, label, level, figures }) =>
      [
        position === build.harness.selected ? `${position}*` : String(position),
        quoted(label),
        cell(level, 2),
        cell(figureValue(figures, 'resonance'), 1),
        cell(figureValue(figures, 'peak'), 2),
        ...OCTAVES.map((_, i) => cell(figureValues(figures, 'octave')[i], 2)),
        cell(figureValue(figures, 'hum'), 2),
      ].join(','),
    );
}

/** Tables of a build at output `output` (index), dips of strings up to `limit` Hz at `fret`. */
export function figuresText(build: Build, output: number, fret: number, limit: number): string {
  const coils = build.pickups.flatMap(pickup =>
    pickup.coils.flatMap(coil =>
      build.instrument.strings.map((string, s) => {
        const on = coilOnString(build, pickup, coil, s);
        const level = on.level > 0 ? cell(dbOfAmplitude(on.level), 2) : '';
        return `${pickup.id}.${coil.id},${s + 1},${quoted(string.name)},${cell(on.x * 1000, 3)},${cell(on.gap * 1000, 3)},${cell(on.offset * 1000, 3)},${level}`;
      }),
    ),
  );
  const dips = build.instrument.strings.flatMap((string, s) =>
    buildFigures(build, { string: s, point: 5, fret, output, limit }).dips.map(
      dip =>
        `${s + 1},${quoted(string.name)},${cell(dip.frequency, 2)},${cell(dip.depth, 1)},${dip.complete ? 'yes' : 'no'},${cell(dip.partial, 3)},${dip.cause ?? 'several'},${dip.pickup ?? ''}`,
    ),
  );
  return [
    '# selector positions at test point 5; * is selected; level is against the selected one, octaves against 250 Hz',
    `position,label,${column('level')},${column('resonance')},${column('peak')},${OCTAVES.map(f => `octave_${f / 1000}k_db`).join(',')},${column('hum')}`,
    ...positions(build, output),
    '',
    `# ${loadText(outputFigures(build, 5, output)) || 'nothing is connected'}`,
    '',
    `# coils on strings; level_db (≈) re a string centred at the reference distance. ${modelledLegend()}`,
    'coil,string,name,from_saddle_mm,gap_mm,beside_pole_mm,level_db',
    ...coils,
    '',
    `# dips up to ${limit} Hz at test point 5 in the selected position, below the line through their shoulders; partial as counted at fret ${fret}`,
    `string,name,${column('dip')},${column('depth')},complete,${column('partial')},cause,pickup`,
    ...dips,
    '',
  ].join('\n');
}
