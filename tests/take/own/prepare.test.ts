/** From a recording through a known pickup back to the bridge force, by the way the page takes. */
import { describe, expect, test } from 'vitest';
import { renderOffline } from '../../../shared/audio/offline.ts';
import { packKernels } from '../../../shared/audio/partition.ts';
import { longTermSpectrum } from '../../../shared/audio/spectrum.ts';
import { demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { kernels } from '../../../shared/response/kernel.ts';
import { type OwnTake, smallBuild, smallPickup, type Through } from '../../../shared/take/own/own-take.ts';
import { FULL_FORCE, highPass, type PreparedTake, prepareSteps } from '../../../shared/take/own/prepare.ts';

const [build] = demoBuilds();
const { instrument } = build;
const rate = 48000;

/**
 * Noise of a fixed seed, N. It ends half a second before the recording does: what rings on beyond the end of a recording
 * cannot be undone, and makes single twelfths of octaves of a take of 2 s wrong by up to 2 dB.
 */
const force = (() => {
  let state = 12345;
  return Float32Array.from({ length: 2.5 * rate }, (_, i) => {
    state = (state * 1664525 + 1013904223) >>> 0;
    return i < 2 * rate ? state / 2 ** 31 - 1 : 0;
  });
})();
const take = (part: Partial<OwnTake>): OwnTake => ({
  id: 'own-test',
  name: 'test',
  file: null,
  added: 0,
  sampleRate: rate,
  frames: force.length,
  size: 0,
  notes: [],
  trim: { from: 0, to: force.length / rate },
  pitches: [null],
  roles: [{ kind: 'string', string: 6 }],
  through: { kind: 'unknown' },
  maximumLift: 40,
  corner: null,
  ...part,
});
const prepared = (one: OwnTake, channels: Float32Array[], sampleRate = rate): PreparedTake => {
  const steps = prepareSteps(
    one,
    (from, to) => channels.map(channel => channel.subarray(from, to)),
    instrument,
    sampleRate,
  );
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
};
const through = (signal: Float32Array, kernel: Float32Array): Float32Array => {
  const [out] = renderOffline([signal], packKernels([[kernel]]), { sampleRate: rate, limiter: false }) ?? [];
  return out;
};
/**
 * Difference of two long-term spectra in twelfths of octaves from 60 Hz to 10 kHz, dB, outside weak bands. Looked at by
 * lines 1.5 Hz apart: coarser ones smear a weak band over its neighbours, and a twelfth at 60 Hz is 3.6 Hz wide.
 * Above 10 kHz weak bands are not listed.
 */
const differences = (a: Float32Array, b: Float32Array, weak: [number, number][]): number[] => {
  const [pa, pb] = [a, b].map(one => longTermSpectrum([one], rate, 32768));
  const found: number[] = [];
  for (let f = 60; f * 2 ** (1 / 12) <= 10000; f *= 2 ** (1 / 12)) {
    const to = f * 2 ** (1 / 12);
    if (weak.some(([low, high]) => low < to && high > f)) continue;
    let [sa, sb] = [0, 0];
    pa.frequencies.forEach((x, k) => {
      if (x < f || x >= to) return;
      sa += pa.power[k];
      sb += pb.power[k];
    });
    if (sa > 0) found.push(10 * Math.log10(sb / sa));
  }
  const mean = found.reduce((sum, d) => sum + d, 0) / found.length;
  return found.map(d => d - mean);
};

describe('un-colouring as the page does it', () => {
  const small: Through = { kind: 'pickup', pickup: smallPickup('single-rods', 0.1, instrument) };
  const cases: [string, Through, Parameters<typeof kernels>[0]][] = [
    ['a small pickup', small, smallBuild(instrument, small.pickup)],
    ['a build of the page', { kind: 'build', build, point: 5 }, build],
  ];
  test.each(cases)('the force comes back from %s within 0.5 dB outside the weak bands', (_, recordedThrough, made) => {
    const recorded = through(force, kernels(made, 5, rate).outputs[0][5]);
    const { channels, uncoloured } = prepared(take({ through: recordedThrough }), [recorded]);
    expect(channels).toHaveLength(6);
    const [{ weak, lift, string }] = uncoloured;
    expect(string).toBe(6);
    expect(weak.length).toBeGreaterThan(3);
    expect(lift).toBeLessThanOrEqual(40.01);
    const wrong = differences(force, channels[5], weak).map(Math.abs);
    expect(wrong.length).toBeGreaterThan(30);
    expect(Math.max(...wrong)).toBeLessThan(0.5);
    for (const silent of channels.slice(0, 5)) expect(silent.every(x => x === 0)).toBe(true);
  });

  test('a lower limit lifts less and gives up more', () => {
    const recorded = through(force, kernels(build, 5, rate).outputs[0][5]);
    const weakOf = (maximumLift: number) => {
      const { uncoloured } = prepared(take({ through: { kind: 'build', build, point: 5 }, maximumLift }), [recorded]);
      expect(uncoloured[0].lift).toBeLessThanOrEqual(maximumLift + 0.01);
      return uncoloured[0].weak.reduce((sum, [from, to]) => sum + to - from, 0);
    };
    expect(weakOf(12)).toBeGreaterThan(weakOf(40));
  });

  test('a corner is a first-order high-pass: −3 dB at the corner, 6 dB per octave far below', () => {
    const h = highPass(40, Float64Array.of(40, 4, 2, 4000));
    const dB = [...h.re].map((re, i) => 20 * Math.log10(Math.hypot(re, h.im[i])));
    expect(dB[0]).toBeCloseTo(-3.0103, 3);
    expect(dB[1] - dB[2]).toBeCloseTo(6.02, 1);
    expect(dB[3]).toBeCloseTo(0, 2);
    expect(Math.atan2(h.im[0], h.re[0])).toBeCloseTo(Math.PI / 4, 6);
  });

  test('a corner at 200 Hz is undone', () => {
    const out = new Float32Array(force.length);
    // bilinear transform with the corner's frequency kept (any textbook on digital filters)
    const k = Math.tan((Math.PI * 200) / rate);
    let [x1, y1] = [0, 0];
    force.forEach((x, i) => {
      y1 = (x - x1 + (1 - k) * y1) / (1 + k);
      x1 = x;
      out[i] = y1;
    });
    const { channels, uncoloured } = prepared(take({ corner: 200 }), [out]);
    const wrong = differences(force, channels[5], uncoloured[0].weak).map(Math.abs);
    expect(Math.max(...differences(force, out, []).map(Math.abs))).toBeGreaterThan(6);
    expect(Math.max(...wrong)).toBeLessThan(0.5);
  });
});

describe('laying out', () => {
  test('with nothing to undo the samples are the recording’s own, scaled to a firm strum', () => {
    const { channels, uncoloured } = prepared(take({}), [force]);
    const peak = channels[5].reduce((most, x) => Math.max(most, Math.abs(x)), 0);
    expect(peak).toBeCloseTo(FULL_FORCE, 4);
    const scale = channels[5][1000] / force[1000];
    for (let i = 0; i < force.length; i += 997) expect(channels[5][i]).toBeCloseTo(scale * force[i], 5);
    expect(uncoloured[0]).toMatchObject({ weak: [], lift: 0 });
  });
  test('trimmed and brought to another rate', () => {
    const { channels } = prepared(take({ trim: { from: 0.5, to: 1.5 } }), [force], 44100);
    expect(channels[5]).toHaveLength(44100);
  });
  test('a mixture lies on its reference string, a channel left out nowhere', () => {
    const roles: OwnTake['roles'] = [{ kind: 'off' }, { kind: 'mixed', reference: 2 }];
    const { channels, uncoloured } = prepared(take({ roles }), [force, force]);
    expect(uncoloured.map(one => one.string)).toEqual([2]);
    expect(channels[1].some(x => x !== 0)).toBe(true);
  });
  test('mixtures without a comb take the strings that no channel names, and say so', () => {
    const roles: OwnTake['roles'] = [
      { kind: 'uncombed' },
      { kind: 'string', string: 1 },
      { kind: 'uncombed' },
      { kind: 'mixed', reference: 3 },
    ];
    const halved = force.map(x => x / 2);
    const { channels, uncoloured, uncombed } = prepared(take({ roles }), [force, halved, halved, halved]);
    expect(uncombed).toEqual([1, 3]);
    expect(uncoloured.map(one => one.string)).toEqual([2, 1, 4, 3]);
    expect(channels[1][1000] / channels[3][1000]).toBeCloseTo(2, 4);
    expect(channels[4].every(x => x === 0)).toBe(true);
    expect(prepared(take({}), [force]).uncombed).toEqual([]);
  });
  test('the balance of the strings is what it was at the bridge, not what the pickup made of it', () => {
    // strings 6 and 1, the second half as strong, through a build that reads them at very different levels
    const slanted = { ...smallPickup('single-rods', 0.06, instrument), height: { bass: 1.5e-3, treble: 5e-3 } };
    const made = smallBuild(instrument, slanted);
    const { outputs } = kernels(made, 5, rate);
    const halved = force.map(x => x / 2);
    const recorded = [through(force, outputs[0][5]), through(halved, outputs[0][0])];
    const rms = (samples: Float32Array) => Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);
    const balance = 20 * Math.log10(rms(recorded[0]) / rms(recorded[1]));
    expect(Math.abs(balance - 20 * Math.log10(2))).toBeGreaterThan(10);
    const one = take({
      pitches: [null, null],
      roles: [
        { kind: 'string', string: 6 },
        { kind: 'string', string: 1 },
      ],
      through: { kind: 'build', build: made, point: 5 },
    });
    const { channels, uncoloured } = prepared(one, recorded);
    const weak = uncoloured.flatMap(string => string.weak);
    const strong = Array.from({ length: 400 }, (_, i) => 100 + 10 * i).filter(f =>
      weak.every(([from, to]) => f < from - 20 || f > to + 20),
    );
    const power = (samples: Float32Array) => {
      const { power } = longTermSpectrum([samples], rate, 16384);
      return strong.reduce((sum, f) => sum + power[Math.round((f * 16384) / rate)], 0);
    };
    expect(strong.length).toBeGreaterThan(100);
    expect(10 * Math.log10(power(channels[5]) / power(channels[0]))).toBeCloseTo(20 * Math.log10(2), 0);
  });
  test('coil and load of the pickup are undone in a mixture, a comb is not', () => {
    const pickup = smallPickup('single-rods', 0.1, instrument);
    const made = smallBuild(instrument, pickup);
    const one = take({ roles: [{ kind: 'uncombed' }], through: { kind: 'pickup', pickup } });
    const recorded = through(force, kernels(made, 5, rate, [0]).outputs[0][0]);
    const { channels, uncoloured, uncombed } = prepared(one, [recorded]);
    expect(uncombed).toEqual([0]);
    const wrong = differences(force, channels[0], []).map(Math.abs);
    expect(wrong.length).toBeGreaterThan(80);
    expect(Math.max(...wrong)).toBeLessThan(0.5);
    // the network has no nulls, a comb would
    expect(uncoloured[0].weak.filter(([from]) => from < 10_000)).toEqual([]);
    // where the pickup stood does not matter
    const elsewhere = { ...pickup, position: 0.05 };
    const again = prepared({ ...one, through: { kind: 'pickup', pickup: elsewhere } }, [recorded]);
    for (let i = 0; i < force.length; i += 997) expect(again.channels[0][i]).toBeCloseTo(channels[0][i], 5);
  });
  test('silence stays silence', () => {
    const { channels } = prepared(take({}), [new Float32Array(force.length)]);
    for (const channel of channels) expect(channel.every(x => x === 0)).toBe(true);
  });
  test.each<[string, Partial<OwnTake>, RegExp]>([
    ['no channel', { roles: [{ kind: 'off' }] }, /at least one channel/],
    ['a string that is not there', { roles: [{ kind: 'string', string: 9 }] }, /string 9/],
    [
      'one string twice',
      {
        roles: [
          { kind: 'string', string: 6 },
          { kind: 'mixed', reference: 6 },
        ],
      },
      /one channel/,
    ],
    [
      'a mixture beside a channel for every string',
      {
        roles: [
          ...instrument.strings.map((_, i) => ({ kind: 'string', string: i + 1 }) as const),
          { kind: 'uncombed' },
        ],
      },
      /channel 7 holds several strings/,
    ],
    ['next to nothing left', { trim: { from: 1, to: 1.01 } }, /at least 0\.1 s/],
  ])('%s is refused in a sentence', (_, part, message) => {
    expect(() => prepared(take(part), [force, force])).toThrow(message);
  });
});
