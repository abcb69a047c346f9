/** What the last change did, in a sentence with figures, and whether a listener would notice. Pure. */

import type { Build } from '../../../shared/document/build.ts';
import { valueAt } from '../../../shared/document/pointer.ts';
import { formatQuantity, type QuantityKind, type UnitSystem } from '../../../shared/units.ts';
import { words } from '../../words/path-words.ts';
import { effectsOf } from './change-effects.ts';
import type { Looked } from './station-figures.ts';

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

/** Whether nothing differs but where values come from. */
export const onlyOrigins = (before: Build, after: Build): boolean =>
  changedValues(before, after)?.every(pointer => pointer.endsWith('/origin')) ?? false;

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
  const [now, then] = [is, was].map(x => formatQuantity(x, kind, units));
  return now === then ? name : words.instead(now, then);
}

/** Names of the pickups that alone were changed, if none of them is connected in the selected position; else null. */
function idlePickups(before: Build, after: Build): string | null {
  const changed = changedValues(before, after) ?? [];
  const at = [...new Set(changed.map(pointer => /^\/pickups\/(\d+)\//.exec(pointer)?.[1]))];
  const { positions, selected } = after.harness;
  const pickups = at.map(index => (index === undefined ? undefined : after.pickups[Number(index)]));
  const idle = pickups.flatMap(p => (p && !positions[selected].taps.some(tap => tap.pickup === p.id) ? [p.name] : []));
  return idle.length > 0 && idle.length === at.length ? idle.join(', ') : null;
}

/** What lies between two builds on the same string: the figures that moved, and what listeners would say. */
export function describeChange(before: Looked, after: Looked, step: string): ChangeNote {
  return describeEffects(before, after, causeOf(before.build, after.build, step, after.units));
}

/** As `describeChange`, with the cause in words of one's own. */
export function describeEffects(before: Looked, after: Looked, cause: string): ChangeNote {
  const { effects, heard, residue } = effectsOf(before, after);
  if (effects.length > 0) return { did: words.did(cause, effects), heard };
  if (residue.most === 0) {
    const idle = idlePickups(before.build, after.build);
    const n = after.build.harness.selected + 1;
    return { did: idle === null ? words.sameSound(cause) : words.notConnected(cause, idle, n), heard: '' };
  }
  const name = after.build.instrument.strings[after.string].name;
  const where = words.whereRead(after.point, name);
  if (residue.most < 0.05) return { did: words.belowFigures(cause, where), heard: '' };
  return { did: words.hardly(cause, residue.most.toFixed(2) + ' dB', residue.at, where), heard };
}
