/** Words of takes that cannot be played, and of what stands in a sound file about its take. */
import type { Misfit } from '../../shared/take/manifest.ts';

/** Plain letters: not every program reads more in a file's notes. */
const signed = (dB: number): string =>
  Number.isFinite(dB) ? `${dB < 0 ? '-' : '+'}${Math.abs(dB).toFixed(2)}` : 'no level';

export const words = {
  misfit: (one: Misfit) =>
    'families' in one
      ? `“${one.take}” is written for another kind of instrument (${one.families.join(', ')}).`
      : `“${one.take}” was recorded on strings tuned ${one.tuned.join(' ')}; this instrument has none near ${one.missing.join(', ')}. A modelled take plays on any instrument.`,
  unknown: (id: string) => `there is no take “${id}”; choose one of the list`,
  nothingPlays: 'none of the chosen builds can play the chosen takes',
  /** Title of a sound file. */
  title: (letter: string, build: string, take: string) => `${letter} ${build}: ${take}`,
  /** Note in a sound file. @param reference letter whose loudness sets true levels; null: levels are matched */
  comment: (of: {
    letter: string;
    build: string;
    instrument: string;
    take: { name: string; id: string };
    point: number;
    reference: string | null;
    loudness: number;
    gain: number;
    bits: number | '32f';
  }) =>
    [
      `Build ${of.letter}: ${of.build}`,
      `instrument: ${of.instrument}`,
      `take: ${of.take.name} (${of.take.id})`,
      `test point ${of.point}`,
      of.reference === null ? 'levels matched (ITU-R BS.1770)' : `true levels, reference ${of.reference}`,
      `${signed(of.loudness)} LUFS`,
      `gain ${signed(of.gain)} dB`,
      of.bits === '32f' ? '32-bit float' : `${of.bits}-bit, triangular dither`,
    ].join('; '),
};
