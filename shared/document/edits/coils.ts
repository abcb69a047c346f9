/** Edits of a pickup's coils: how many, under which strings, how far apart, their windows and losses. */
import { clamp } from '../../sensor/limits.ts';
import { steelLoss } from '../../sensor/typical.ts';
import { type Build, type Coil, type Loss, MOST, type Pickup, RANGE } from '../build.ts';
import { freeId } from './lists.ts';
import { setPickup } from './pickups.ts';
import type { Edited } from './settle.ts';

const mm = 1e-3;

/**
 * The pickup as another kind. Coils are kept as far as the new kind has room; a second coil is the first with opposite
 * pole and winding.
 */
export function asKind(pickup: Pickup, kind: Pickup['kind'], strings: number): Pickup {
  if (kind === pickup.kind) return pickup;
  const [first] = pickup.coils;
  if (kind === 'free') return { ...pickup, kind };
  if (kind === 'single') return { ...pickup, kind, coils: [{ ...first, along: 0, strings: null }] };
  const second: Coil = pickup.coils[1] ?? {
    ...first,
    id: freeId(`${first.id}-2`, [first.id]),
    polarity: first.polarity === 1 ? -1 : 1,
    winding: first.winding === 1 ? -1 : 1,
  };
  const pair: [Coil, Coil] = [
    { ...first, strings: null },
    { ...second, strings: null },
  ];
  if (kind === 'stacked') return { ...pickup, kind, coils: pair.map(c => ({ ...c, along: 0 })) };
  const apart = kind === 'split' ? 14 * mm : 9.25 * mm;
  const [a, b] = pair.map((c, i) => ({ ...c, along: i === 0 ? apart : -apart }));
  if (kind === 'double') return { ...pickup, kind, coils: [a, b] };
  const numbers = Array.from({ length: strings }, (_, i) => i + 1);
  const half = Math.max(1, strings >> 1);
  return {
    ...pickup,
    kind,
    coils: [
      { ...a, strings: numbers.slice(half).length > 0 ? numbers.slice(half) : numbers },
      { ...b, strings: numbers.slice(0, half) },
    ],
  };
}

/** Inductance that stands in the sections of a loss, H. */
const inSections = (loss: Loss): number =>
  loss.kind === 'ladder' ? loss.sections.reduce((sum, one) => sum + one.inductance, 0) : 0;

/** Inductance of a coil at low frequencies, its loss's sections included, H: what a meter reads. */
export const wholeInductance = (coil: Coil): number => coil.inductance + inSections(coil.loss);

/** A loss of another kind for a coil, with values that lie in the middle for it. */
export function asLoss(kind: Loss['kind'], coil: Coil): Loss {
  if (kind === 'none') return { kind };
  const whole = wholeInductance(coil);
  if (kind === 'eddy') {
    const loss = steelLoss(whole);
    return loss.kind === 'eddy' ? { kind, resistance: clamp(loss.resistance, RANGE.lossResistance) } : loss;
  }
  return {
    kind,
    sections: [
      { inductance: clamp(whole * 0.25, RANGE.inductance), resistance: 20e3 },
      { inductance: clamp(whole * 0.12, RANGE.inductance), resistance: 90e3 },
    ],
  };
}

/** Most of a coil's inductance that sections may hold. */
const MOST_IN_SECTIONS = 0.9;

/** The coil with another loss and the inductance it had at low frequencies: sections take their part out of it. */
export function withLoss(coil: Coil, loss: Loss): Coil {
  const whole = wholeInductance(coil);
  const most = MOST_IN_SECTIONS * whole;
  const scale = Math.min(1, most / Math.max(most, inSections(loss)));
  const fitting: Loss =
    loss.kind === 'ladder' && scale < 1
      ? {
          ...loss,
          sections: loss.sections.map(one => ({
            ...one,
            inductance: clamp(one.inductance * scale, RANGE.inductance),
          })),
        }
      : loss;
  const rest = Number((whole - inSections(fitting)).toPrecision(12));
  return { ...coil, inductance: clamp(rest, RANGE.inductance), loss: fitting, origin: 'entered' };
}

/** Changes the coils of a pickup; `index` is a coil's place in its list. */
export const setCoils = (build: Build, pickup: string, change: (coil: Coil, index: number) => Coil): Edited =>
  setPickup(build, pickup, p => {
    const coils = p.coils.map(change);
    return coils.every((c, i) => c === p.coils[i]) ? p : { ...p, coils };
  });

/** A pickup as another kind: coils are kept as far as the new kind has room. */
export const setKind = (build: Build, pickup: string, kind: Pickup['kind']): Edited =>
  setPickup(build, pickup, p => asKind(p, kind, build.instrument.strings.length));

/** One coil more, like the last. */
export const addCoil = (build: Build, pickup: string): Edited =>
  setPickup(build, pickup, p => {
    const id = freeId(
      'coil',
      p.coils.map(c => c.id),
    ); // prettier-ignore
    return p.coils.length < MOST.coils ? { ...p, coils: [...p.coils, { ...p.coils[p.coils.length - 1], id }] } : p;
  });

/** Without a coil; the last one stays. */
export const removeCoil = (build: Build, pickup: string, coil: string): Edited =>
  setPickup(build, pickup, p => {
    const coils = p.coils.filter(c => c.id !== coil);
    return coils.length > 0 && coils.length < p.coils.length ? { ...p, coils } : p;
  });

/** Two coils `spacing` m apart about the middle they have, or as near to it as both have room. */
export const setSpacing = (build: Build, pickup: string, spacing: number): Edited =>
  setPickup(build, pickup, p => {
    const [first, second] = p.coils;
    if (p.coils.length !== 2) return p;
    const side = first.along >= second.along ? spacing / 2 : -spacing / 2;
    const [low, high] = RANGE.along;
    const half = Math.abs(spacing) / 2;
    const centre = clamp((first.along + second.along) / 2, [low + half, high - half]);
    const place = (along: number) => clamp(along, RANGE.along);
    return {
      ...p,
      coils: [
        { ...first, along: place(centre + side) },
        { ...second, along: place(centre - side) },
      ],
    };
  });

/** Whether a coil lies under a string, by number; the last string under it stays. Under all of them: null. */
export const setUnder = (build: Build, pickup: string, coil: string, string: number, on: boolean): Edited =>
  setCoil(build, pickup, coil, c => {
    const all = build.instrument.strings.map((_, i) => i + 1);
    const strings = all.filter(n => (n === string ? on : (c.strings?.includes(n) ?? true)));
    if (strings.length === 0) return c;
    return { ...c, strings: strings.length === all.length ? null : strings };
  });

/** A coil's loss as another kind or with other sections; its inductance at low frequencies stays. */
export const setLoss = (build: Build, pickup: string, coil: string, loss: Loss): Edited =>
  setCoil(build, pickup, coil, c => withLoss(c, loss));

/** One coil of a pickup changed. */
export const setCoil = (build: Build, pickup: string, coil: string, change: (coil: Coil) => Coil): Edited =>
  setCoils(build, pickup, c => (c.id === coil ? change(c) : c));
