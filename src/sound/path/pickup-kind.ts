/** A pickup as another kind, and a coil's loss as another: what is kept and what is put in. Pure. */
import type { Build, Coil, Loss, Pickup } from '../../../shared/document/build.ts';
import { freeId } from '../../../shared/document/edits/changes.ts';

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

/** A coil's loss as another kind, with values that lie in the middle for it. */
export function asLoss(kind: Loss['kind'], coil: Coil): Loss {
  if (kind === 'none') return { kind };
  if (kind === 'eddy') return { kind, resistance: 300e3 };
  return {
    kind,
    sections: [
      { inductance: coil.inductance * 0.25, resistance: 20e3 },
      { inductance: coil.inductance * 0.12, resistance: 90e3 },
    ],
  };
}

/** Drops taps' mention of coils that the pickups no longer have. */
export function withLiveTaps(build: Build): Build {
  const coils = new Map(build.pickups.map(p => [p.id, p.coils.map(c => c.id)]));
  return {
    ...build,
    harness: {
      ...build.harness,
      positions: build.harness.positions.map(position => ({
        ...position,
        taps: position.taps.map(tap => {
          const kept = tap.coils?.filter(c => coils.get(tap.pickup)?.includes(c)) ?? null;
          return { ...tap, coils: kept && kept.length > 0 ? kept : null };
        }),
      })),
    },
  };
}
