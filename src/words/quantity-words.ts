/** What every quantity is called and means: one name each, on the page, on the sheet and in files. */
import type { DipCause } from '../../shared/response/dips.ts';
import type { Quantity } from '../../shared/response/quantities.ts';

interface QuantityWords {
  /** As tables and sentences call it. */
  name: string;
  /** Head of its column in exported figures, unit included. */
  column: string;
  /** What it is read from and against. */
  meaning: string;
}

/** The glossary. */
export const quantities: Record<Quantity, QuantityWords> = {
  level: {
    name: 'level',
    column: 'level_db',
    meaning:
      'Mean power of plucked notes on all strings and frets at the test point; how much louder, before any match.',
  },
  octave: {
    name: 'octaves',
    column: 'octave_db',
    meaning:
      'Mean power of all strings in the octave around 1, 2, 4 and 8 kHz against the octave around 250 Hz: the lower, the darker.',
  },
  resonance: {
    name: 'resonance',
    column: 'resonance_hz',
    meaning: 'Highest point of what coils, controls, cable and input do together, without a string.',
  },
  peak: { name: 'peak', column: 'peak_db', meaning: 'The resonance over the level at low frequencies.' },
  hum: {
    name: 'hum',
    column: 'hum_db',
    meaning: 'What a uniform field at 100 Hz leaves, against one coil of mean turns without load.',
  },
  natural: {
    name: 'f0',
    column: 'f0_hz',
    meaning: 'Natural frequency of coils and load as a second-order low-pass: the phase has turned by a quarter.',
  },
  quality: { name: 'Q', column: 'q', meaning: 'Level at f0 over that at low frequencies.' },
  departure: {
    name: 'departure',
    column: 'departure_db',
    meaning: 'Farthest that the network lies from that low-pass between 20 Hz and 2 f0.',
  },
  slope: { name: 'slope', column: 'slope_db_per_octave', meaning: 'From 4 f0 to 8 f0.' },
  dip: {
    name: 'dip',
    column: 'dip_hz',
    meaning: 'Where the response of the string falls away and comes back by 6 dB or more.',
  },
  depth: {
    name: 'depth',
    column: 'depth_db',
    meaning: 'Below the straight line through the shoulders on either side; complete from 60 dB on.',
  },
  partial: { name: 'partial', column: 'partial', meaning: 'The harmonic of the string that the dip falls on.' },
};

export const words = {
  /** The one sign of figures that hang on the field model, and its legend. */
  modelled: (text: string) => `≈ ${text}`,
  modelledLegend: (slope: number, width: number) =>
    `≈ marks what hangs on the model of the magnets’ field, that of a string far from saturation; no measured table is public. Real pickups may change by as little as ${slope} dB for a millimetre of gap, and sense a stretch of string up to ${width} times as long.`,
  outside: (low: string, high: string) => `${low} to ${high} is accepted here; the last good value stays in use.`,
  none: 'none',
  cancelled: 'cancelled',
  orMore: (text: string) => `${text} or more`,
  complete: 'complete',
  deep: (dB: string) => `${dB} deep`,
  causes: {
    position: 'node over the pickup',
    coils: 'coils out of phase cancel: antinode over the pickup',
    pickups: 'pickups cancel',
    aperture: 'aperture',
    network: 'network',
  } satisfies Record<DipCause, string>,
  severalCauses: 'several causes',
  /** How many times what listeners just notice. */
  times: (n: number) =>
    n < 1.25
      ? 'about as much as'
      : n < 1.75
        ? 'about one and a half times'
        : n < 2.5
          ? 'about twice'
          : `about ${n < 10 ? Math.round(n) : Math.round(n / 5) * 5} times`,
  share: (n: number) =>
    n > 0.85
      ? 'nearly all'
      : n > 0.6
        ? 'two thirds'
        : n > 0.4
          ? 'half'
          : n > 0.28
            ? 'a third'
            : n > 0.15
              ? 'a fifth'
              : 'less than a seventh',
  lowPass: (f0: string, q: string, peak: string, slope: string, departure: string) =>
    `Coils and load: a damped second-order low-pass, f0 ${f0}, Q ${q}, ${peak}, ${slope} per octave beyond (within ${departure} of it up to 2 f0).`,
  noLowPass: (departure: string, f0: string, q: string, slope: string) =>
    `Coils and load are no second-order low-pass: up to ${departure} from one of f0 ${f0} and Q ${q}; ${slope} per octave beyond.`,
  noTurn: 'Coils and load are no second-order low-pass: their phase never turns by a quarter.',
  peakOf: (peak: string) => `peak ${peak}`,
  noPeak: 'no peak',
} as const;
