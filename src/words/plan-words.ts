/** Words of the plan: the instrument from above, its pickups and the table of distances. */
import type { UnitSystem } from '../../shared/units.ts';

const lower = (name: string) => name.slice(0, 1).toLowerCase() + name.slice(1);
const pickup = (name: string) =>
  /pickup/i.test(name) || name === '' ? lower(name || 'pickup') : `${lower(name)} pickup`;

/** `neck pickup`, `neck and middle pickup`, `neck, middle and bridge pickup`. */
const list = (names: string[]): string => {
  const all = names.map(name => pickup(name).replace(/ pickup$/, ''));
  const [last, ...others] = all.toReversed();
  return `${others.length > 0 ? `${others.toReversed().join(', ')} and ${last}` : last} pickup`;
};

/** `1st`, `2nd`, `13th`. */
const ordinal = (n: number): string => {
  const teen = n % 100 > 10 && n % 100 < 14;
  return `${n}${teen ? 'th' : (['th', 'st', 'nd', 'rd'][n % 10] ?? 'th')}`;
};
const stopped = (string: string, fret: number) => (fret === 0 ? `the open ${string}` : `${string} at fret ${fret}`);

export const words = {
  title: 'Plan',
  scaleNote: (units: UnitSystem) => `to scale, ${units} from the saddle line`,
  dragHint: (units: UnitSystem) =>
    units === 'mm'
      ? 'Drag: 0.5 mm, with Shift 0.1 mm. Arrow keys: 1 mm, with Shift 0.1 mm. The handle below slants by 0.5°.'
      : 'Drag: 1/64 in, with Shift 0.005 in. Arrow keys: 1/32 in, with Shift 0.005 in. The handle below slants by 0.5°.',
  spreads: (strings: string, poles: string | null) =>
    poles ? `strings ${strings}, poles ${poles}` : `strings ${strings}, rail`,
  drawing: (instrument: string) =>
    `${instrument} from above: strings, frets and the pickups of every build. Pickups move with the arrow keys.`,
  saddle: 'saddle',
  nut: 'nut',
  strings: 'strings',
  stringName: (number: number, name: string) => `string ${number}, ${name}`,
  fret: (n: number) => `stop the string at fret ${n}`,

  steps: {
    move: (name: string) => `move ${pickup(name)}`,
    slant: (name: string) => `slant ${pickup(name)}`,
    height: (name: string) => `set gap of ${pickup(name)}`,
    rename: (name: string) => `rename ${pickup(name)}`,
    pluck: 'move pluck point',
  },

  tag: (letter: string, name: string) => `${letter} ${lower(name)}`,
  pickup: (letter: string, name: string) => `build ${letter}, ${pickup(name)}: distance from the saddle`,
  otherPickup: (letter: string, name: string, at: string) =>
    `build ${letter}, ${pickup(name)}, ${at} from the saddle: hear build ${letter}`,
  fromSaddle: (at: string, slant: string | null) => `${at} from the saddle${slant ? `, slanted ${slant}` : ''}`,
  slantOf: (letter: string, name: string) => `build ${letter}, ${pickup(name)}: slant`,
  slantText: (degrees: string, side: 'none' | 'bass' | 'treble') =>
    side === 'none' ? 'square to the strings' : `${degrees}, ${side} side towards the nut`,
  moreDimensions: (n: number) => `${n} more under Distances`,

  pluck: 'pluck point',
  pluckMark: (at: string, heard: boolean) => `pluck ${at}${heard ? '' : ' (not in recorded takes)'}`,
  pluckOfScore: (from: string, to: string) =>
    from === to ? `plucked at ${from} by the score` : `plucked at ${from} to ${to} by the score`,
  pluckRecorded: 'plucked as recorded',
  pluckKeys: 'an arrow key sets a place of your own',
  pluckText: (at: string) => `${at} from the saddle`,
  pluckHint: 'Pluck point of the modelled takes. Recorded takes keep theirs.',
  pluckOwn: 'set pluck point',

  odd: {
    lead: 'Allowed, but',
    underFretboard: (names: string[], end: string) =>
      `${list(names)} under the fretboard, which ends ${end} from the saddle`,
    behindFinger: (names: string[], string: string, fret: number, stopped: string) =>
      `${list(names)} behind the finger at fret ${fret} (${string}: ${stopped}), where no note sounds; curves and figures go on as if it did`,
    overlap: (names: string[]) => `${list(names)} overlapping`,
  },

  string: 'string',
  fretLabel: 'fret',
  partial: 'harmonic',
  less: (what: string) => `${what} down`,
  more: (what: string) => `${what} up`,
  wave: (n: number, string: string, fret: number, frequency: string) =>
    `${ordinal(n)} harmonic of ${stopped(string, fret)}, ${frequency}`,
  node: (n: number, at: string) =>
    n === 1 ? 'no node between the ends' : n === 2 ? `node at ${at}` : `nodes every ${at}`,
  nodeOver: (list: string) => `a node lies over ${list}`,
  overCoil: (letter: string, name: string, coil: string | null, off: string) =>
    `${letter} ${lower(name)}${coil ? `, ${coil} coil` : ''} (${off} off its middle)`,
  noNodeOver: 'no node over a pickup of this build',

  fields: {
    group: (letter: string, name: string) => `build ${letter}, ${pickup(name)}`,
    choose: 'pickup',
    name: 'name',
    position: 'position',
    positionLabel: 'distance of the pickup’s centre from the saddle',
    slant: 'slant',
    shown: { bass: 'gap, bass', treble: 'gap, treble' },
    bass: 'gap of string to pole on the bass side',
    treble: 'gap of string to pole on the treble side',
  },

  data: {
    title: 'Distances and strings',
    caption: (letter: string) => `Build ${letter}, string by string`,
    string: 'string',
    coil: (name: string, coil: string | null) => (coil ? `${lower(name)}, ${coil}` : lower(name)),
    distance: 'from its saddle',
    firstNode: 'first node',
    beside: 'beside its pole',
    rail: 'rail',
    notUnder: 'not under it',
    tension: 'tension',
    speed: 'wave speed',
    B: 'B',
    mass: 'weight',
    tensionSource: 'from weight, scale length and pitch: T = μ (2 L f)²',
    speedSource: '2 L f',
    explain:
      'Distances run along each string from its own saddle to the middle of the coil; the first node is the lowest frequency that has one over that coil, so that this coil by itself hears nothing of it. “Beside its pole” is how far the string runs beside its pole, or the middle of its two, positive towards the treble, and what that does to its level.',
  },
} as const;
