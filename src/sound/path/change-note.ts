/** What the last change did, in a sentence with figures, and whether a listener would notice. Pure. */

import { together } from '../../../shared/circuit/positions.ts';
import type { Build } from '../../../shared/document/build.ts';
import { valueAt } from '../../../shared/document/pointer.ts';
import { loadFigures } from '../../../shared/response/load-figures.ts';
import { LEVEL_STEP, qOfHeight, resonanceStep } from '../../../shared/response/noticeable.ts';
import { formatQuantity, type QuantityKind, type UnitSystem } from '../../../shared/units.ts';
import { words } from '../../words/path-words.ts';
import { decibelText, firstNull, frequencyText, type Looked } from './station-figures.ts';

export interface ChangeNote {
  /** What changed and what it did. */
  did: string;
  /** Whether it is likely to be heard; empty: nothing to say. */
  heard: string;
}

/** Pointers of every plain value in which two builds differ; null when lists of different length differ. */
export function changedValues(before: unknown, after: unknown, at = ''): string[] | null {
  if (before === after) return [];
  if (typeof before !== 'object' || typeof after !== 'object' || before === null || after === null) return [at];
  if (Array.isArray(before) && Array.isArray(after) && before.length !== after.length) return null;
  const keys = new Set([...Object.keys(before), ...Object.keys(after)]);
  const found: string[] = [];
  for (const key of keys) {
    const inner = changedValues(
      (before as Record<string, unknown>)[key],
      (after as Record<string, unknown>)[key],
      `${at}/${key}`,
    );
    if (inner === null) return null;
    found.push(...inner);
  }
  return found;
}

/** How the value at a pointer is written; null: it has no quantity that says something by itself. */
export function kindAt(pointer: string): QuantityKind | null {
  const parts = pointer.split('/');
  const [last, owner] = [parts[parts.length - 1], parts[parts.length - 2]];
  if (parts[1] === 'outputs') {
    if (last === 'length') return 'cableLength';
    if (last === 'capacitancePerMetre') return 'capacitancePerMetre';
    if (last === 'resistancePerMetre') return 'resistancePerMetre';
    if (last === 'measured' || last === 'capacitance') return 'capacitance';
    if (last === 'gain') return 'number';
    if (['resistance', 'leakage', 'series', 'output'].includes(last)) return 'resistance';
  }
  if (last === 'capacitance') return 'capacitance';
  if (last === 'resistance') return 'resistance';
  if (last === 'inductance') return 'inductance';
  if (last === 'cover') return 'frequency';
  if (last === 'sensitivity') return 'sensitivity';
  if (last === 'deviation') return 'percent';
  if (last === 'value') {
    if (owner === 'volume' || owner === 'tone' || owner === 'blend') return 'resistance';
    return null;
  }
  if (last === 'position' || last === 'spread' || last === 'along' || last === 'scale') return 'length';
  if (last === 'slant') return 'angle';
  if (last === 'bass' || last === 'treble' || last === 'width' || last === 'depth') return 'smallLength';
  return null;
}

/** What changed from `before` to `after`: `3 m instead of 5 m`; otherwise the step's own name. */
export function causeOf(before: Build, after: Build, step: string, units: UnitSystem): string {
  const name = step.charAt(0).toUpperCase() + step.slice(1);
  const changed = changedValues(before, after);
  if (changed === null || changed.length !== 1) return name;
  const [pointer] = changed;
  const [was, is] = [valueAt(before, pointer), valueAt(after, pointer)];
  if (pointer === '/harness/selected')
    return words.instead(
      `“${after.harness.positions[after.harness.selected]?.label}”`,
      `“${before.harness.positions[before.harness.selected]?.label}”`,
    );
  if (typeof was !== 'number' || typeof is !== 'number') return name;
  if (pointer.endsWith('/setting')) {
    const tenths = (value: number) => String(Number((value * 10).toFixed(2)));
    const what = pointer.split('/').at(-2)!;
    return words.instead(`${what[0].toUpperCase()}${what.slice(1)} ${tenths(is)}`, tenths(was));
  }
  const kind = kindAt(pointer);
  if (kind === null) return name;
  return words.instead(formatQuantity(is, kind, units), formatQuantity(was, kind, units));
}

const differs = (a: number, b: number, by: number): boolean => Math.abs(a - b) > by;

/** Two frequencies in the unit of the larger: `3.73 → 4.19 kHz`. */
const pairText = (a: number, b: number): [string, string] => {
  const [first, second] = [frequencyText(a), frequencyText(b)];
  const unit = second.slice(second.indexOf(' '));
  return [first.endsWith(unit) ? first.slice(0, -unit.length) : first, second];
};
const decibelPair = (a: number, b: number): [string, string] => [decibelText(a).replace(' dB', ''), decibelText(b)];

/** What lies between two builds on the same string: the figures that moved, and what listeners would say. */
export function describeChange(before: Looked, after: Looked, step: string): ChangeNote {
  const cause = causeOf(before.build, after.build, step, after.units);
  return describeEffects(before, after, cause);
}

/** Level below which a build counts as silent, dB. */
const FAINT = -60;

/** Whether coils that added now work against each other, or the other way round. */
function phaseEffects(before: Build, after: Build): string[] {
  if (before.harness === after.harness && before.pickups === after.pickups) return [];
  const [was, is] = [together(before, 0).phase, together(after, 0).phase];
  if (is === 'out' && was !== 'out') return [words.effects.outOfPhase];
  return was === 'out' && is === 'in' ? [words.effects.inPhase] : [];
}

/** Hum that begins or ceases to cancel. */
function humEffect(before: Build, after: Build): string | null {
  if (before.harness === after.harness && before.pickups === after.pickups) return null;
  const [was, is] = [together(before, 0).humDb, together(after, 0).humDb];
  if (was === is || (Number.isFinite(was) && Number.isFinite(is))) return null;
  return Number.isFinite(is) ? words.effects.humReturns : words.effects.humCancels;
}

/** As `describeChange`, with the cause in words of one's own. */
export function describeEffects(before: Looked, after: Looked, cause: string): ChangeNote {
  const effects: string[] = [];
  let heard = '';
  const [a, b] = [loadFigures(before.build), loadFigures(after.build)];
  if (a && b) {
    if (a.resonance && b.resonance) {
      if (differs(Math.log(a.resonance), Math.log(b.resonance), 0.002))
        effects.push(words.effects.resonance(...pairText(a.resonance, b.resonance)));
      if (differs(a.height, b.height, 0.05)) effects.push(words.effects.height(...decibelPair(a.height, b.height)));
      const steps =
        Math.abs(b.resonance - a.resonance) /
        resonanceStep((a.resonance + b.resonance) / 2, qOfHeight((a.height + b.height) / 2));
      if (steps >= 1) heard = words.heardShift(words.times(steps));
      else if (steps > 0.02) heard = words.unheardShift(words.share(steps));
    } else if (a.resonance) effects.push(words.effects.resonanceGone(frequencyText(a.resonance)));
    else if (b.resonance) effects.push(words.effects.resonanceNew(frequencyText(b.resonance)));
    if (!(a.resonance && b.resonance) && a.corner && b.corner && differs(Math.log(a.corner), Math.log(b.corner), 0.005))
      effects.push(words.effects.corner(...pairText(a.corner, b.corner)));
    const turned = phaseEffects(before.build, after.build);
    effects.push(...turned);
    const step = b.level - a.level;
    // against each other, what is left depends on the string's own phase at each coil
    if (turned.length === 0 && Math.abs(step) > 0.05) {
      effects.push(words.effects.level(decibelText(step)));
      if (!heard) heard = Math.abs(step) >= LEVEL_STEP ? words.heardLevel : words.unheardLevel;
    }
    // where next to nothing is left of the coils either, it is not the hum that cancels
    const hum = Math.min(a.level, b.level) < FAINT ? null : humEffect(before.build, after.build);
    if (hum) effects.push(hum);
  }
  if (a && !b) effects.push(words.effects.silent);
  if (b && !a) effects.push(words.effects.sounding);
  const [m, n] = [firstNull(before), firstNull(after)];
  if (m && n && differs(Math.log(m), Math.log(n), 0.002)) effects.push(words.effects.firstNull(...pairText(m, n)));
  if (effects.length === 0) return { did: words.nothingChanged(cause), heard: '' };
  return { did: words.did(cause, effects), heard: heard || words.tryBlind };
}
