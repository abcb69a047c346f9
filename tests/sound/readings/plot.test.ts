/** Pure parts of the plots: axes, ticks, paths, labels, figures. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { csv, plotCsv } from '../../../src/parts/plot-csv.ts';
import { labelPlaces } from '../../../src/parts/plot-labels.ts';
import type { PlotModel, PlotSeries } from '../../../src/parts/plot-model.ts';
import { barsPath, linePath } from '../../../src/parts/plot-path.ts';
import { interpolated, lastNotAbove, nearest, scaleOf } from '../../../src/parts/plot-scale.ts';
import {
  axisNumber,
  frequencyText,
  linearTicks,
  logTicks,
  signedNumber,
  thirdOctaves,
} from '../../../src/parts/plot-ticks.ts';

const points = (path: string): [number, number][] =>
  [...path.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(match => [Number(match[1]), Number(match[2])]);

describe('scales', () => {
  test('a log axis gives every octave the same room and comes back to the value', () => {
    const scale = scaleOf({ kind: 'log', from: 20, to: 20_000 }, 40, 840);
    expect(scale.place(20)).toBeCloseTo(40, 9);
    expect(scale.place(20_000)).toBeCloseTo(840, 9);
    expect(scale.place(2000) - scale.place(1000)).toBeCloseTo(scale.place(200) - scale.place(100), 9);
    fc.assert(
      fc.property(fc.double({ min: 20, max: 20_000, noNaN: true }), hz => {
        expect(scale.value(scale.place(hz))).toBeCloseTo(hz, 6);
      }),
    );
  });

  test('a vertical axis runs upwards', () => {
    const scale = scaleOf({ kind: 'linear', from: -36, to: 12 }, 240, 0);
    expect(scale.place(-36)).toBe(240);
    expect(scale.place(0)).toBe(60);
    expect(scale.value(120)).toBe(-12);
  });

  test('an axis that cannot be is refused', () => {
    expect(() => scaleOf({ kind: 'log', from: 0, to: 10 }, 0, 1)).toThrow('no axis from 0 to 10');
    expect(() => scaleOf({ kind: 'linear', from: 3, to: 3 }, 0, 1)).toThrow();
  });

  test('search agrees with looking through the list', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 1, max: 1000 }), { minLength: 1, maxLength: 40 }),
        fc.integer({ min: 0, max: 1001 }),
        (list, at) => {
          const x = Float64Array.from(list).sort();
          expect(lastNotAbove(x, at)).toBe(x.findLastIndex(value => value <= at));
          const distance = Math.min(...x.map(value => Math.abs(value - at)));
          expect(Math.abs(x[nearest(x, at, 'linear')] - at)).toBe(distance);
        },
      ),
    );
  });

  test('interpolation is exact on points, halfway on the axis between, and silent outside', () => {
    const x = Float64Array.of(100, 400, 1600);
    const y = Float64Array.of(0, 6, -6);
    expect(interpolated(x, y, 400, 'log')).toBe(6);
    expect(interpolated(x, y, 200, 'log')).toBeCloseTo(3, 12);
    expect(interpolated(x, y, 250, 'linear')).toBeCloseTo(3, 12);
    expect(interpolated(x, y, 1600, 'log')).toBe(-6);
    expect(interpolated(x, y, 99, 'log')).toBeNaN();
    expect(interpolated(x, y, 1601, 'log')).toBeNaN();
  });
});

describe('ticks and numbers', () => {
  test('a wide frequency axis is labelled at 1, 2 and 5', () => {
    const ticks = logTicks({ kind: 'log', from: 20, to: 20_000 }, 790);
    expect(ticks.filter(tick => tick.label).map(tick => tick.label)).toEqual(
      ['20', '50', '100', '200', '500', '1 k', '2 k', '5 k', '10 k', '20 k'], // prettier-ignore
    );
    expect(ticks.map(tick => tick.value)).toContain(300);
    expect(ticks).toHaveLength(28);
  });

  test('a narrow one is labelled less, and labels never run into each other', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 160, max: 1600 }),
        fc.constantFrom([20, 20_000], [20, 2000], [1000, 20_000]),
        (pixels, [from, to]) => {
          const scale = scaleOf({ kind: 'log', from, to }, 0, pixels);
          const places = logTicks(scale, pixels)
            .filter(tick => tick.label)
            .map(tick => scale.place(tick.value));
          for (let i = 1; i < places.length; i++) expect(places[i] - places[i - 1]).toBeGreaterThan(22);
        },
      ),
    );
  });

  test('a level axis takes the smallest step that has room', () => {
    const ticks = linearTicks({ kind: 'linear', from: -36, to: 12 }, 235, 36, [1, 3, 6, 12, 24]);
    expect(ticks.map(tick => tick.label)).toEqual(['−36', '−24', '−12', '0', '12']);
    expect(linearTicks({ kind: 'linear', from: 0, to: 41 }, 800, 60).map(tick => tick.value)).toEqual(
      [0, 5, 10, 15, 20, 25, 30, 35, 40], // prettier-ignore
    );
  });

  test('numbers are written as the trade writes them', () => {
    expect([100, 2000, 1500, 1e6, -36].map(axisNumber)).toEqual(['100', '2 k', '1.5 k', '1 M', '−36']);
    expect([82.4069, 329.628, 3732.76, 12_345].map(frequencyText)).toEqual([
      '82.41 Hz',
      '329.6 Hz',
      '3\u202f733 Hz',
      '12\u202f350 Hz',
    ]);
    expect(signedNumber(-10.24)).toBe('−10.2');
    expect(signedNumber(3.7, 1, true)).toBe('+3.7');
    expect(signedNumber(-0.04, 1, true)).toBe('0.0');
    expect(signedNumber(Number.NaN)).toBe('–');
    expect(signedNumber(-Infinity)).toBe('−∞');
  });

  // IEC 61260-1: exact mid-band frequencies 1000 · 10^(x/10), nominal values by rounding
  test('third-octave centres', () => {
    const bands = thirdOctaves(20, 20_000);
    expect(bands).toHaveLength(31);
    const nominal = Object.fromEntries(bands.map(band => [band.nominal, band.exact]));
    expect(nominal[1250]).toBeCloseTo(1258.925, 3);
    expect(nominal[1600]).toBeCloseTo(1584.893, 3);
    expect(nominal[800]).toBeCloseTo(794.328, 3);
    expect(nominal[31.5]).toBeCloseTo(31.623, 3);
    expect(bands[0].nominal).toBe(20);
    expect(bands.at(-1)?.nominal).toBe(20_000);
  });
});

describe('paths', () => {
  const sx = scaleOf({ kind: 'linear', from: 0, to: 1000 }, 0, 100);
  const sy = scaleOf({ kind: 'linear', from: -60, to: 0 }, 200, 0);

  test('few points are all drawn, with one decimal', () => {
    expect(linePath([0, 333, 1000], [0, -30, -60], sx, sy)).toBe('M0 0L33.3 100L100 200');
  });

  test('every null and every peak survives, and the path stays short', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -60, max: 0, noNaN: true }), { minLength: 500, maxLength: 4000 }), list => {
        const x = Float64Array.from(list, (_, i) => (1000 * i) / (list.length - 1));
        const drawn = points(linePath(x, list, sx, sy));
        expect(drawn.length).toBeLessThanOrEqual(4 * 101);
        const columns = new Map<number, { low: number; high: number }>();
        list.forEach((value, i) => {
          const column = Math.floor(sx.place(x[i]));
          const py = Math.round(sy.place(value) * 10) / 10;
          const known = columns.get(column) ?? { low: py, high: py };
          columns.set(column, { low: Math.max(known.low, py), high: Math.min(known.high, py) });
        });
        const levels = new Set(drawn.map(([, py]) => py));
        for (const { low, high } of columns.values()) {
          expect(levels.has(low)).toBe(true);
          expect(levels.has(high)).toBe(true);
        }
        for (let i = 1; i < drawn.length; i++) expect(drawn[i][0]).toBeGreaterThanOrEqual(drawn[i - 1][0]);
      }),
      { numRuns: 30 },
    );
  });

  test('a zoomed axis keeps one point beyond either edge', () => {
    const zoomed = scaleOf({ kind: 'linear', from: 400, to: 600 }, 0, 100);
    const x = Float64Array.from({ length: 11 }, (_, i) => i * 100);
    const drawn = points(linePath(x, new Float64Array(11), zoomed, sy));
    expect(drawn[0][0]).toBeLessThanOrEqual(0);
    expect(drawn.at(-1)?.[0]).toBeGreaterThanOrEqual(100);
    expect(drawn.length).toBeLessThanOrEqual(5);
  });

  test('infinities run out of the frame, gaps break the line, no number is bad', () => {
    const path = linePath([0, 100, 200, 300, 400], [0, -Infinity, 0, Number.NaN, 0], sx, sy);
    expect(path.match(/M/g)).toHaveLength(2);
    expect(path).not.toMatch(/NaN|Infinity|e/);
    expect(Math.max(...points(path).map(([, y]) => y))).toBe(2200);
  });

  test('bars stand on the floor, and those below it are not drawn', () => {
    expect(barsPath([100, 200], [-30, -90], sx, sy, 4, 0)).toBe('M8 200V100h4V200');
    expect(barsPath([100], [50], sx, sy, 4, 0)).toBe('M8 200V-4h4V200');
  });

  // random curves of the kinds that plots have, on linear and logarithmic axes
  test('every letter stands on its own curve, and no two on one spot', () => {
    const rem = 16;
    const x = Float64Array.from({ length: 301 }, (_, i) => 20 * 1000 ** (i / 300));
    const curve = fc.record({
      level: fc.double({ min: -20, max: 20, noNaN: true }),
      dip: fc.double({ min: 40, max: 10_000, noNaN: true }),
      depth: fc.double({ min: 0, max: 30, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(curve, { minLength: 1, maxLength: 8 }), fc.boolean(), (shapes, log) => {
        const across = scaleOf({ kind: 'log', from: 20, to: 20_000 }, 40, 900);
        const up = log
          ? scaleOf({ kind: 'log', from: 1, to: 1e5 }, 300, 20)
          : scaleOf({ kind: 'linear', from: -48, to: 24 }, 300, 20);
        const curves = shapes.map(({ level, dip, depth }, i) => {
          const dB = x.map(f => level - depth / (1 + (8 * Math.log2(f / dip)) ** 2));
          return { label: 'ABCDEFGH'[i], x, y: log ? dB.map(v => 1000 * 10 ** (v / 20)) : dB };
        });
        const places = labelPlaces(curves, across, up, rem);
        places.forEach((place, i) => {
          const own = up.place(interpolated(x, curves[i].y, across.value(place!.px), 'log'));
          expect(Math.abs(place!.py - own)).toBeLessThan(1e-6);
          places.slice(0, i).forEach(other => {
            const gap = Math.max(
              Math.abs(other!.px - place!.px) / (0.9 * rem),
              Math.abs(other!.py - place!.py) / (0.8 * rem),
            );
            expect(gap).toBeGreaterThanOrEqual(1);
          });
        });
      }),
    );
  });

  test('letters keep clear of other curves where there is room, and equal curves carry theirs side by side', () => {
    const x = Float64Array.of(20, 200, 2000, 20_000);
    const across = scaleOf({ kind: 'log', from: 20, to: 20_000 }, 0, 900);
    const up = scaleOf({ kind: 'linear', from: -40, to: 20 }, 300, 0);
    // together at the low end, parted from 200 Hz on
    const together = [Float64Array.of(0, 0, -20, -30), Float64Array.of(0, 0, 10, 15)];
    const parted = labelPlaces(
      together.map((y, i) => ({ label: 'AB'[i], x, y })),
      across,
      up,
      16,
    );
    for (const place of parted) {
      const [a, b] = together.map(y => up.place(interpolated(x, y, across.value(place!.px), 'log')));
      expect(Math.abs(a - b)).toBeGreaterThanOrEqual(0.85 * 16);
    }
    const equal = labelPlaces(
      ['A', 'B', 'C'].map(label => ({ label, x, y: together[0] })),
      across,
      up,
      16,
    );
    expect(equal[0]!.px).toBeLessThan(equal[1]!.px - 8);
    expect(equal[1]!.px).toBeLessThan(equal[2]!.px - 8);
    expect(labelPlaces([{ label: 'A', x, y: x.map(() => -99) }], across, up, 16)).toEqual([null]);
  });
});

describe('figures as text', () => {
  // RFC 4180: fields with commas, quotes or line breaks are quoted, quotes doubled, lines end in CR LF
  test('quoting', () => {
    expect(
      csv([
        ['a', 'b,c', 'say "x"'],
        [1.25, null, Number.NaN],
      ]),
    ).toBe('a,"b,c","say ""x"""\r\n1.25,,\r\n');
  });

  test('a plot keeps every digit and leaves context curves out', () => {
    const x = Float64Array.of(100, 200, 400);
    const curve = (label: string, y: number[], rest: Partial<PlotSeries> = {}): PlotSeries => ({
      key: label,
      label,
      name: label,
      colour: 'black',
      dash: '',
      x,
      y: Float64Array.from(y),
      ...rest,
    });
    const axis = { from: 1, to: 2, label: '', unit: '' };
    const model: PlotModel = {
      title: '',
      x: { ...axis, kind: 'log' },
      y: { ...axis, kind: 'linear' },
      series: [
        curve('A', [0.1 + 0.2, 1, 2]),
        curve('B', [3, 5], { x: Float64Array.of(100, 400) }),
        curve('E2', [9, 9, 9], { quiet: true }),
      ],
      marks: [],
      bands: [],
      reference: null,
      yText: String,
      differenceText: null,
      xText: String,
      rows: [],
      columns: { x: 'frequency_hz', y: 'level db' },
      settings: {},
    };
    expect(plotCsv(model)).toBe(
      'frequency_hz,A_level_db,B_level_db\r\n100,0.30000000000000004,3\r\n200,1,4\r\n400,2,5\r\n',
    );
  });
});
