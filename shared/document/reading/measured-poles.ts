/** Pole pieces of builds of version 1, which nobody was asked to measure, on plain data. */

type Plain = Record<string, unknown>;
const isPlain = (data: unknown): data is Plain => typeof data === 'object' && data !== null && !Array.isArray(data);
/** The entries of a list that are objects changed, everything else as it is, for validation to name. */
const each = (list: unknown, change: (item: Plain) => Plain): unknown =>
  Array.isArray(list) ? list.map(item => (isPlain(item) ? change(item) : item)) : list;

/** What version 1 put under every pole that nobody had measured, m. */
const OLD_DEPTH = 3.5e-3;

/**
 * Version 1 had neither size nor distance of poles: `spread` was that of the outer strings' pole pairs, the two poles of
 * a string stood half the pitch apart, and a rail had no length. What was never asked for is filled with what is common.
 */
function withSizes(poles: unknown, strings: number): unknown {
  if (!isPlain(poles) || typeof poles.spread !== 'number') return poles;
  const { kind, spread } = poles;
  const half = strings > 1 ? spread / (strings - 1) / 2 : spread / 2;
  const pair = Math.min(30e-3, Math.max(1e-3, half));
  if (kind === 'rail') return { ...poles, size: 3e-3, spread: spread + 8e-3, pair };
  return { ...poles, size: 4.8e-3, spread: kind === 'two' ? (strings > 1 ? spread : 0) + pair : spread, pair };
}

/** Poles and window depths of a build of version 1 as version 2 has them. */
export function measuredPoles(old: Plain): Plain {
  const strings = isPlain(old.instrument) && Array.isArray(old.instrument.strings) ? old.instrument.strings.length : 6;
  return {
    ...old,
    pickups: each(old.pickups, pickup => ({
      ...pickup,
      poles: withSizes(pickup.poles, strings),
      coils: each(pickup.coils, coil =>
        isPlain(coil.window) && coil.window.depth === OLD_DEPTH
          ? { ...coil, window: { ...coil.window, depth: null } }
          : coil,
      ),
    })),
  };
}
