/** Which value of the build a part of its network shows, and how that value is written and bounded. Pure. */
import { type Build, RANGE, type RangeName } from '../document/build.ts';
import { numberAt } from '../document/pointer.ts';
import { formatQuantity, type QuantityKind, quantityParts } from '../units.ts';
import type { Element } from './elements.ts';

export interface PartValue {
  /** Where the value stands in the build (JSON Pointer). */
  pointer: string;
  kind: QuantityKind;
  /** Accepted range, SI. */
  range: readonly [number, number];
  /** What it is, for people: `inductance`. */
  what: string;
}

type Entry = readonly [QuantityKind, RangeName, string];

const COIL: Record<string, Entry> = {
  resistance: ['resistance', 'resistance', 'resistance'],
  inductance: ['inductance', 'inductance', 'inductance'],
  capacitance: ['capacitance', 'capacitance', 'own capacitance'],
};
const CHAIN: Record<string, Record<string, Entry>> = {
  cable: {
    length: ['cableLength', 'cableLength', 'cable length'],
    measured: ['capacitance', 'cableTotal', 'cable capacitance'],
    resistancePerMetre: ['resistancePerMetre', 'cableResistance', 'conductor resistance'],
    leakage: ['resistance', 'leakage', 'leakage'],
  },
  buffer: {
    resistance: ['resistance', 'inputResistance', 'buffer input resistance'],
    capacitance: ['capacitance', 'inputCapacitance', 'buffer input capacitance'],
    gain: ['number', 'gain', 'buffer gain'],
    output: ['resistance', 'outputResistance', 'buffer output resistance'],
  },
  input: {
    resistance: ['resistance', 'inputResistance', 'input resistance'],
    capacitance: ['capacitance', 'inputCapacitance', 'input capacitance'],
    series: ['resistance', 'seriesResistance', 'input series resistor'],
  },
};
const BLEED: Record<string, Entry> = {
  capacitance: ['capacitance', 'toneCapacitance', 'bleed capacitor'],
  resistance: ['resistance', 'fixedResistance', 'bleed resistor'],
};
const FIXED: Record<string, Entry> = {
  resistor: ['resistance', 'fixedResistance', 'fixed resistor'],
  capacitor: ['capacitance', 'fixedCapacitance', 'fixed capacitor'],
  inductor: ['inductance', 'fixedInductance', 'fixed inductor'],
};

const PER_METRE: Entry = ['capacitancePerMetre', 'cableCapacitance', 'cable capacitance'];

/** Values of parts that a drawing of the selected position leaves out: coils that are not connected, what a cable has a metre. */
export function undrawnValues(build: Build, drawn: readonly PartValue[]): PartValue[] {
  const known = new Set(drawn.map(({ pointer }) => pointer));
  const of = (pointer: string, [kind, range, what]: Entry): PartValue[] =>
    known.has(pointer) ? [] : [{ pointer, kind, range: RANGE[range], what }];
  return [
    ...build.outputs.flatMap(({ chain }, i) =>
      chain.flatMap((stage, j) =>
        stage.kind === 'cable' && stage.measured === null
          ? of(`/outputs/${i}/chain/${j}/capacitancePerMetre`, PER_METRE)
          : [],
      ),
    ),
    ...build.pickups.flatMap(({ coils }, i) =>
      coils.flatMap((_, j) =>
        Object.entries(COIL).flatMap(([key, entry]) => of(`/pickups/${i}/coils/${j}/${key}`, entry)),
      ),
    ),
  ];
}

/** The value that part `element` shows; null: it has none of its own (an EMF). */
export function partValue(build: Pick<Build, 'outputs'>, element: Element): PartValue | null {
  const { path } = element;
  if (!path || element.kind === 'emf') return null;
  const tokens = path.slice(1).split('/');
  const last = tokens[tokens.length - 1];
  const value = (entry: Entry | undefined, pointer = path): PartValue | null =>
    entry ? { pointer, kind: entry[0], range: RANGE[entry[1]], what: entry[2] } : null;
  if (tokens[0] === 'pickups') {
    if (!path.includes('/loss/')) return value(COIL[last]);
    return value(
      last === 'inductance'
        ? ['inductance', 'inductance', 'section inductance']
        : ['resistance', 'lossResistance', 'loss resistance'],
    );
  }
  if (tokens[0] === 'outputs')
    return value(CHAIN[build.outputs[Number(tokens[1])].chain[Number(tokens[3])].kind][last]);
  if (tokens[1] === 'fixed') return value(FIXED[element.kind], `${path}/value`);
  if (tokens[1] === 'blend') return value(['resistance', 'pot', 'blend pot'], `${path}/value`);
  if (tokens.includes('bleed')) return value(BLEED[last]);
  if (last === 'volume' || last === 'tone') return value(['resistance', 'pot', `${last} pot`], `${path}/value`);
  if (last === 'capacitance') return value(['capacitance', 'toneCapacitance', 'tone capacitor']);
  return null;
}

/** The value in few characters, as schematics write it: `6 k`, `2.5 H`, `22 n`, `5 m`. */
export function shortValue(build: Build, part: PartValue): string {
  const value = numberAt(build, part.pointer);
  if (part.what === 'buffer gain') return `× ${formatQuantity(value, 'number')}`;
  const { number, unit } = quantityParts(value, part.kind);
  if (part.kind === 'inductance') return `${number} ${unit}`;
  if (part.kind === 'resistance') return unit === 'Ω' ? `${number} Ω` : `${number} ${unit.replace('Ω', '')}`;
  if (part.kind === 'capacitance') return `${number} ${unit.replace('F', '')}`;
  return `${number} ${unit}`;
}
