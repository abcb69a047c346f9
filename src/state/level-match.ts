/**
 * How loud each build plays the current take, by ITU-R BS.1770. While a build is being changed an estimate follows the
 * hand: the K-weighted mean power of the take's strings through the build's responses, strings counted as independent.
 * A moment after the last change a worker renders the whole take and measures its integrated loudness, gates and all;
 * that figure then takes the estimate's place, and later estimates start from it.
 */
import { computed, effect, signal } from '@preact/signals-core';
import { kWeightingPower } from '../../shared/audio/loudness.ts';
import { packKernels } from '../../shared/audio/partition.ts';
import { longTermSpectrum } from '../../shared/audio/spectrum.ts';
import { power } from '../../shared/complex.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import type { Letter } from '../../shared/document/sheet.ts';
import { kernelFrequencies } from '../../shared/response/kernel.ts';
import { takeResponses } from '../../shared/response/uncombed.ts';
import { LoudnessMeter } from '../workers/loudness-client.ts';
import { kernelsOf } from './kernels.ts';
import { notify } from './notices.ts';
import { slots, view } from './page.ts';
import { type CurrentTake, currentTake } from './take.ts';

/** Loudness that every matched build is brought to, LUFS, before the volume control. */
export const TARGET_LEVEL = -14;
/** Pause after the last change before the exact figure is asked for, ms. */
const MEASURE_AFTER = 200;

export interface Level {
  /** LUFS; −Infinity: silence. */
  loudness: number;
  /** Measured over the whole take; false: estimated. */
  exact: boolean;
}

/** Blocks of a string that the estimate looks at: a long take must not hold up the page. */
const ESTIMATE_BLOCKS = 120;

interface Weighted {
  frequencies: Float64Array;
  /** [string][bin]: K-weighted power of the take in each bin. */
  strings: Float64Array[];
}

const weighted = new WeakMap<CurrentTake, Weighted>();

function weightedTake(take: CurrentTake): Weighted {
  let known = weighted.get(take);
  if (!known) {
    const frequencies = kernelFrequencies(take.sampleRate);
    const k = kWeightingPower(frequencies, take.sampleRate);
    const size = 2 * (frequencies.length - 1);
    // a Hann window gathers 1.5 bins of noise, and a sine of amplitude 1 has the mean square 1/2
    const strings = take.channels.map(channel =>
      longTermSpectrum([channel], take.sampleRate, size, ESTIMATE_BLOCKS).power.map((p, bin) => (p * k[bin]) / 3),
    );
    known = { frequencies, strings };
    weighted.set(take, known);
  }
  return known;
}

const kept = new WeakMap<Build, { take: CurrentTake; point: TestPoint; level: number }>();

/** K-weighted mean level of `take` through `build` at `point`, dB, without gates; −Infinity: silence. */
export function meanLevel(build: Build, take: CurrentTake, point: TestPoint): number {
  const known = kept.get(build);
  if (known?.take === take && known.point === point) return known.level;
  const { frequencies, strings } = weightedTake(take);
  let sum = 0;
  for (let output = 0; output < build.outputs.length; output++)
    takeResponses(build, point, frequencies, output, take.uncombed ?? []).forEach((curve, s) => {
      const string = strings[s];
      if (string) for (let bin = 0; bin < string.length; bin++) sum += string[bin] * power(curve, bin);
    });
  const level = 10 * Math.log10(sum / build.outputs.length);
  kept.set(build, { take, point, level });
  return level;
}

/** Exact figures by build, for the take and the test point that they were measured at. */
const measured = new WeakMap<Build, Map<TestPoint, { take: CurrentTake; loudness: number }>>();
/** Goes up with every exact figure that arrives. */
const arrivals = signal(0);
/** What the last exact figure of each build lay above its estimate, dB: gates leave out the pauses of a take. */
const above = new Map<Letter, number>();
/** The same before anything was measured: two loudspeakers, and the standard's offset of −0.691 dB. */
const FIRST_ABOVE = 10 * Math.log10(2) - 0.691;
/** Measurements that are under way. */
const asked = new WeakMap<Build, { take: CurrentTake; point: TestPoint }>();

function exactLoudness(build: Build, take: CurrentTake, point: TestPoint): number | null {
  const known = measured.get(build)?.get(point);
  return known?.take === take ? known.loudness : null;
}

/** The estimate, shifted by what the last exact figure of this build (else of another) told it to be wrong by. */
const estimate = (letter: Letter, build: Build, take: CurrentTake, point: TestPoint): number =>
  meanLevel(build, take, point) + (above.get(letter) ?? above.values().next().value ?? FIRST_ABOVE);

/** Loudness of every build on the current take at the test point that is heard; null: no take yet. */
export const levels = computed<ReadonlyMap<Letter, Level> | null>(() => {
  const take = currentTake.value;
  void arrivals.value;
  if (!take) return null;
  const { point } = view.value;
  return new Map(
    slots.value.map(({ letter, build }) => {
      const exact = exactLoudness(build, take, point);
      return [letter, { loudness: exact ?? estimate(letter, build, take, point), exact: exact !== null }];
    }),
  );
});

/** Gain, dB, that brings build `letter` to its listening level: the target, or as much as the reference build gets. */
export function listeningGain(letter: Letter): number {
  const { levelMatch, reference } = view.value;
  return matchedGain(levelMatch ? letter : reference);
}

/** Gain, dB, that brings build `letter` to the target loudness; 0 for a build that is silent or not known yet. */
export function matchedGain(letter: Letter): number {
  const loudness = levels.value?.get(letter)?.loudness ?? Number.NaN;
  return Number.isFinite(loudness) ? TARGET_LEVEL - loudness : 0;
}

const meter = new LoudnessMeter();
let loaded: CurrentTake | null = null;
let timer = 0;

/** Asks for the exact figures that are missing. */
function measureMissing(): void {
  const take = currentTake.peek();
  if (!take) return;
  if (loaded !== take) {
    meter.setTake(take.channels, take.sampleRate);
    loaded = take;
  }
  const { point, heard } = view.peek();
  // what is heard comes first
  const order = [...slots.peek()].sort((a, b) => Number(b.letter === heard) - Number(a.letter === heard));
  for (const { letter, build } of order) {
    const running = asked.get(build);
    if (exactLoudness(build, take, point) !== null || (running?.take === take && running.point === point)) continue;
    const mean = meanLevel(build, take, point);
    if (!Number.isFinite(mean)) {
      arrive(letter, build, take, point, mean, mean);
      continue;
    }
    // measured as loud as it is heard: the absolute gate of the standard is meant for that
    const gain = TARGET_LEVEL - estimate(letter, build, take, point);
    const packed = packKernels(kernelsOf(build, point, take.sampleRate, take.uncombed).outputs, 10 ** (gain / 20));
    asked.set(build, { take, point });
    meter.measure(letter, packed).then(
      found => {
        asked.delete(build);
        if (found) arrive(letter, build, take, point, found.integrated - gain, mean);
      },
      (error: unknown) => {
        asked.delete(build);
        notify(error instanceof Error ? error.message : String(error), 'warning');
      },
    );
  }
}

function arrive(letter: Letter, build: Build, take: CurrentTake, point: TestPoint, loudness: number, mean: number) {
  let points = measured.get(build);
  if (!points) measured.set(build, (points = new Map()));
  points.set(point, { take, loudness });
  if (Number.isFinite(loudness)) above.set(letter, loudness - mean);
  arrivals.value++;
}

effect(() => {
  void [currentTake.value, slots.value, view.value.point];
  clearTimeout(timer);
  timer = setTimeout(measureMissing, MEASURE_AFTER) as unknown as number;
});
