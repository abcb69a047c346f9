/** What the readings compute: levels with their nulls, key figures, smoothing, spectra, limits of hearing, plot models. */

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { renderOffline } from '../../../shared/audio/offline.ts';
import { packKernels } from '../../../shared/audio/partition.ts';
import { smoothed } from '../../../shared/audio/smoothing.ts';
import { powerDensity } from '../../../shared/audio/spectrum.ts';
import { power, type Spectrum } from '../../../shared/complex.ts';
import { dbOfPower } from '../../../shared/decibels.ts';
import type { Build, TestPoint } from '../../../shared/document/build.ts';
import { demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { buildFigures } from '../../../shared/response/figures.ts';
import { kernels } from '../../../shared/response/kernel.ts';
import { LEVEL_STEP, qOfHeight, resonanceStep } from '../../../shared/response/noticeable.ts';
import { figureValue } from '../../../shared/response/quantities.ts';
import { response } from '../../../shared/response/response.ts';
import { axisTop, levelsOf, referenceLevel, weakStretches } from '../../../src/parts/curve-levels.ts';
import { curveLayer } from '../../../src/parts/plot-layers.ts';
import { valueAt } from '../../../src/parts/plot-model.ts';
import { scaleOf } from '../../../src/parts/plot-scale.ts';
import { differenceModel } from '../../../src/sound/readings/difference-model.ts';
import { impedanceModel, ohms } from '../../../src/sound/readings/impedance-model.ts';
import { impedanceOf } from '../../../src/sound/readings/impedances.ts';
import { partialsModel } from '../../../src/sound/readings/partials-model.ts';
import type { Setting } from '../../../src/sound/readings/plot-setting.ts';
import { responseModel } from '../../../src/sound/readings/response-model.ts';
import { spectrumModel } from '../../../src/sound/readings/spectrum-model.ts';

const GRID = Float64Array.from({ length: 1201 }, (_, i) => 20 * 1000 ** (i / 1200));
const LOW_E = 5;

/** One coil 41 mm from the saddle on a low E of 648 mm whose inharmonicity is given. */
function oneCoil(position = 0.041): Build {
  const [, bridge] = demoBuilds();
  const pickup = bridge.pickups.find(one => one.coils.length === 1) ?? bridge.pickups[0];
  const tap = bridge.harness.positions[0].taps[0];
  return {
    ...bridge,
    instrument: {
      ...bridge.instrument,
      // strings that run parallel cross the poles squarely, so that the window is even
      spread: { saddle: 0.052, nut: 0.052 },
      strings: bridge.instrument.strings.map((string, i) =>
        i === LOW_E ? { ...string, scale: 0.648, saddle: 0, pitch: 82.4069, inharmonicity: 8.0863e-5 } : string,
      ),
    },
    pickups: [{ ...pickup, position, slant: 0, coils: [{ ...pickup.coils[0], along: 0, strings: null }] }],
    harness: {
      ...bridge.harness,
      selected: 0,
      positions: [{ ...bridge.harness.positions[0], taps: [{ ...tap, pickup: pickup.id, coils: null }] }],
      controls: bridge.harness.controls.filter(control => control.pickup === null || control.pickup === pickup.id),
      blend: null,
    },
  };
}

const at = (build: Build, string: number, point: TestPoint) => response(build, string, point, GRID);
const setting = (builds: readonly Build[], point: TestPoint = 5): Setting => ({
  frequencies: GRID,
  builds: builds.map((build, i) => ({
    letter: (['A', 'B', 'C'] as const)[i],
    build,
    string: LOW_E,
    spectrum: at(build, LOW_E, point),
  })),
  reference: 'A',
  point,
  stringName: 'E2',
  x: [20, 20_000],
});

describe('what listeners just notice', () => {
  // Gagné and Zurek, JASA 83 (1988): 0.079 F/√Q; at 2000 Hz and Q = 2 that is 111.72 Hz
  test('resonance shift', () => {
    expect(resonanceStep(2000, 2)).toBeCloseTo(111.72, 2);
  });
  // Handbook for Sound Engineers 3.8.6: Weber fraction −10 dB
  test('level', () => {
    expect(LEVEL_STEP).toBeCloseTo(0.4139, 4);
  });
  // second-order low-pass with Q = 2.441397 peaks 7.9389 dB above its low frequencies (closed form)
  test('quality factor from the height of the peak', () => {
    expect(qOfHeight(7.9389)).toBeCloseTo(2.441397, 4);
    expect(qOfHeight(0)).toBeCloseTo(Math.SQRT1_2, 12);
    fc.assert(
      fc.property(fc.double({ min: 0.75, max: 30, noNaN: true }), q => {
        const height = 20 * Math.log10(q / Math.sqrt(1 - 1 / (4 * q * q)));
        expect(qOfHeight(height)).toBeCloseTo(q, 5);
      }),
    );
  });
});

describe('levels', () => {
  test('a null between two frequencies is drawn to its depth, at its place', () => {
    // 1 − f/1003 changes sign between the points 1000 and 1010
    const x = Float64Array.of(990, 1000, 1010, 1020);
    const spectrum: Spectrum = { re: new Float64Array(4), im: x.map(f => 1 - f / 1003) };
    const { y, drawn } = levelsOf(spectrum, x);
    expect(y.length).toBe(4);
    expect(drawn.x.length).toBe(5);
    expect(Math.abs(drawn.x[2] - 1003)).toBeLessThan(0.05);
    expect(drawn.y[2]).toBeLessThan(-200);
  });

  test('a smooth curve gets no further points', () => {
    const x = Float64Array.of(100, 200, 300);
    const spectrum: Spectrum = { re: Float64Array.of(1, 0.7, 0.5), im: Float64Array.of(0, 0.3, 0.4) };
    expect(levelsOf(spectrum, x).drawn.x).toEqual(x);
  });

  test('the shift makes the reference 0 dB around 250 Hz', () => {
    const spectrum = at(demoBuilds()[0], LOW_E, 5);
    const level = referenceLevel(spectrum, GRID);
    const y = levelsOf(spectrum, GRID).y.map(value => value - level);
    const third = GRID.map((f, i) => (f > 250 / 2 ** (1 / 6) && f < 250 * 2 ** (1 / 6) ? 10 ** (y[i] / 10) : 0));
    const mean = third.reduce((a, b) => a + b, 0) / third.filter(value => value > 0).length;
    expect(dbOfPower(mean)).toBeCloseTo(0, 9);
  });

  test('axis tops are multiples of 6 above the curve', () => {
    expect([0, 3.7, 4.6, -20].map(axisTop)).toEqual([6, 6, 12, -18]);
  });

  test('where both curves are weak nothing is claimed', () => {
    const x = [1, 2, 3, 4, 5];
    expect(weakStretches(x, [0, -60, -60, -60, -10], [0, -10, -70, -70, -70])).toEqual([{ from: 3, to: 4 }]);
    expect(weakStretches(x, [0, -60, -60, -60, -70], [0, -10, -70, -70, -70])).toEqual([{ from: 3, to: 5 }]);
  });
});

describe('key figures', () => {
  const hum = (build: Build) => figureValue(buildFigures(build, { string: LOW_E, point: 5 }).figures, 'hum');

  // Fletcher, JASA 36 (1964): null m of a pickup at d stands at mode number m L/d, f = n f0 √(1 + B n²)
  test('dips of one coil on the stiff low E', () => {
    const found = buildFigures(oneCoil(), { string: LOW_E, point: 5 }).dips.map(one => one.frequency);
    expect(Math.abs(found[0] - 1315.52)).toBeLessThan(0.05);
    for (const [m, frequency] of found.entries()) {
      const n = ((m + 1) * 0.648) / 0.041;
      expect(Math.abs(frequency / (n * 82.4069 * Math.sqrt(1 + 8.0863e-5 * n * n)) - 1)).toBeLessThan(1e-5);
    }
  });

  test('hum: one coil hears it, two equal coils wound the other way round do not', () => {
    const [neck] = demoBuilds();
    expect(hum(oneCoil())).toBeGreaterThan(-3);
    expect(hum(neck)).toBe(-Infinity);
  });

  test('before the jack there is no resonance, no peak and no hum', () => {
    for (const point of [1, 2, 3] as const)
      for (const quantity of ['resonance', 'peak', 'hum', 'natural'] as const) {
        const { figures } = buildFigures(oneCoil(), { string: LOW_E, point });
        expect(figures.some(one => one.quantity === quantity)).toBe(false);
      }
  });

  test('a position without taps has no figures and no level', () => {
    const build = oneCoil();
    const silent = {
      ...build,
      harness: { ...build.harness, positions: [{ ...build.harness.positions[0], taps: [] }] },
    };
    const { figures, dips, wired } = buildFigures(silent, { string: LOW_E, point: 5 });
    expect(wired).toBe(false);
    expect(dips).toEqual([]);
    expect(figures.every(one => one.value === null)).toBe(true);
  });
});

describe('smoothing', () => {
  test('leaves what is flat as it is, and a straight line too, up to its own curvature', () => {
    const f = Float64Array.from({ length: 4097 }, (_, i) => i * 5.86);
    const flat = smoothed(f, new Float64Array(4097).fill(0.25), GRID, 3);
    for (const value of flat) expect(value).toBeCloseTo(0.25, 12);
  });

  // mean of f² over [a, b] is (a² + ab + b²)/3
  test('takes the mean over the band', () => {
    const f = Float64Array.from({ length: 20_001 }, (_, i) => i);
    const squares = f.map(value => value * value);
    for (const n of [3, 6, 12, 24]) {
      const a = 1000 / 2 ** (1 / (2 * n));
      const b = 1000 * 2 ** (1 / (2 * n));
      const [mean] = smoothed(f, squares, Float64Array.of(1000), n);
      expect(mean / ((a * a + a * b + b * b) / 3) - 1).toBeCloseTo(0, 6);
    }
  });

  test('none: the value itself', () => {
    expect([...smoothed(Float64Array.of(0, 10, 20), Float64Array.of(1, 3, 7), Float64Array.of(5, 10, 30), 0)]).toEqual([
      2, 3, 0,
    ]);
  });
});

/** Noise with a fixed seed (xorshift). */
function noise(length: number, seed: number): Float32Array {
  let state = seed >>> 0 || 1;
  return Float32Array.from({ length }, () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 31 - 1;
  });
}

describe('power density', () => {
  // Parseval: the integral over frequency is the mean square
  test('a full-scale sine holds half', () => {
    const sine = Float32Array.from({ length: 96_000 }, (_, i) => Math.sin((2 * Math.PI * 997 * i) / 48_000));
    const { frequencies, power: density } = powerDensity(sine, 48_000);
    const total = density.reduce((sum, value) => sum + value * frequencies[1], 0);
    expect(total).toBeCloseTo(0.5, 3);
  });

  test('white noise is flat at its mean square over half the rate', () => {
    const signal = noise(480_000, 7);
    const square = signal.reduce((sum, value) => sum + value * value, 0) / signal.length;
    const { frequencies, power: density } = powerDensity(signal, 48_000);
    const bands = smoothed(frequencies, density, Float64Array.of(500, 2000, 8000), 3);
    for (const value of bands) expect(Math.abs(dbOfPower((value * 24_000) / square))).toBeLessThan(0.35);
  });

  test('a rendered take has the density that the response promises', () => {
    const [build] = demoBuilds();
    const channels = build.instrument.strings.map((_, i) =>
      i === LOW_E ? noise(480_000, 3) : new Float32Array(480_000),
    );
    const [out] = renderOffline(channels, packKernels(kernels(build, 5, 48_000).outputs), { sampleRate: 48_000 })!;
    const before = powerDensity(channels[LOW_E], 48_000);
    const after = powerDensity(out, 48_000);
    const spectrum = at(build, LOW_E, 5);
    const promised = Float64Array.from(
      smoothed(before.frequencies, before.power, GRID, 0),
      (value, i) => value * power(spectrum, i),
    );
    const places = Float64Array.of(120, 250, 500, 800, 2000, 3000);
    const estimate = smoothed(GRID, promised, places, 3);
    const exact = smoothed(after.frequencies, after.power, places, 3);
    for (let i = 0; i < places.length; i++) expect(Math.abs(dbOfPower(exact[i] / estimate[i]))).toBeLessThan(0.5);
  });
});

describe('plot models', () => {
  const exactAt = (one: { build: Build; string: number }, f: Float64Array | number) =>
    response(one.build, one.string, 5, typeof f === 'number' ? Float64Array.of(f) : f);

  test('response: the cursor reads what the curve shows', () => {
    const model = responseModel(setting(demoBuilds()), {
      absolute: false,
      span: 48,
      dips: new Map(),
      resonances: new Map(),
      others: [],
      exact: exactAt,
    });
    expect(model.series.map(one => one.label)).toEqual(['A', 'B']);
    for (const one of model.series)
      for (const i of [0, 300, 700, 900]) expect(valueAt(one, GRID[i], 'log')).toBeCloseTo(one.y[i], 8);
    expect(model.y.to - model.y.from).toBe(48);
    // what is drawn is a curve that stays, moved down: both say the same
    for (const { drawn, moved } of model.series) {
      expect(drawn!.y.length).toBe(moved!.y.length);
      for (const [i, value] of drawn!.y.entries()) expect(value).toBeCloseTo(moved!.y[i] - moved!.down, 9);
    }
  });

  test('another zero leaves the curves as they are and moves them', () => {
    const [a, b] = demoBuilds();
    const choice = { absolute: false, span: 48, dips: new Map(), resonances: new Map(), others: [], exact: exactAt };
    const shown = setting([a, b]);
    const before = responseModel(shown, choice).series;
    const after = responseModel({ ...shown, reference: 'B' }, choice).series;
    for (const i of [0, 1]) {
      expect(after[i].moved!.y).toBe(before[i].moved!.y);
      expect(after[i].moved!.down).not.toBeCloseTo(before[i].moved!.down, 3);
    }
    const model = responseModel(shown, choice);
    const sx = scaleOf(model.x, 0, 600);
    const sy = scaleOf(model.y, 300, 0);
    // the drawn path stands where its levels are
    const paths = curveLayer(model, sx, sy, () => '');
    const moves = paths.map(path => /translate\(0 (.+)\)/.exec(String(path.values[2]))?.[1]);
    moves.forEach((move, i) => {
      const { drawn, moved } = model.series[i];
      expect(sy.place(moved!.y[40]) + Number(move)).toBeCloseTo(sy.place(drawn!.y[40]), 6);
    });
  });

  test('response, absolute: TP1 is 0 dB by definition', () => {
    const model = responseModel(setting([demoBuilds()[0]], 1), {
      absolute: true,
      span: 48,
      dips: new Map(),
      resonances: new Map(),
      others: [],
      exact: (one, f) => response(one.build, one.string, 1, Float64Array.of(f)),
    });
    expect(Math.max(...model.series[0].y.map(Math.abs))).toBe(0);
  });

  test('difference: nothing between equal builds, 6.02 dB for twice the sensitivity', () => {
    const [a] = demoBuilds();
    const twice: Build = {
      ...a,
      pickups: a.pickups.map(pickup => ({
        ...pickup,
        coils: pickup.coils.map(coil => ({ ...coil, sensitivity: coil.sensitivity * 2 })),
      })),
    };
    const model = differenceModel(setting([a, a, twice]), { smoothing: 0, span: 12 });
    expect(model.series.map(one => one.label)).toEqual(['B−A', 'C−A']);
    expect(Math.max(...model.series[0].y.map(Math.abs))).toBe(0);
    for (const value of model.series[1].y) expect(value).toBeCloseTo(6.0206, 3);
  });

  test('partials: a pickup at an eighth of the length does not hear the eighth', () => {
    const build = oneCoil(0.648 / 8);
    const model = partialsModel(setting([build]), {
      fret: 0,
      pluck: null,
      span: 48,
      dips: new Map([['A', buildFigures(build, { string: LOW_E, point: 5 }).dips]]),
      exact: exactAt,
    });
    const [bars] = model.series;
    expect(bars.y[7]).toBeLessThan(Math.min(bars.y[6], bars.y[8]) - 80);
    expect(model.marks[0].x).toBeCloseTo(8, 3);
    expect(Math.max(...bars.y)).toBeCloseTo(0, 9);
  });

  // a string plucked at a fifth has no fifth partial (N. Fletcher and T. Rossing, The Physics of Musical Instruments)
  test('partials with the pluck: at a fifth of the length the fifth is missing', () => {
    const model = partialsModel(setting([oneCoil(0.07)]), {
      fret: 0,
      pluck: 0.648 / 5,
      span: 48,
      dips: new Map(),
      exact: exactAt,
    });
    const { y } = model.series[0];
    expect(y[4]).toBeLessThan(Math.min(y[3], y[5]) - 80);
  });

  test('spectrum: 0 dB is the highest point of the reference, the live curve is set to its build', () => {
    const density = new Float64Array(GRID.length).map((_, i) => 1e-6 * (1 + (i % 7)));
    const model = spectrumModel(setting(demoBuilds()), {
      density: new Map([
        ['A', density],
        ['B', density.map(value => value / 10)],
      ]),
      live: { letter: 'B', density: density.map(value => value * 1e3) },
      smoothing: 12,
      span: 48,
      take: 'x',
      how: '',
    });
    const top = (key: string) => Math.max(...model.series.find(one => one.key === key)!.y);
    expect(top('A')).toBeCloseTo(0, 9);
    expect(top('B')).toBeCloseTo(-10, 9);
    expect(top('live')).toBeCloseTo(-10, 9);
  });

  test('impedance at low frequencies is the wire, and phases stay within a quarter turn of a passive network', () => {
    const build = oneCoil();
    const id = build.pickups[0].id;
    const curve = impedanceOf(build, id, GRID)!;
    expect(Math.hypot(curve.re[0], curve.im[0])).toBeCloseTo(build.pickups[0].coils[0].resistance, -2);
    expect(impedanceOf(build, 'nothing', GRID)).toBeNull();
    const model = impedanceModel(setting([build]), { curves: new Map([['A', curve]]), where: 'x', phase: true });
    for (const value of model.series[0].y) expect(Math.abs(value)).toBeLessThanOrEqual(90 + 1e-9);
    expect(ohms(182_345)).toBe('182 kΩ');
    expect(ohms(5960)).toBe('5.96 kΩ');
  });
});
