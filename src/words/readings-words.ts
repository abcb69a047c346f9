/** Words of the readings: tabs, plots, key figures, and what can be heard of a difference. */
import type { TestPoint } from '../../shared/document/build.ts';

const places: Record<TestPoint, string> = {
  1: 'test point 1 (bridge force)',
  2: 'test point 2 (after the position)',
  3: 'test point 3 (after the aperture)',
  4: 'test point 4 (jack)',
  5: 'test point 5 (input)',
};
const absoluteUnits: Record<TestPoint, string> = { 1: 'N/N', 2: '(m/s)/N', 3: 'V/N', 4: 'V/N', 5: 'V/N' };

export const words = {
  tabs: {
    response: 'Response',
    spectrum: 'Spectrum',
    difference: 'Difference',
    partials: 'Harmonics',
    impedance: 'Impedance',
  },
  tabsLabel: 'Kind of reading',
  places,
  absoluteUnits,
  at: (point: TestPoint, string: string) => `at ${places[point]}, string ${string}`,
  atAllStrings: (point: TestPoint) => `at ${places[point]}, every string`,
  atTake: (point: TestPoint) => `of the take, at ${places[point]}`,
  series: (letter: string, name: string) => (name ? `${letter}, ${name}` : letter),

  plot: {
    role: 'plot',
    keys: 'Arrow keys move the cursor, with Shift by one point; Page Up and Page Down by an octave; Home and End go to the ends; Escape hides the cursor.',
    tableOf: (title: string) => `Figures: ${title}`,
    difference: (one: string, reference: string) => `${one} − ${reference}`,
    differs: (difference: string) => `difference ${difference}`,
  },

  frequencyAxis: 'frequency, Hz',
  relativeAxis: (reference: string) => `dB re ${reference} around 250 Hz`,
  absoluteAxis: (unit: string) => `dB re 1 ${unit}`,
  spectrumAxis: (reference: string) => `power density, dB re highest of ${reference}`,
  differenceAxis: (reference: string) => `dB against ${reference}`,
  partialsAxis: (reference: string) => `dB re strongest harmonic of ${reference}`,
  partialAxis: 'harmonic',
  magnitudeAxis: 'magnitude, Ω',
  phaseAxis: 'phase, degrees',

  titles: {
    response: (place: string) => `Response ${place}`,
    spectrum: (place: string) => `Long-term spectrum ${place}`,
    difference: (place: string, reference: string) => `Difference from ${reference} ${place}`,
    partials: (string: string, fret: number, point: TestPoint) =>
      `Harmonics of ${string} ${fret === 0 ? 'open' : `at fret ${fret}`}, at ${places[point]}`,
    impedance: (where: string, quantity: string) => `Impedance at ${where}, ${quantity}`,
  },

  stringLabel: 'string',
  allStrings: 'every string',
  fretLabel: 'fret',
  openString: 'open',
  scaleLabel: 'level',
  relative: (reference: string) => `re ${reference}`,
  absolute: (unit: string) => `re 1 ${unit}`,
  smoothingLabel: 'smoothing',
  smoothing: (parts: number) => (parts === 0 ? 'none' : `1/${parts} octave`),
  smoothingShort: (parts: number) => (parts === 0 ? 'none' : `1/${parts} oct`),
  rangeX: 'Frequency range',
  rangesX: { whole: 'whole', low: '20–2 k', high: '1 k–20 k' },
  rangesXSpoken: {
    whole: 'whole, 20 hertz to 20 kilohertz',
    low: '20–2 k, 20 hertz to 2 kilohertz',
    high: '1 k–20 k, 1 to 20 kilohertz',
  },
  rangeY: 'range',
  span: (dB: number) => `${dB} dB`,
  spanBoth: (dB: number) => `±${dB} dB`,
  live: 'live',
  withPluck: 'with the pluck',
  withPluckHint: (distance: string) => `plucked ${distance} from the saddle`,
  /** In exported files. @param pluck m from the saddle, or null */
  pluckSetting: (pluck: number | null) =>
    pluck === null ? 'none, every harmonic alike' : `${(pluck * 1000).toFixed(1)} mm from the saddle`,
  whereLabel: 'seen at',
  atOutput: 'the jack',
  quantityLabel: 'show',
  magnitude: 'magnitude',
  phase: 'phase',
  referenceLabel: 'against',
  figures: 'Figures',
  figuresHint: 'Figures: this plot as a table',
  save: { svg: 'SVG', png: 'PNG', csv: 'CSV' },
  saveHint: {
    svg: 'SVG: save the plot, its settings inside',
    png: 'PNG: save the plot as a picture',
    csv: 'CSV: save the figures of the plot in full precision',
  },
  saveFailed: 'The plot could not be saved. Try another format.',

  exact: 'Rendered through every build’s own filter.',
  estimate: 'Quick estimate (powers of the strings added) until the exact rendering is ready.',
  noTake: 'Choose a take under Listening to see its spectrum here.',
  loadingTake: 'The take is being analysed.',
  takeFailed: 'The take could not be analysed; the quick estimate stays.',
  liveIdle: 'Press play to see the live spectrum.',
  liveName: 'live',
  alone: 'Differences need a second build. Copy this one under Listening.',
  notWired: (letters: string) => `Nothing reaches this test point in the selected position of ${letters}.`,
  tooWeak: 'too weak to know',
  weakInTake: 'not in the take',
  weakHint: 'Shaded: there the recording that plays holds too little to say what the strings did.',
  levelBand: (step: string) => `±${step} dB: probably inaudible`,
  dipMark: 'dip',

  table: {
    label: 'Key figures of every build',
    build: 'build',
    octaves: '1 / 2 / 4 / 8 kHz re 250 Hz, dB',
    dips: (string: string, fret: number) =>
      `dips below 5 kHz on ${string} (harmonic ${fret === 0 ? 'of the open string' : `at fret ${fret}`})`,
    level: (reference: string) => `level re ${reference}`,
    hum: 'hum, re one coil',
    load: (letter: string, load: string) => `${letter}. ${load}`,
    noString: (letters: string, string: string) =>
      `${letters} ${letters.includes(',') ? 'have' : 'has'} no string ${string}: another instrument is not compared string by string, nor in level.`,
    more: (count: number) => `+${count}`,
    difference: (one: string, reference: string) => `${one}−${reference}`,
    copy: 'Copy',
    copyHint: 'Copy: key figures as a table',
    csvHint: 'CSV: save the key figures',
    copied: 'Key figures copied.',
    copyFailed: 'The browser does not let this page copy. Save the figures as CSV instead.',
    meanings: 'What the figures mean',
    maybe: 'too small to hear as a level',
    head: {
      build: 'build',
      name: 'name',
      position: 'position',
      octave: (hertz: number) => `octave_${hertz / 1000}k_db`,
      level: (reference: string) => `level_re_${reference}_db`,
    },
  },

  heard: {
    resonanceSmall: (one: string, shift: string, share: string) =>
      `${one}: the resonance moves by ${shift}, ${share} of what listeners just notice.`,
    resonanceLarge: (one: string, shift: string, times: string) =>
      `${one}: the resonance moves by ${shift}, ${times} what listeners just notice.`,
    resonanceSource: 'ΔF = 0.079 F/√Q, Gagné and Zurek, JASA 83, 1988',
    extrapolated: 'measured from 300 to 2000 Hz, extrapolated here',
    bandSmall: (one: string, step: string, limit: string) =>
      `${one}: at equal loudness no band of the ear differs by more than ${step} on any string, where ${limit} is just noticed.`,
    bandLarge: (one: string, step: string, at: string, string: string, limit: string) =>
      `${one}: at equal loudness the spectrum of ${string} differs by ${step} in the ear’s band around ${at}, where ${limit} is just noticed.`,
    bandSource: 'Zwicker and Fastl, Psychoacoustics; bands of Glasberg and Moore, Hearing Research 47, 1990',
  },
} as const;
