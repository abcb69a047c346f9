/** The rows of the build sheet's tables: pickups, distances from the saddle, strings with their dips, selector. Pure. */

import type { Build, Stage } from '../../shared/document/build.ts';
import { wholeInductance } from '../../shared/document/edits/coils.ts';
import { buildFigures } from '../../shared/response/figures.ts';
import { figureValue } from '../../shared/response/quantities.ts';
import type { PositionFigures } from '../../shared/response/selector-figures.ts';
import { coilOnString, isUnder } from '../../shared/sensor/placement.ts';
import { describeString, SOURCE_TEXT } from '../../shared/string/describe.ts';
import { gaugeUnit } from '../../shared/string/gauge-unit.ts';
import { formatQuantity, type QuantityKind, type UnitSystem } from '../../shared/units.ts';
import { decibelText, dipText, frequencyText, humText, modelledIf, octavesText } from '../parts/figure-text.ts';
import { mixedPosition, unlikePositions } from '../sound/path/aperture-figures.ts';
import { dimensionNumber } from '../sound/plan/plan-figures.ts';
import { words } from '../words/build-sheet-words.ts';

const DIPS_SHOWN = 5;

/** In few figures; a length as it is shown elsewhere, since rounded millimetres are no inches. */
const figure = (value: number, kind: QuantityKind, units: UnitSystem, digits = 3): string =>
  formatQuantity(kind === 'smallLength' && units === 'in' ? value : Number(value.toPrecision(digits)), kind, units);

export function pickupRows(build: Build, units: UnitSystem): string[][] {
  return build.pickups.map(p => [
    p.name,
    `${dimensionNumber(p.position, units)} ${units}`,
    `${((p.slant * 180) / Math.PI).toFixed(1)}°`,
    figure(p.height.bass, 'smallLength', units),
    figure(p.height.treble, 'smallLength', units),
    words.poles[p.poles.kind](
      `${dimensionNumber(p.poles.spread, units)} ${units}`,
      figure(p.poles.size, 'smallLength', units),
      figure(p.poles.pair, 'smallLength', units),
    ),
    p.coils
      .map(
        c =>
          `${c.id} ${figure(c.resistance, 'resistance', units, 4)}, ${figure(wholeInductance(c), 'inductance', units, 4)}, ${figure(c.capacitance, 'capacitance', units, 4)} (${words.origins[c.origin]}${c.note ? `: ${c.note}` : ''})`,
      )
      .join('; '),
  ]);
}

export function distanceRows(build: Build, units: UnitSystem): string[][] {
  return build.pickups.flatMap(pickup =>
    pickup.coils.map(coil => [
      pickup.coils.length > 1 ? `${pickup.name}, ${coil.id}` : pickup.name,
      ...build.instrument.strings.map((_, s) =>
        isUnder(coil, s) ? dimensionNumber(coilOnString(build, pickup, coil, s).x, units) : words.none,
      ),
    ]),
  );
}

export function stringRows(build: Build, units: UnitSystem): string[][] {
  const mixed = mixedPosition(build, build.harness.selected);
  return build.instrument.strings.map((string, s) => {
    const { dips } = buildFigures(build, { string: s, point: 5 });
    const shown = dips
      .slice(0, DIPS_SHOWN)
      .map(dip => `${modelledIf(mixed, dipText(dip))} (${dip.partial.toFixed(1)})`);
    const rest = dips.length - shown.length;
    return [
      `${s + 1}  ${string.name}`,
      `${dimensionNumber(string.scale, units)} ${units}`,
      formatQuantity(string.gauge, 'gauge', gaugeUnit(string)),
      figure(string.pitch, 'frequency', units, 5),
      shown.length === 0 ? words.noDips : shown.join('; ') + (rest > 0 ? `, ${words.more(rest)}` : ''),
    ];
  });
}

const stageText = (stage: Stage, units: UnitSystem): string => {
  const pf = (value: number) => figure(value, 'capacitance', units, 4);
  if (stage.kind !== 'cable')
    return words.stage(
      stage.name,
      figure(stage.resistance, 'resistance', units, 4),
      stage.capacitance > 0 ? pf(stage.capacitance) : '',
    );
  const length = figure(stage.length, 'cableLength', units, 4);
  return stage.measured === null
    ? words.cable(
        length,
        formatQuantity(stage.capacitancePerMetre, 'capacitancePerMetre', units),
        pf(stage.length * stage.capacitancePerMetre),
      )
    : words.measuredCable(length, pf(stage.measured));
};

/** What is plugged in, a line a jack. */
export const chainLines = ({ outputs }: Build, units: UnitSystem): string[] =>
  outputs.map(({ name, chain }) => {
    const list = chain.map(stage => stageText(stage, units)).join('; ') || words.nothingPlugged;
    return outputs.length > 1 ? words.pluggedAt(name, list) : words.plugged(list);
  });

/** Which strings the figures are of: B of each, and where it comes from. */
export function stringsNote({ instrument: { strings } }: Build): string {
  const described = strings.map(string => ({ name: string.name, ...describeString(string) }));
  const sources = [...new Set(described.map(one => one.sources.inharmonicity))];
  const groups = sources.map(source => {
    const own = described.filter(one => one.sources.inharmonicity === source);
    const list = own.map(({ name, B }) => `${name} ${figure(B, 'number', 'mm')}`).join(', ');
    return words.sameSource(list, SOURCE_TEXT[source]);
  });
  return words.stringsOf(groups.join('; '));
}

export function selectorRow(build: Build, row: PositionFigures): string[] {
  const output = build.outputs.length > 1 ? `, ${build.outputs[row.output].name}` : '';
  const start = [row.position === build.harness.selected ? '▸' : String(row.position + 1), row.label + output];
  if (row.problem) return [...start, row.problem];
  const [resonance, peak, hum] = (['resonance', 'peak', 'hum'] as const).map(name => figureValue(row.figures, name));
  return [
    ...start,
    row.coils.join(', ') || words.none,
    words.phases[row.phase],
    row.level === null ? words.cancels : modelledIf(unlikePositions(build, row.position), decibelText(row.level)),
    resonance === null ? words.none : frequencyText(resonance),
    peak === null ? words.none : decibelText(peak),
    modelledIf(mixedPosition(build, row.position), octavesText(row.figures)),
    humText(hum),
  ];
}
