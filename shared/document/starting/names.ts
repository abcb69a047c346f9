/** Names that follow from what they name, for builds and instruments that nobody has given a name of their own. */
import { notation } from '../../circuit/schemes.ts';
import { familyOf, STRING_SETS } from '../../string/sets.ts';
import type { Build, Instrument, Pickup } from '../build.ts';

const NUMBERS = [
  'No',
  'One',
  'Two',
  'Three',
  'Four',
  'Five',
  'Six',
  'Seven',
  'Eight',
  'Nine',
  'Ten',
  'Eleven',
  'Twelve',
];
const FAMILIES = { guitar: 'guitar', bass: 'bass', bowed: 'bowed instrument', 'flat-top': 'flat-top' } as const;

/** Millimetres of a scale length, one decimal at most. */
const millimetres = (m: number): string => String(Number((m * 1000).toFixed(1)));

/** `Bittern 864` while it is the ready one; `Five-string bass, 762 mm`, `Six-string guitar, 635 to 686 mm`. */
export function instrumentName(instrument: Instrument): string {
  const ready = STRING_SETS.find(
    ({ instrument: { strings, frets, spread } }) =>
      frets === instrument.frets &&
      JSON.stringify([strings, spread]) === JSON.stringify([instrument.strings, instrument.spread]),
  );
  if (ready) return ready.instrument.name;
  const scales = instrument.strings.map(s => s.scale);
  const ends = [...new Set([Math.min(...scales), Math.max(...scales)].map(millimetres))];
  return `${NUMBERS[scales.length]}-string ${FAMILIES[familyOf(instrument)]}, ${ends.join(' to ')} mm`;
}

const KINDS: Record<Pickup['kind'], string> = {
  single: 'single coil',
  double: 'two coils side by side',
  stacked: 'two coils stacked',
  split: 'coil in two halves',
  free: 'free coils',
};

/** `Neck, two coils side by side`; `HSS: bridge, middle, neck`. */
export function buildName(build: Pick<Build, 'pickups'>): string {
  const { pickups } = build;
  if (pickups.length === 1) return `${pickups[0].name}, ${KINDS[pickups[0].kind]}`.slice(0, 60);
  const names = [...pickups].sort((a, b) => a.position - b.position).map(p => p.name.toLowerCase());
  return `${notation(build)}: ${names.join(', ')}`.slice(0, 60);
}
