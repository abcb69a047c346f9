/** `lab figures`: every selector position's level and resonance, and the nulls of every string, as CSV tables. */
import type { Build } from '../../shared/document/build.ts';
import { pluckLevel, responseNulls } from '../../shared/response/figures.ts';
import { loadFigures } from '../../shared/response/load-figures.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';

const cell = (value: number | null | undefined, digits: number): string =>
  value === null || value === undefined || !Number.isFinite(value) ? '' : value.toFixed(digits);
const quoted = (text: string): string => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** The build with another selector position. */
const at = (build: Build, selected: number): Build => ({ ...build, harness: { ...build.harness, selected } });

function positions(build: Build, output: number): string[] {
  const reference = pluckLevel(build, 5, output);
  return build.harness.positions.map((position, p) => {
    const selected = at(build, p);
    const load = loadFigures(selected);
    return [
      p === build.harness.selected ? `${p}*` : String(p),
      quoted(position.label),
      cell(pluckLevel(selected, 5, output) - reference, 2),
      cell(load?.resonance, 1),
      load?.resonance == null ? '' : cell(load.height, 2),
      cell(load?.corner, 1),
    ].join(',');
  });
}

/** Tables of a build at output `output` (index), string nulls up to `limit` Hz at `fret`. */
export function figuresText(build: Build, output: number, fret: number, limit: number): string {
  const coils = build.pickups.flatMap(pickup =>
    pickup.coils.flatMap(coil =>
      build.instrument.strings.map((string, s) => {
        const on = coilOnString(build, pickup, coil, s);
        const level = on.level > 0 ? cell(20 * Math.log10(on.level), 2) : '';
        return `${pickup.id}.${coil.id},${s + 1},${quoted(string.name)},${cell(on.x * 1000, 3)},${cell(on.gap * 1000, 3)},${cell(on.offset * 1000, 3)},${level}`;
      }),
    ),
  );
  const nulls = build.instrument.strings.flatMap((string, s) =>
    responseNulls(build, s, limit, fret, output).map(
      n => `${s + 1},${quoted(string.name)},${cell(n.frequency, 2)},${cell(n.partial, 3)},${n.cause}`,
    ),
  );
  return [
    '# selector positions at test point 5; * is selected; level is of plucked strings in general, re the selected one',
    'position,label,level_db,resonance_hz,height_db,minus_3_db_hz',
    ...positions(build, output),
    '',
    '# coils on strings; level re a string centred at the reference distance',
    'coil,string,name,from_saddle_mm,height_mm,beside_pole_mm,level_db',
    ...coils,
    '',
    `# nulls up to ${limit} Hz in the selected position; partial as counted at fret ${fret}`,
    'string,name,frequency_hz,partial,cause',
    ...nulls,
    '',
  ].join('\n');
}
