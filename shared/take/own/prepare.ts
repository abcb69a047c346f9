/**
 * From a decoded recording to what the strings did: cut, brought to the rate of the sound device, freed of what it was
 * recorded through, laid on the strings of an instrument.
 */

import { resample } from '../../audio/resample.ts';
import { longTermSpectrum } from '../../audio/spectrum.ts';
import { type Spectrum, spectrum } from '../../complex.ts';
import { dbOfPower } from '../../decibels.ts';
import type { Build, Instrument, TestPoint } from '../../document/build.ts';
import { mixedResponse, response } from '../../response/response.ts';
import { uncolour, uncolourFrequencies, uncolouring } from '../../response/uncolour.ts';
import { type OwnTake, SHORTEST, smallBuild, stringOf } from './own-take.ts';

/**
 * Largest force of all strings together that a recording is scaled to, N: its own force is not known. About that of a
 * firm strum.
 */
export const FULL_FORCE = 6;

/** Centres of the bands that levels before and after are given in, Hz: 24 to the octave. */
export const LEVEL_GRID = Float64Array.from({ length: 230 }, (_, i) => 20 * 2 ** (i / 24)).filter(f => f < 15000);

export interface Uncoloured {
  /** String number. */
  string: number;
  /** Level in bands of `LEVEL_GRID`, dB: as recorded, and without what it was recorded through (both peak at 0). */
  before: Float64Array;
  after: Float64Array;
  /** Bands [from, to] in Hz where too little was left to recover anything. */
  weak: [number, number][];
  /** Most that a frequency was lifted, dB. */
  lift: number;
}

export interface PreparedTake {
  /** Bridge force of each string, N, as far as it could be recovered. */
  channels: Float32Array[];
  sampleRate: number;
  /** For each channel that plays. */
  uncoloured: Uncoloured[];
  /** Indices of strings whose place a mixture has taken: it goes through no comb. */
  uncombed: number[];
}

/** Response of a first-order high-pass with its −3 dB corner at `corner` Hz. */
export function highPass(corner: number, frequencies: Float64Array): Spectrum {
  const h = spectrum(frequencies.length);
  frequencies.forEach((f, i) => {
    const r = f / corner;
    h.re[i] = (r * r) / (1 + r * r);
    h.im[i] = r / (1 + r * r);
  });
  return h;
}

const product = (a: Spectrum, b: Spectrum): Spectrum => {
  const out = spectrum(a.re.length);
  for (let i = 0; i < a.re.length; i++) {
    out.re[i] = a.re[i] * b.re[i] - a.im[i] * b.im[i];
    out.im[i] = a.re[i] * b.im[i] + a.im[i] * b.re[i];
  }
  return out;
};

/** Frequencies of `uncolourFrequencies`, one array for each rate so that responses profit from earlier work. */
const grids = new Map<number, Float64Array>();
const gridOf = (sampleRate: number): Float64Array => {
  let grid = grids.get(sampleRate);
  if (!grid) grids.set(sampleRate, (grid = uncolourFrequencies(sampleRate)));
  return grid;
};

/**
 * What a string of the take went through, as far as it is known; null: nothing that can be undone.
 * @param string index of the string; null: a mixture, whose combs nobody can undo
 */
export function recordedResponse(
  take: OwnTake,
  instrument: Instrument,
  string: number | null,
  sampleRate: number,
): Spectrum | null {
  const grid = gridOf(sampleRate);
  const corner = take.corner === null ? null : highPass(take.corner, grid);
  const of = (build: Build, point: TestPoint): Spectrum =>
    string === null ? mixedResponse(build, point, grid) : response(build, string, point, grid);
  let pickup: Spectrum | null = null;
  if (take.through.kind === 'pickup') pickup = of(smallBuild(instrument, take.through.pickup), 5);
  if (take.through.kind === 'build') {
    const { build, point } = take.through;
    if (string !== null && string >= build.instrument.strings.length)
      throw new Error(`the build it was recorded through has no string ${string + 1}; choose another string or build`);
    pickup = of(build, point);
  }
  return corner && pickup ? product(corner, pickup) : (pickup ?? corner);
}

/** Levels over `LEVEL_GRID` of the first half minute, dB, the highest at 0. */
function levelsOf(samples: Float32Array, sampleRate: number): Float64Array {
  const size = 16384;
  const { power } = longTermSpectrum([samples.subarray(0, 30 * sampleRate)], sampleRate, size);
  const bin = sampleRate / size;
  const edge = 2 ** (1 / 48);
  const levels = LEVEL_GRID.map(f => {
    const from = Math.max(1, Math.round(f / edge / bin));
    const to = Math.max(from, Math.min(power.length - 1, Math.round((f * edge) / bin)));
    let most = 0;
    for (let k = from; k <= to; k++) most = Math.max(most, power[k]);
    return dbOfPower(most + 1e-20);
  });
  const top = Math.max(...levels);
  return levels.map(level => Math.max(-120, level - top));
}

/** Where a channel plays. */
interface Place {
  channel: number;
  /** Index of the string. */
  string: number;
  uncombed: boolean;
}

/** Where every channel that plays is laid; mixtures without a comb take the strings that are free, the first ones first. */
function places(roles: OwnTake['roles'], instrument: Instrument): Place[] {
  const named = new Set(roles.flatMap(role => stringOf(role) ?? []));
  const free = instrument.strings.map((_, index) => index).filter(index => !named.has(index + 1));
  return roles.flatMap((role, channel): Place[] => {
    if (role.kind === 'off') return [];
    const number = stringOf(role);
    if (number !== null) return [{ channel, string: number - 1, uncombed: false }];
    const string = free.shift();
    if (string === undefined)
      throw new Error(
        `channel ${channel + 1} holds several strings and needs the place of one, but every string has a channel; leave one out`,
      );
    return [{ channel, string, uncombed: true }];
  });
}

/**
 * Prepares a take; yields the share done.
 * @param part samples [from, to) of every channel of the recording, full scale ±1
 * @throws Error with a sentence for the person
 */
export function* prepareSteps(
  take: OwnTake,
  part: (from: number, to: number) => readonly Float32Array[],
  instrument: Instrument,
  sampleRate: number,
): Generator<number, PreparedTake> {
  const used = places(take.roles, instrument);
  if (used.length === 0) throw new Error('every channel is left out; give at least one channel a string');
  for (const { string, channel } of used) {
    if (string >= instrument.strings.length)
      throw new Error(
        `channel ${channel + 1} is laid on string ${string + 1}, which this instrument does not have; choose another`,
      );
    if (used.some(other => other.string === string && other.channel !== channel))
      throw new Error(`two channels are laid on string ${string + 1}; a string takes one channel`);
  }
  const from = Math.round(take.trim.from * take.sampleRate);
  const to = Math.min(take.frames, Math.round(take.trim.to * take.sampleRate));
  if (to - from < SHORTEST * take.sampleRate) throw new Error(`at least ${SHORTEST} s must be left of a take`);
  const decoded = part(from, to);
  const uncoloured: Uncoloured[] = [];
  const found = new Map<number, Float32Array>();
  let done = 0;
  for (const { channel, string, uncombed } of used) {
    const source = resample(decoded[channel], take.sampleRate, sampleRate);
    yield (done + 0.4) / used.length;
    const before = levelsOf(source, sampleRate);
    const through = recordedResponse(take, instrument, uncombed ? null : string, sampleRate);
    if (through === null) {
      found.set(string, source);
      uncoloured.push({ string: string + 1, before, after: before, weak: [], lift: 0 });
    } else {
      let inverse: ReturnType<typeof uncolouring>;
      try {
        inverse = uncolouring(through, sampleRate, { maximumLift: take.maximumLift });
      } catch {
        throw new Error(
          uncombed
            ? `nothing of channel ${channel + 1} passes the pickup it is said to be recorded through; check its wiring`
            : `nothing of string ${string + 1} reaches the pickup it is said to be recorded through; check its position`,
        );
      }
      const samples = uncolour(source, inverse);
      yield (done + 0.8) / used.length;
      for (let i = 0; i < samples.length; i++) samples[i] /= inverse.reference;
      found.set(string, samples);
      const after = levelsOf(samples, sampleRate);
      uncoloured.push({ string: string + 1, before, after, weak: inverse.weak, lift: inverse.lift });
    }
    done++;
    yield done / used.length;
  }
  const length = Math.max(...[...found.values()].map(samples => samples.length));
  let peak = 0;
  for (let i = 0; i < length; i++) {
    let sum = 0;
    for (const samples of found.values()) sum += samples[i];
    peak = Math.max(peak, Math.abs(sum));
  }
  const scale = peak > 0 ? FULL_FORCE / peak : 0;
  for (const samples of found.values()) for (let i = 0; i < length; i++) samples[i] *= scale;
  const channels = instrument.strings.map((_, string) => found.get(string) ?? new Float32Array(length));
  const uncombed = used.filter(place => place.uncombed).map(place => place.string);
  return { channels, sampleRate, uncoloured, uncombed };
}
