import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { harnessGains } from '../../shared/circuit/harness.ts';
import type { Spectrum } from '../../shared/complex.ts';
import type { Build } from '../../shared/document/build.ts';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { dips } from '../../shared/response/dips.ts';
import { pluckLevel } from '../../shared/response/figures.ts';
import { mixingWeights } from '../../shared/response/mixing.ts';
import { response, responses } from '../../shared/response/response.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import { windowGain, windowSkew } from '../../shared/sensor/windows.ts';
import { impedance, stringModel, waveNumber } from '../../shared/string/stiff.ts';
import { BUILDS, changed } from './builds.ts';

const [a, b] = demoBuilds();
const grid = Float64Array.from({ length: 200 }, (_, i) => 20 * 1000 ** (i / 199));
const POINTS = [1, 2, 3, 4, 5] as const;
const same = (x: Spectrum, y: Spectrum, scale = 1) => {
  let most = 0;
  let error = 0;
  x.re.forEach((_, i) => {
    most = Math.max(most, Math.hypot(x.re[i], x.im[i]));
    error = Math.max(error, Math.hypot(x.re[i] - scale * y.re[i], x.im[i] - scale * y.im[i]));
  });
  expect(error).toBeLessThanOrEqual(1e-12 * most);
};

describe('the definition, written out', () => {
  for (const [name, build] of Object.entries(BUILDS))
    test(`every test point of "${name}" is the sum over coils`, () => {
      const weights = mixingWeights(build);
      build.instrument.strings.forEach((spec, s) => {
        const model = stringModel(spec);
        for (const point of POINTS) {
          const got = response(build, s, point, grid);
          const gains = point > 3 ? harnessGains(build, point as 4 | 5, grid)[0] : null;
          let worst = 0;
          let most = 0;
          for (let i = 0; i < grid.length; i++) {
            const k = waveNumber(model, grid[i]);
            let [re, im] = point === 1 ? [1, 0] : [0, 0];
            for (const pickup of build.pickups)
              for (const coil of pickup.coils) {
                if (point === 1) continue;
                const key = `${pickup.id}.${coil.id}`;
                const on = coilOnString(build, pickup, coil, s);
                const sense = coil.polarity * coil.winding * (on.level > 0 ? 1 : 0);
                const [even, odd] =
                  point === 2 ? [1, 0] : [windowGain(coil.window, on.field, k), windowSkew(coil.window, on.field, k)];
                const strength = point === 2 ? 1 : coil.sensitivity * on.level;
                const seen = even * Math.sin(k * on.x) + odd * Math.cos(k * on.x);
                const factor = (sense * strength * seen) / impedance(model, grid[i]);
                const gain = gains?.get(key);
                if (gains) {
                  re -= factor * (gain?.im[i] ?? 0);
                  im += factor * (gain?.re[i] ?? 0);
                } else im += factor * (weights.get(key) ?? 0);
              }
            worst = Math.max(worst, Math.hypot(re - got.re[i], im - got.im[i]));
            most = Math.max(most, Math.hypot(re, im));
          }
          expect(most).toBeGreaterThan(0);
          expect(worst / most).toBeLessThan(1e-13);
        }
      });
    });
});

describe('properties', () => {
  test('kept factors change nothing: same numbers from a used list, a fresh list and one frequency at a time', () => {
    for (const position of [0.15, 0.151, 0.162]) {
      const build = {
        ...changed(a, copy => {
          copy.pickups[0].position = position;
        }),
        instrument: a.instrument,
      };
      const used = response(build, 5, 5, grid);
      same(used, response(build, 5, 5, Float64Array.from(grid)));
      const single = response(build, 5, 5, Float64Array.of(grid[77]));
      expect(single.im[0]).toBeCloseTo(used.im[77], 12);
    }
    // each of these alone, at one place: whatever the factor depends on
    const changes: ((copy: Build) => void)[] = [
      copy => {
        copy.pickups[0].height = { bass: 4e-3, treble: 4e-3 };
      },
      copy => {
        copy.pickups[0].coils[0].window = { ...copy.pickups[0].coils[0].window, depth: 5e-3 };
      },
      ...(['rectangle', 'raised-cosine', 'gaussian'] as const).flatMap(shape =>
        [0.01, 0.02].map(width => (copy: Build) => {
          copy.pickups[0].coils[0].window = { shape, width, depth: 2e-3 };
        }),
      ),
    ];
    for (const change of changes) {
      // the same strings, as an edit leaves them: factors are kept by string
      const build = { ...changed(a, change), instrument: a.instrument };
      same(response(build, 5, 3, grid), response(build, 5, 3, Float64Array.from(grid)));
    }
    for (const [s, curve] of responses(a, 5, grid).entries()) same(curve, response(a, s, 5, grid));
  });

  test('is linear in sensitivity and follows the sign of the magnet and of the winding', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 50, noNaN: true }), fc.constantFrom(3, 4, 5), (factor, point) => {
        const louder = changed(b, copy => {
          copy.pickups[0].coils[0].sensitivity *= factor;
        });
        const turned = changed(b, copy => {
          copy.pickups[0].coils[0].polarity = -1;
        });
        const both = changed(turned, copy => {
          copy.pickups[0].coils[0].winding = -1;
        });
        const plain = response(b, 5, point as 3, grid);
        same(response(louder, 5, point as 3, grid), plain, factor);
        same(response(turned, 5, point as 3, grid), plain, -1);
        same(response(both, 5, point as 3, grid), plain);
      }),
      { numRuns: 20 },
    );
  });

  test('the frets are not in it: an instrument with other frets has the same response', () => {
    const fretless = changed(a, copy => {
      copy.instrument.frets = 0;
    });
    for (const point of POINTS) same(response(a, 4, point, grid), response(fretless, 4, point, grid));
  });

  test('two like coils in series at test point 2: 2 sin(kd) cos(ks/2); out of phase: 2 cos(kd) sin(ks/2)', () => {
    const model = stringModel(a.instrument.strings[5]);
    const turned = changed(a, copy => {
      copy.harness.positions[0].taps[0].antiphase = true;
    });
    const inPhase = response(a, 5, 2, grid);
    const outOfPhase = response(turned, 5, 2, grid);
    grid.forEach((f, i) => {
      const k = waveNumber(model, f);
      const z = impedance(model, f);
      const [d, s] = [0.162, 0.0185];
      expect(Math.abs(inPhase.im[i] * z - 2 * Math.sin(k * d) * Math.cos((k * s) / 2))).toBeLessThan(1e-12);
      expect(Math.abs(outOfPhase.im[i] * z - 2 * Math.cos(k * d) * Math.sin((k * s) / 2))).toBeLessThan(1e-12);
    });
  });

  test('close to the saddle test point 2 becomes the slope of the string: x k/Z', () => {
    const near = changed(b, copy => {
      copy.pickups[0].position = 0.003;
    });
    const f = Float64Array.of(100);
    const model = stringModel(b.instrument.strings[5]);
    expect(response(near, 5, 2, f).im[0] / ((0.003 * waveNumber(model, 100)) / impedance(model, 100))).toBeCloseTo(
      1,
      3,
    );
  });

  test('0 Hz is finite everywhere and silent behind the comb', () => {
    const zero = Float64Array.of(0);
    for (const build of Object.values(BUILDS))
      for (const point of POINTS) {
        const { re, im } = response(build, 0, point, zero);
        expect(Math.hypot(re[0], im[0])).toBe(point === 1 ? 1 : 0);
      }
  });
});

describe('wiring as mixing weights', () => {
  const pick = (selected: number, build: Build = a) =>
    changed(build, copy => {
      copy.harness.selected = selected;
    });
  test('series adds, parallel averages, one coil stands alone, what is not connected is absent', () => {
    expect([...mixingWeights(a)]).toEqual([
      ['neck.neck-side', 1],
      ['neck.bridge-side', 1],
    ]);
    expect([...mixingWeights(pick(1)).values()]).toEqual([0.5, 0.5]);
    expect([...mixingWeights(pick(2))]).toEqual([['neck.neck-side', 1]]);
  });
  test('reversed pickups and pickups in parallel', () => {
    const bass = demoBass();
    expect([...mixingWeights(bass).values()]).toEqual([0.5, 0.5, 0.5]);
    const reversed = changed(bass, copy => {
      copy.harness.positions[0].taps[1].reverse = true;
      copy.harness.positions[0].join = 'series';
    });
    expect([...mixingWeights(reversed).values()]).toEqual([1, 1, -1]);
    expect(mixingWeights(bass, 1).size).toBe(0);
  });
});

describe('figures', () => {
  test('dips of one coil are the nodes of its comb; two coils add a notch where ks = π', () => {
    const model = stringModel(b.instrument.strings[5]);
    const single = dips(b, 5, 3, { limit: 5000 });
    expect(single.map(n => n.cause)).toEqual(['position', 'position', 'position']);
    // strings that converge over a row of poles move them by thousandths
    for (const [i, n] of single.entries())
      expect((waveNumber(model, n.frequency) * 0.038) / Math.PI).toBeCloseTo(i + 1, 3);
    expect(single[0].partial).toBeCloseTo(648 / 38, 2);
    expect(dips(b, 5, 3, { limit: 5000, fret: 12 })[0].partial).toBeCloseTo(324 / 38, 2);
    const level = changed(a, copy => {
      // a long rail under strings that run parallel: both coils hear alike
      Object.assign(copy.pickups[0].poles, { kind: 'rail', spread: 0.08 });
      copy.instrument.spread.nut = copy.instrument.spread.saddle;
    });
    const notch = dips(level, 5, 3, { limit: 5000 }).find(
      n => Math.abs((waveNumber(model, n.frequency) * 0.0185) / Math.PI - 1) < 1e-5,
    );
    expect(notch).toMatchObject({ complete: true });
  });

  test('the level of plucked strings follows a change of gain exactly and silence is −Infinity', () => {
    const louder = changed(b, copy => {
      copy.pickups[0].coils[0].sensitivity *= 10;
    });
    expect(pluckLevel(louder, 5) - pluckLevel(b, 5)).toBeCloseTo(20, 9);
    const silent = changed(b, copy => {
      copy.harness.positions[0].taps = [];
    });
    expect(pluckLevel(silent, 3)).toBe(Number.NEGATIVE_INFINITY);
    expect(pluckLevel(b, 1)).toBeCloseTo(0, 12);
  });
});
