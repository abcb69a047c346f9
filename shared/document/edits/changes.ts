/** Changes of a build by pickup, control, chain and list, shared by the fields of the stations. Pure. */
import type { Build, Coil, Control, Harness, Output, Pickup, Stage } from '../build.ts';

export const withPickup = (build: Build, id: string, change: (pickup: Pickup) => Pickup): Build => ({
  ...build,
  pickups: build.pickups.map(pickup => (pickup.id === id ? change(pickup) : pickup)),
});

export const withCoils = (pickup: Pickup, change: (coil: Coil, index: number) => Coil): Pickup => ({
  ...pickup,
  coils: pickup.coils.map(change),
});

export const withHarness = (build: Build, change: (harness: Harness) => Harness): Build => ({
  ...build,
  harness: change(build.harness),
});

export const withControl = (build: Build, index: number, change: (control: Control) => Control): Build =>
  withHarness(build, harness => ({
    ...harness,
    controls: harness.controls.map((control, i) => (i === index ? change(control) : control)),
  }));

export const withChain = (build: Build, output: number, change: (chain: Stage[]) => Stage[]): Build => ({
  ...build,
  outputs: build.outputs.map((o, i): Output => (i === output ? { ...o, chain: change(o.chain) } : o)),
});

/** The list with the item at `index` moved by `by` places; the same list where it cannot go. */
export function moved<T>(list: readonly T[], index: number, by: number): T[] {
  const to = index + by;
  if (to < 0 || to >= list.length) return [...list];
  const next = [...list];
  const [item] = next.splice(index, 1);
  next.splice(to, 0, item);
  return next;
}

/** An id that begins with `stem` and is not among `taken`. */
export function freeId(stem: string, taken: readonly string[]): string {
  const base =
    stem
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 20) || 'part';
  if (!taken.includes(base)) return base;
  for (let n = 2; ; n++) if (!taken.includes(`${base}-${n}`)) return `${base}-${n}`;
}
