/** Which strings of two instruments may be set side by side. Pure. */
import type { Instrument } from '../document/build.ts';

/**
 * Index of the string of `other` that belongs beside string `index` of `own`: the one of the same name; where there is
 * none but the instruments have as many strings (another tuning), the one with the same number, if its pitch is less than
 * an octave away. Null: there is none,
 * and nothing to compare.
 */
export function matchingString(
  own: Pick<Instrument, 'strings'>,
  index: number,
  other: Pick<Instrument, 'strings'>,
): number | null {
  const { name } = own.strings[index];
  if (other.strings[index]?.name === name) return index;
  const named = other.strings.findIndex(string => string.name === name);
  if (named >= 0) return named;
  const beside = other.strings[index];
  const near = beside !== undefined && Math.abs(Math.log2(beside.pitch / own.strings[index].pitch)) < 1;
  return own.strings.length === other.strings.length && near ? index : null;
}
