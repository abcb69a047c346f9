/** Notes found in a played part, and the pickup they were recorded through, against modelled notes of known places. */
import { describe, expect, test } from 'vitest';
import { renderOffline } from '../../../shared/audio/offline.ts';
import { packKernels } from '../../../shared/audio/partition.ts';
import { demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { kernels } from '../../../shared/response/kernel.ts';
import { type Estimate, estimateSteps, onsets } from '../../../shared/take/estimate/estimate.ts';
import { modelledSteps } from '../../../shared/take/modelled.ts';
import { smallBuild, smallPickup } from '../../../shared/take/own/own-take.ts';

const [{ instrument }] = demoBuilds();
const rate = 48000;
const string = 5;
const position = 0.085;
const frets = [0, 3, 7];
const plucks = [0.15, 0.12, 0.17];
/** The notes, each plucked at its own place, through a pickup at `position`. */
const played = (places: readonly number[]): Float32Array => {
  const score = {
    id: 'frets',
    name: 'frets',
    open: instrument.strings.map(s => s.name),
    notes: frets.map((fret, i) => ({ string, fret, time: 0.1 + i, duration: 0.9, velocity: 0.8, pluck: places[i] })),
  };
  const steps = modelledSteps(score, instrument, rate, undefined);
  for (;;) {
    const step = steps.next();
    if (!step.done) continue;
    const force = step.value.channels[string - 1];
    const build = smallBuild(instrument, smallPickup('single-rods', position, instrument));
    const kernel = kernels(build, 5, rate).outputs[0][string - 1];
    return (renderOffline([force], packKernels([[kernel]]), { sampleRate: rate, limiter: false }) ?? [])[0];
  }
};
const recorded = played(plucks);
const estimate = (samples: Float32Array): Estimate => {
  const steps = estimateSteps([{ samples, string, spec: instrument.strings[string - 1] }], rate);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    expect(step.value).toBeLessThanOrEqual(1);
  }
};

// the search over both places takes its time on a busy machine
describe('estimate from a played part', () => {
  test('every note starts where it was played', () => {
    const found = onsets(recorded, rate);
    expect(found).toHaveLength(frets.length);
    found.forEach((at, i) => {
      expect(Math.abs(at - 0.1 - i)).toBeLessThan(0.03);
    });
  });
  test('frets, pitch and the pickup’s place come out', () => {
    const { notes, places, skipped } = estimate(recorded);
    expect(skipped).toEqual([]);
    expect(notes.map(note => note.fret)).toEqual(frets);
    expect(notes[0].partials.f0).toBeCloseTo(instrument.strings[string - 1].pitch, 0);
    expect(Math.abs(places.pickup.distance - position)).toBeLessThan(0.004);
  });
  test('a pluck that never moved may stand for the pickup, and the true place is among those not ruled out', () => {
    const { places } = estimate(played([0.15, 0.15, 0.15]));
    const possible = [places.pickup, ...places.alternatives].map(({ distance }) => Math.abs(distance - position));
    expect(Math.min(...possible)).toBeLessThan(0.005);
    expect(places.doubts.length).toBeGreaterThan(0);
  });
  test('silence and noise are refused in a sentence', () => {
    expect(() => estimate(new Float32Array(rate))).toThrow(/no start of a note/);
    let state = 7;
    const noise = Float32Array.from({ length: rate }, (_, i) => {
      state = (state * 1664525 + 1013904223) >>> 0;
      return i < 4800 ? 0 : state / 2 ** 31 - 1;
    });
    expect(() => estimate(noise)).toThrow(/no note could be used/);
  });
});
