/** Mixing weights against the network of like coils, and the kernels' delay against the string's own phase. */
import { describe, expect, test } from 'vitest';
import { harnessGains } from '../../shared/circuit/harness.ts';
import type { Build, Tap } from '../../shared/document/build.ts';
import { kernelDelay } from '../../shared/response/delay.ts';
import { coilStrength, gainsOf } from '../../shared/response/gains.ts';
import { coilKey, mixingWeights } from '../../shared/response/mixing.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';
import { stringModel, waveNumber } from '../../shared/string/stiff.ts';
import { buildOf, coilOf, inputOf, pickupOf, positionOf, tapOf } from '../circuit/fixtures.ts';

const coil = (id: string) => coilOf(id, 6000, 2.5, 1e-10);
const pair = (id: string) => pickupOf(id, coil('a'), coil('b'));
const LOW = Float64Array.of(0.01);

/** A build of two pickups of two like coils each, without controls, its jack open. */
function wired(join: 'series' | 'parallel', ...taps: Tap[]): Build {
  const build = buildOf([pair('n'), pair('b')], positionOf(join, ...taps), [], [inputOf(1e6)]);
  return { ...build, outputs: [build.outputs[0], { ...build.outputs[0], id: 'out-2' }] };
}

describe('mixing weights', () => {
  const joins = ['series', 'parallel'] as const;
  const taps: [string, (join: Tap['join']) => Tap[]][] = [
    ['one pickup', join => [tapOf('n', { join })]],
    ['both', join => [tapOf('n', { join }), tapOf('b', { join })]],
    ['one turned round', join => [tapOf('n', { join }), tapOf('b', { join, reverse: true })]],
    ['coils against each other', join => [tapOf('n', { join, antiphase: true }), tapOf('b', { join })]],
    ['one coil of each', join => [tapOf('n', { join, coils: ['a'] }), tapOf('b', { join, coils: ['b'] })]],
    ['coils the other way about', join => [tapOf('n', { join, coils: ['b', 'a'], antiphase: true })]],
    ['to the second jack', join => [tapOf('n', { join }), tapOf('b', { join, output: 'out-2', reverse: true })]],
  ];
  for (const join of joins)
    for (const within of joins)
      test.each(taps)(
        `%s, pickups in ${join}, coils in ${within}: what like coils add up to at an open jack`,
        (_, make) => {
          const build = wired(join, ...make(within));
          const gains = harnessGains(build, 4, LOW);
          for (const output of [0, 1]) {
            const weights = mixingWeights(build, output);
            for (const [key, weight] of weights) expect(gains[output].get(key)!.re[0]).toBeCloseTo(weight, 6);
            for (const [key, gain] of gains[output])
              if (!weights.has(key)) expect(Math.abs(gain.re[0])).toBeLessThan(1e-9);
          }
          expect(mixingWeights(build)).toEqual(mixingWeights(build, 0));
        },
      );

  test('nothing where there is no such output, position or pickup', () => {
    const build = wired('parallel', tapOf('n'));
    expect(mixingWeights(build, 7).size).toBe(0);
    expect(mixingWeights({ ...build, harness: { ...build.harness, selected: 9 } }).size).toBe(0);
    expect(mixingWeights(wired('parallel', tapOf('gone'))).size).toBe(0);
    expect(coilKey('n', 'a')).toBe('n.a');
  });

  test('before the jack the weights, from there on the network; an EMF has the sense of magnet and winding', () => {
    const build = wired('series', tapOf('n'));
    for (const point of [2, 3] as const)
      expect(gainsOf(build, point, LOW, 0)).toEqual({ wiring: mixingWeights(build) });
    for (const point of [4, 5] as const) {
      const gains = gainsOf(build, point, LOW, 0);
      expect('network' in gains && gains.network).toEqual(harnessGains(build, point, LOW)[0]);
      expect(gainsOf(build, point, LOW, 7)).toEqual({ network: new Map() });
    }
    const one = { ...coil('a'), sensitivity: 0.2 };
    expect(coilStrength(one, 2)).toBe(1);
    expect(coilStrength(one, 3)).toBe(0.2);
    expect(coilStrength({ ...one, polarity: -1 }, 5)).toBe(-0.2);
    expect(coilStrength({ ...one, polarity: -1, winding: -1 }, 5)).toBe(0.2);
    expect(coilStrength({ ...one, winding: -1 }, 2)).toBe(-1);
  });
});

describe('delay of the kernels', () => {
  const [guitar] = STRING_SETS;
  test('without stiffness: 0.6 of the string’s length at its speed, and what the band limit rings', () => {
    // x/c = 0.6 L/(2 L f0)
    for (const spec of guitar.instrument.strings)
      for (const rate of [44_100, 96_000])
        expect(kernelDelay({ ...spec, inharmonicity: 0 }, rate)).toBe(Math.ceil((0.3 / spec.pitch) * rate + 64) + 16);
  });
  test('with stiffness: the Airy function of the phase’s cubic term, taken from the wave number itself', () => {
    for (const inharmonicity of [1e-4, 2e-3, 8e-3])
      for (const spec of guitar.instrument.strings) {
        const model = stringModel({ ...spec, inharmonicity });
        const x = 0.6 * spec.scale;
        // phase x k = ωx/c − aω³ + …: a from a frequency where the next term is small
        const w = 2 * Math.PI * 0.2 * spec.pitch;
        const a = ((w / model.speed - waveNumber(model, w / (2 * Math.PI))) * x) / w ** 3;
        const ahead = 7 * Math.cbrt(3 * a);
        const expected = Math.ceil((x / model.speed) * 96_000 + Math.max(64, ahead * 96_000)) + 16;
        expect(Math.abs(kernelDelay({ ...spec, inharmonicity }, 96_000) - expected)).toBeLessThanOrEqual(1);
      }
  });
});
