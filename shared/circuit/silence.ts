/** Why next to nothing comes out of a harness: the part to look at, found by trying without it. */
import { power } from '../complex.ts';
import { CircuitError } from './elements.ts';
import { harnessGains } from './harness.ts';
import type { Wired } from './solder-places.ts';

export type Silence =
  /** The selected position connects no pickup. */
  | { readonly kind: 'open' }
  /** A fixed part shorts the signal; index among the fixed parts. */
  | { readonly kind: 'fixed'; readonly index: number }
  /** A volume control is turned all the way down; index among the controls. */
  | { readonly kind: 'volume'; readonly index: number };

/** Gain of the loudest coil below which an output counts as silent: −60 dB. */
const SILENT = 1e-3;
/** A part is the cause when the harness without it is at least this much louder. */
const LOUDER = 30;
const LOW = Float64Array.of(100);

/** Gain of the loudest coil at any output, each coil by itself, so that cancelling coils are not silent; 0: none. */
function loudest(wired: Wired): number {
  try {
    return Math.max(
      0,
      ...harnessGains(wired, 5, LOW).flatMap(gains => [...gains.values()].map(g => Math.sqrt(power(g, 0)))),
    );
  } catch (error) {
    if (error instanceof CircuitError) return 0;
    throw error;
  }
}

/** The cause of silence in the selected position; null: it sounds, or no single part is to blame. */
export function silence(wired: Wired): Silence | null {
  const { harness } = wired;
  if (harness.positions[harness.selected].taps.length === 0) return { kind: 'open' };
  const now = loudest(wired);
  if (now >= SILENT) return null;
  const without = (change: Partial<Wired['harness']>): boolean =>
    loudest({ ...wired, harness: { ...harness, ...change } }) > Math.max(now * LOUDER, 1e-9);
  const index = harness.fixed.findIndex((_, i) => without({ fixed: harness.fixed.filter((_, j) => j !== i) }));
  if (index >= 0) return { kind: 'fixed', index };
  const control = harness.controls.findIndex(
    ({ volume }, i) =>
      volume !== null &&
      without({
        controls: harness.controls.map((c, j) =>
          j === i && c.volume ? { ...c, volume: { ...c.volume, setting: 1 } } : c,
        ),
      }),
  );
  return control >= 0 ? { kind: 'volume', index: control } : null;
}
