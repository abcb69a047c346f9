/** What is kept about a recording of one's own: where it came from, which channel is which string, what made it. */
import { usualCable, usualInput, usualTap } from '../../circuit/usual.ts';
import { BUILD_VERSION, type Build, type Instrument, type TestPoint } from '../../document/build.ts';
import { makePickup } from '../../sensor/typical.ts';

/** Where a channel goes. Strings by number, 1 is the highest. */
export type ChannelRole =
  | { kind: 'string'; string: number }
  /** Several strings in one channel: it can only be treated as if all of it came from one of them. */
  | { kind: 'mixed'; reference: number }
  /** Several strings in one channel, heard through coils and wiring but through no comb; it takes a free place. */
  | { kind: 'uncombed' }
  | { kind: 'off' };

/** String number that a role speaks of; null: none. */
export const stringOf = (role: ChannelRole): number | null =>
  role.kind === 'string' ? role.string : role.kind === 'mixed' ? role.reference : null;

/** A magnetic pickup described by what shapes its sound; SI. */
export interface SmallPickup {
  /** Kind of pickup (`shared/sensor/typical.ts`): its coils and windows. */
  type: string;
  /** m from the saddle line. */
  position: number;
  /** Each coil: ohm, H, F. */
  resistance: number;
  inductance: number;
  capacitance: number;
  /** What loaded it: cable, F, and input, ohm. */
  cable: number;
  input: number;
}

export type Through =
  | { kind: 'bridge-force' }
  | { kind: 'modelled-bridge-force' }
  | { kind: 'microphone' }
  | { kind: 'unknown' }
  | { kind: 'pickup'; pickup: SmallPickup }
  /** A build as it stood on the page when it was chosen. */
  | { kind: 'build'; build: Build; point: TestPoint };
export type ThroughKind = Through['kind'];

export interface OwnTake {
  /** `own-` and letters. */
  id: string;
  name: string;
  /** Name of the file it came from; null: recorded in the page. */
  file: string | null;
  /** ms since 1970. */
  added: number;
  /** Hz. */
  sampleRate: number;
  frames: number;
  /** Bytes kept. */
  size: number;
  /** What was odd about the file, as sentences. */
  notes: string[];
  /** Part that plays, s. */
  trim: { from: number; to: number };
  /** Lowest pitch found in each channel, Hz; null: none was clear. */
  pitches: (number | null)[];
  roles: ChannelRole[];
  through: Through;
  /** Most that un-colouring lifts anything, dB. */
  maximumLift: number;
  /** −3 dB corner of the input's or sensor's first-order high-pass, Hz; null: not given. */
  corner: number | null;
}

const isNumber = (x: unknown): x is number => typeof x === 'number' && Number.isFinite(x);
const THROUGH: Record<ThroughKind, true> = {
  'bridge-force': true,
  'modelled-bridge-force': true,
  microphone: true,
  unknown: true,
  pickup: true,
  build: true,
};

/** Whether what was kept is a take that the page can work with. */
export function isOwnTake(value: unknown): value is OwnTake {
  if (typeof value !== 'object' || value === null) return false;
  const take = value as Partial<OwnTake>;
  return (
    typeof take.id === 'string' &&
    typeof take.name === 'string' &&
    [take.added, take.size, take.maximumLift, take.trim?.from, take.trim?.to].every(isNumber) &&
    isNumber(take.sampleRate) &&
    take.sampleRate > 0 &&
    isNumber(take.frames) &&
    take.frames > 0 &&
    Array.isArray(take.notes) &&
    Array.isArray(take.pitches) &&
    Array.isArray(take.roles) &&
    take.roles.length > 0 &&
    take.roles.every(role => ['string', 'mixed', 'uncombed', 'off'].includes(role?.kind)) &&
    THROUGH[take.through?.kind as ThroughKind] === true
  );
}

export const LIFT_RANGE = [0, 60] as const;
export const CORNER_RANGE = [0.5, 2000] as const;
/** Shortest part that plays, s. */
export const SHORTEST = 0.1;

/** A pickup of a kind as its winding usually is, on a usual cable. */
export function smallPickup(type: string, position: number, instrument: Instrument): SmallPickup {
  const [coil] = makePickup(type, instrument, { id: 'own', name: 'own', position }).coils;
  const { resistance, inductance, capacitance } = coil;
  const cable = usualCable();
  return {
    type,
    position,
    resistance,
    inductance,
    capacitance,
    cable: cable.length * cable.capacitancePerMetre,
    input: usualInput().resistance,
  };
}

/** The small pickup as a build of its own: no controls, a cable and an input. */
export function smallBuild(instrument: Instrument, small: SmallPickup): Build {
  const pickup = makePickup(small.type, instrument, { id: 'own', name: 'own', position: small.position });
  const { resistance, inductance, capacitance } = small;
  return {
    format: 'comb-and-coil/build',
    version: BUILD_VERSION,
    name: 'recorded through',
    note: '',
    instrument,
    pickups: [{ ...pickup, coils: pickup.coils.map(coil => ({ ...coil, resistance, inductance, capacitance })) }],
    harness: {
      positions: [{ label: 'own', join: 'parallel', taps: [usualTap('own', 'out')] }],
      selected: 0,
      controls: [],
      blend: null,
      fixed: [],
    },
    outputs: [
      {
        id: 'out',
        name: 'jack',
        chain: [
          { ...usualCable(), measured: small.cable },
          { ...usualInput(), resistance: small.input },
        ],
      },
    ],
  };
}

/** What decides how a take sounds, and nothing else, as a key. */
export const soundKey = (take: OwnTake, instrument: Instrument, sampleRate: number): string =>
  JSON.stringify([
    take.id,
    take.trim,
    take.roles,
    take.through,
    take.maximumLift,
    take.corner,
    sampleRate,
    instrument.strings,
    take.through.kind === 'pickup' ? [instrument.spread, instrument.frets] : null,
  ]);
