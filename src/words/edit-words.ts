/** Words on what an edit took along, put in, or could not do. */
import type { Went } from '../../shared/document/edits/settle.ts';
import { formatQuantity, type UnitSystem } from '../../shared/units.ts';

const PARTS = { resistor: 'resistor', capacitor: 'capacitor', inductor: 'inductor' } as const;
const PART_VALUE = { resistor: 'resistance', capacitor: 'capacitance', inductor: 'inductance' } as const;
/** Things said one by one; more are counted. */
const MOST = 3;

/** A tenth of a millimetre is enough to say. */
const shown = (length: number): number => Number(length.toFixed(4));

function line(one: Went, units: UnitSystem): string {
  switch (one.kind) {
    case 'part':
      return `the ${formatQuantity(one.part.value, PART_VALUE[one.part.kind])} ${PARTS[one.part.kind]} (${one.place}) went with it`;
    case 'control':
      return `${one.name} went with it`;
    case 'blend':
      return 'the blend pot went with it';
    case 'position':
      return `selector position “${one.label}” had nothing left and went with it`;
    case 'coils':
      return `position “${one.position}” now uses all of ${one.pickup}, as the coil it used is gone`;
    case 'moved':
      return `${one.pickup} was moved to where it can stand`;
    case 'scaled': {
      const list = one.pickups.map(
        ({ name, from, to }) =>
          `${name} ${formatQuantity(shown(from), 'length', units)} → ${formatQuantity(shown(to), 'length', units)}`,
      );
      return `pickups keep their share of the scale length (${list.join(', ')}), their poles lie under the strings`;
    }
    case 'added':
      return `${one.name} was put in`;
    case 'take':
      return `“${one.name}” cannot be played on this instrument, so “${one.instead}” was chosen`;
    case 'nowhere':
      return `${one.pickup} could stand nowhere on such strings, so nothing was changed`;
  }
}

export const words = {
  /** One sentence on everything that went with an edit. */
  went: (went: readonly Went[], units: UnitSystem = 'mm'): string => {
    const lines = went.slice(0, MOST).map(one => line(one, units));
    const more = went.length - lines.length;
    const text = [...lines, ...(more > 0 ? [`${more} more`] : [])].join('; ');
    return `${text[0].toUpperCase()}${text.slice(1)}.`;
  },
  refused: (step: string, why: string) => `“${step}” was not done: the build would not be valid (${why}).`,
};
