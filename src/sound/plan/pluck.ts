/** Where the take that is chosen was plucked, for the marker on the plan. */
import type { Instrument } from '../../../shared/document/build.ts';
import type { Sheet } from '../../../shared/document/sheet.ts';
import type { Limits } from '../../../shared/sensor/limits.ts';
import { usualPluck } from '../../../shared/take/modelled.ts';
import { scoreFor } from '../../../shared/take/scores.ts';
import { takes } from '../../workers/shipped-takes.ts';

/** m from the saddle. `score`: modelled, as its score says; `recorded`: where it was plucked nobody wrote down. */
export type Plucked =
  | { by: 'own'; at: number; heard: boolean }
  | { by: 'score'; from: number; to: number }
  | { by: 'recorded' };

/** Accepted pluck points, m: on every string's speaking length. */
export const pluckRange = ({ strings }: Instrument): Limits => [
  0.005,
  Math.min(0.6, 0.9 * Math.min(...strings.map(s => s.scale))),
];

/** Where a pluck point of one's own starts: where scores pluck that say nothing else, m. */
export const pluckStart = ({ strings }: Instrument): number => usualPluck(...strings.map(s => s.scale));

export function plucked({ take, pluck }: Pick<Sheet, 'take' | 'pluck'>, instrument: Instrument): Plucked {
  const modelled = takes.find(t => t.id === take)?.kind === 'modelled';
  if (pluck !== null) return { by: 'own', at: pluck, heard: modelled };
  const score = modelled ? scoreFor(take, instrument) : null;
  if (!score) return { by: 'recorded' };
  const usual = instrument.strings.map(s => usualPluck(s.scale));
  const places = score.notes.flatMap(note => (note.pluck === undefined ? usual : [note.pluck]));
  return { by: 'score', from: Math.min(...places), to: Math.max(...places) };
}
