/** Dips against brute force on the exact curve, against known combs, and their causes against what would fill them. */
import { describe, expect, test } from 'vitest';
import { CircuitError } from '../../shared/circuit/elements.ts';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { dips } from '../../shared/response/dips.ts';
import { response } from '../../shared/response/response.ts';
import { frequencyOf, stringModel } from '../../shared/string/stiff.ts';
import { dice } from '../circuit/random.ts';
import { draws } from '../draws.ts';
import { dense, dipsByBruteForce } from './brute-dips.ts';
import { changed } from './builds.ts';
import { randomPlaced } from './random-builds.ts';

const LIMIT = 5000;
const [, bridge] = demoBuilds();
const E2 = 5;

/** Every half hertz of the exact curve. */
const DENSE = dense(0.5);

describe('dips', () => {
  test(`are those that brute force finds on ${draws(30)} random builds, at every test point`, () => {
    const d = dice(9);
    let [count, shallow, compared] = [0, 0, 0];
    while (compared < draws(30)) {
      const build = randomPlaced(d);
      const string = d.whole(0, build.instrument.strings.length - 1);
      const point = d.of([2, 3, 4, 5, 5] as const);
      let found: ReturnType<typeof dips>;
      try {
        found = dips(build, string, point, { limit: LIMIT });
      } catch (error) {
        expect(error).toBeInstanceOf(CircuitError);
        continue;
      }
      compared++;
      const brute = dipsByBruteForce(build, string, point, DENSE, LIMIT);
      // at the threshold itself half a hertz decides
      const sure = (depth: number) => depth > 6.05;
      const note = `${compared}: ${found.map(x => `${x.frequency.toFixed(1)}/${x.depth.toFixed(1)}`).join(' ')} | ${brute.map(x => `${x.f}/${x.depth.toFixed(1)}`).join(' ')}`;
      for (const one of brute.filter(b => sure(b.depth))) {
        const own = found.find(x => Math.abs(x.frequency - one.f) < 1);
        expect(own, note).toBeDefined();
        if (one.depth < 30) expect(Math.abs(own!.depth - one.depth), note).toBeLessThan(0.15);
        else expect(own!.depth, note).toBeGreaterThan(one.depth - 0.1);
      }
      for (const own of found.filter(x => sure(x.depth)))
        expect(
          brute.some(b => Math.abs(b.f - own.frequency) < 1),
          note,
        ).toBe(true);
      count += brute.length;
      shallow += brute.filter(b => b.depth < 30).length;
    }
    // the lot must hold dips of either kind, or the test says nothing
    expect(count).toBeGreaterThan(draws(60));
    expect(shallow).toBeGreaterThan(draws(20));
  });

  // Fletcher, JASA 36 (1964): null m of a pickup at d stands at mode number m L/d of the stiff string
  test('of one coil are the nodes of its comb, complete, and the pickup that has them is named', () => {
    const model = stringModel(bridge.instrument.strings[E2]);
    const found = dips(bridge, E2, 5, { limit: LIMIT });
    const x = model.length / (found[0].partial / 1);
    // strings that converge over a row of poles move them by less than a thousandth
    found.forEach((dip, m) => {
      expect(Math.abs(dip.frequency / frequencyOf(model, ((m + 1) * Math.PI) / x) - 1)).toBeLessThan(1e-3);
      expect(dip).toMatchObject({ complete: true, cause: 'position', pickup: bridge.pickups[0].id });
    });
    expect(found).toHaveLength(3);
  });

  test('partials follow the fret, frequencies do not', () => {
    const [open, octave] = [0, 12].map(fret => dips(bridge, E2, 5, { limit: LIMIT, fret })[0]);
    expect(octave.frequency).toBe(open.frequency);
    expect(octave.partial).toBeCloseTo(open.partial / 2, 9);
  });

  test('two unlike pickups with volumes: the dips of the jack, not the changes of sign of equal shares', () => {
    const bass = demoBass();
    const f = Float64Array.from({ length: 9960 }, (_, i) => 20 + i / 5);
    const signs = (string: number) => {
      const { im } = response(bass, string, 3, f);
      return [...f].filter((_, i) => i > 0 && im[i] * im[i - 1] < 0);
    };
    const atJack = dips(bass, 0, 5, { limit: 2000 });
    expect(atJack.length).toBeGreaterThan(0);
    for (const one of atJack) {
      expect(one).toMatchObject({ cause: 'pickups', complete: false, pickup: null });
      expect(signs(0).every(zero => Math.abs(zero - one.frequency) > 5)).toBe(true);
    }
    // at test point 3 every change of sign is a complete dip
    for (const string of [0, 3]) {
      const shares = dips(bass, string, 3, { limit: 2000 });
      for (const zero of signs(string)) {
        const own = shares.find(one => Math.abs(one.frequency - zero) < 0.3);
        expect(own?.complete).toBe(true);
      }
    }
  });

  test('a rectangle has an aperture dip of its own, and a trap in the harness one of the network', () => {
    // first null of a rectangle of width w at k = 2π/w (Fourier transform of a rectangle)
    const wide = changed(bridge, copy => {
      copy.pickups[0].coils[0].window = { shape: 'rectangle', width: 0.06, depth: 0.0035 };
    });
    const model = stringModel(wide.instrument.strings[E2]);
    const at = frequencyOf(model, (2 * Math.PI) / 0.06);
    const own = dips(wide, E2, 5, { limit: LIMIT }).find(x => Math.abs(x.frequency - at) < 1);
    expect(own).toMatchObject({ cause: 'aperture', complete: true, pickup: wide.pickups[0].id });

    // an inductor past an opened tone pot, in series with its capacitor to ground: f = 1/(2π √LC) = 1591.5 Hz
    const trapped = changed(bridge, copy => {
      Object.assign(copy.harness.controls[0].tone!, { value: 10e6, setting: 1, capacitance: 10e-9 });
      const from = { at: 'jack', output: copy.outputs[0].id } as const;
      const to = { at: 'control', control: copy.harness.controls[0].id, end: 'tone' } as const;
      copy.harness.fixed = [{ id: 'trap', kind: 'inductor', value: 1, from, to }];
    });
    const [trap, ...others] = dips(trapped, 0, 5, { limit: LIMIT });
    expect(others).toEqual([]);
    expect(Math.abs(trap.frequency - 1591.5)).toBeLessThan(5);
    expect(trap).toMatchObject({ cause: 'network', pickup: null });
  });

  test('silence and the bridge have none', () => {
    const silent = changed(bridge, copy => {
      copy.harness.positions[0].taps = [];
    });
    expect(dips(silent, 0, 5, { limit: LIMIT })).toEqual([]);
    expect(dips(bridge, 0, 1, { limit: LIMIT })).toEqual([]);
  });
});

describe('coils out of phase', () => {
  test('their first dip is said to be theirs, at the antinode over the pickup, not a node', () => {
    const [double] = demoBuilds();
    const turned = changed(double, copy => {
      copy.harness.positions[0].taps[0].antiphase = true;
    });
    const model = stringModel(double.instrument.strings[E2]);
    const x = double.pickups[0].position;
    const [first] = dips(turned, E2, 2, { limit: LIMIT });
    // cos kx = 0: the string moves alike over both
    expect(first.frequency / frequencyOf(model, Math.PI / (2 * x))).toBeCloseTo(1, 2);
    expect(first.cause).toBe('coils');
    const [node] = dips(double, E2, 2, { limit: LIMIT });
    expect(node.frequency / frequencyOf(model, Math.PI / x)).toBeCloseTo(1, 2);
    expect(node.cause).toBe('position');
    // a magnet and a winding turned together change nothing, one of them puts the pair out of phase
    const both = changed(double, copy => {
      copy.pickups[0].coils[1].polarity = 1;
      copy.pickups[0].coils[1].winding = 1;
    });
    expect([double.pickups[0].coils[1].polarity, double.pickups[0].coils[1].winding]).toEqual([-1, -1]);
    expect(dips(both, E2, 2, { limit: LIMIT })[0].cause).toBe('position');
    const one = changed(double, copy => {
      copy.pickups[0].coils[1].winding = 1;
    });
    expect(dips(one, E2, 2, { limit: LIMIT })[0].cause).toBe('coils');
  });
});
