/** The figures of a string with where each comes from, for showing beside them. */
import type { StringSpec } from '../document/build.ts';
import { isRecordedB } from './sets.ts';
import { type StringModel, stringModel } from './stiff.ts';

export type MassSource = 'entered' | 'computed-plain' | 'computed-wound';
export type InharmonicitySource = 'recorded' | 'entered' | 'computed-plain' | 'computed-core';

export interface StringFigures extends StringModel {
  sources: { mass: MassSource; tension: MassSource; inharmonicity: InharmonicitySource };
}

/** One sentence a source, for tables and tooltips. */
export const SOURCE_TEXT: Record<MassSource | InharmonicitySource, string> = {
  recorded: 'measured on the recorded string',
  entered: 'as entered',
  'computed-plain': 'computed from the gauge as solid steel, 7850 kg/m³',
  'computed-wound': 'computed from gauge and core as round steel wire on a round core, 7850 kg/m³',
  'computed-core': 'computed from the steel core, 200 GPa',
};

/** Mass, tension (N), speed (m/s) and inharmonicity of the open string, each with its source. */
export const describeString = (spec: StringSpec): StringFigures => {
  const mass: MassSource =
    spec.unitWeight !== null ? 'entered' : spec.core === null ? 'computed-plain' : 'computed-wound';
  const inharmonicity: InharmonicitySource =
    spec.inharmonicity !== null
      ? isRecordedB(spec)
        ? 'recorded'
        : 'entered'
      : spec.core === null
        ? 'computed-plain'
        : 'computed-core';
  return { ...stringModel(spec), sources: { mass, tension: mass, inharmonicity } };
};
