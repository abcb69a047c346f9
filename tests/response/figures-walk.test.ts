/**
 * Every figure that the page, the sheet and the command line can print, for 200 random builds, worked out again from the
 * exact curve and the exact gains by a few lines of its own. A quantity without such a check does not compile.
 */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { CircuitError } from '../../shared/circuit/elements.ts';
import { harnessGains } from '../../shared/circuit/harness.ts';
import { power } from '../../shared/complex.ts';
import { type Build, TEST_POINTS } from '../../shared/document/build.ts';
import { buildFigures } from '../../shared/response/figures.ts';
import { loadFigures } from '../../shared/response/load-figures.ts';
import { type Figure, figureValue, QUANTITIES, type Quantity } from '../../shared/response/quantities.ts';
import { response } from '../../shared/response/response.ts';
import { positionFigures } from '../../shared/response/selector-figures.ts';
import { partial, stringModel } from '../../shared/string/stiff.ts';
import { figuresText } from '../../src/cli/cli-figures.ts';
import { sheetPages } from '../../src/paper/sheet-svg.ts';
import { quantities } from '../../src/words/quantity-words.ts';
import { dice } from '../circuit/random.ts';
import { dense, dipsByBruteForce } from './brute-dips.ts';
import { aiding, dB, levelByList, octaveByList, size } from './brute-figures.ts';
import { randomPlaced } from './random-builds.ts';

const DENSE = dense(2);
/** Figures that two lists of frequencies disagree about. */
const unresolved = { count: 0 };
const near = (found: number, expected: number, within: number, note: string) =>
  expect(Math.abs(found - expected), `${note}: ${found} against ${expected}`).toBeLessThan(within);

/** Near what a list of frequencies makes of it, unless a shorter list disagrees: then no list resolves the figure. */
function resolved(
  by: (n: number) => number,
  [long, short]: readonly [number, number],
  value: number,
  within: number,
  note: string,
): void {
  const expected = by(long);
  if (Math.abs(value - expected) < within) return;
  if (Math.abs(by(short) - expected) > 0.02) unresolved.count++;
  else near(value, expected, within, note);
}

interface Checked {
  build: Build;
  figures: readonly Figure[];
  /** Looked for once. */
  dips?: ReturnType<typeof dipsByBruteForce>;
}
type Check = (value: number, figure: Figure, all: Checked) => void;
const of = (all: Checked, quantity: Quantity) => figureValue(all.figures, quantity)!;
const orderly = (all: Checked, quantity: Quantity, at: Figure['at']) =>
  all.figures.find(one => one.quantity === quantity && one.at.order === at.order)!.value!;

const CHECKS: Record<Quantity, Check> = {
  level: (value, { at }, { build }) => {
    const level = (n: number) => levelByList(build, at, n);
    resolved(level, [2500, 1700], value, 0.1, 'level');
  },
  octave: (value, { at }, { build }) => {
    const ratio = (n: number) => octaveByList(build, at, at.octave!, n);
    resolved(ratio, [200, 137], value, 0.1, `octave ${at.octave}`);
  },
  resonance: (value, { at }, { build }) => {
    const around = [0.5, 0.8, 0.97, 0.995, 1, 1.005, 1.03, 1.25, 2].map(x => x * value);
    const levels = aiding(build, at, around).map(size);
    expect(Math.max(...levels)).toBeLessThanOrEqual(levels[4] * (1 + 1e-9));
  },
  peak: (value, { at }, all) => {
    const [one, low, top] = aiding(all.build, at, [1, 100, of(all, 'resonance')]).map(size);
    near(value, 20 * Math.log10(top / (one > low / 2 ? one : low)), 0.01, 'peak');
  },
  hum: (value, { at }, { build }) => {
    const coils = build.pickups.flatMap(p => p.coils.map(c => ({ key: `${p.id}.${c.id}`, c })));
    // turns go with resistance where they are not given
    const turns = coils.map(({ c }) => c.turns ?? (c.resistance * 8000) / 6121.5);
    const mean = turns.reduce((a, b) => a + b, 0) / turns.length;
    const gains = harnessGains(build, at.point as 4 | 5, Float64Array.of(100))[at.output];
    const sum = coils.reduce(
      ([re, im], { key, c }, i) => {
        const g = gains.get(key);
        const w = (c.winding * turns[i]) / mean;
        return g ? [re + w * g.re[0], im + w * g.im[0]] : [re, im];
      },
      [0, 0],
    );
    const level = 20 * Math.log10(Math.hypot(...sum));
    if (value === -Infinity) expect(level).toBeLessThan(-100);
    else near(value, level, 1e-6, 'hum');
  },
  natural: (value, { at }, { build }) => {
    const [below, here, above] = aiding(build, at, [0.999 * value, value, 1.001 * value]);
    expect(below.re).toBeGreaterThan(0);
    expect(above.re).toBeLessThan(0);
    expect(Math.abs(here.re)).toBeLessThan(1e-4 * size(here) + 1e-12);
  },
  quality: (value, { at }, all) => {
    const [low, here] = aiding(all.build, at, [100, of(all, 'natural')]).map(size);
    near(value / (here / low), 1, 1e-6, 'Q');
  },
  departure: (value, { at }, all) => {
    const [f0, q] = [of(all, 'natural'), of(all, 'quality')];
    const most = (n: number): number => {
      const f = Array.from({ length: n }, (_, i) => 20 * ((2 * f0) / 20) ** (i / (n - 1)));
      const [low, ...own] = aiding(all.build, at, [100, ...f]).map(size);
      const off = own.map((x, i) => {
        const u = f[i] / f0;
        return Math.abs(20 * Math.log10((x / low) * Math.hypot(1 - u * u, u / q)));
      });
      return Math.min(12, Math.max(...off));
    };
    resolved(most, [1200, 700], value, 0.05 + 0.02 * value, 'departure');
  },
  slope: (value, { at }, all) => {
    const f0 = of(all, 'natural');
    const [four, eight] = aiding(all.build, at, [4 * f0, 8 * f0]).map(size);
    near(value, 20 * Math.log10(eight / four), 1e-6, 'slope');
  },
  dip: (value, { at }, { build }) => {
    // closer than the three figures that are shown
    const f = [0.98, 0.9995, 1, 1.0005, 1.02].map(part => part * value);
    const curve = response(build, at.string!, at.point, Float64Array.from(f), at.output);
    for (const i of [1, 3]) expect(power(curve, i)).toBeGreaterThanOrEqual(power(curve, 2) * (1 - 1e-4));
  },
  depth: (value, { at }, all) => {
    const found = (all.dips ??= dipsByBruteForce(all.build, at.string!, at.point, DENSE, 5002));
    const f = orderly(all, 'dip', at);
    const own = found.find(one => Math.abs(one.f - f) <= 3);
    if (value > 6.2) expect(own, `${f} Hz`).toBeDefined();
    if (!own) return;
    // points 2 Hz apart do not reach the bottom of a sharp dip: look for it between them
    const around = (middle: number, step: number) => {
      const fine = Float64Array.from({ length: 201 }, (_, i) => middle + (i - 100) * step);
      const curve = response(all.build, at.string!, at.point, fine, at.output);
      const p = fine.map((_, i) => power(curve, i));
      const bottom = Math.min(...p);
      return { middle: p[100], bottom, f: fine[p.indexOf(bottom)] };
    };
    const coarse = around(own.f, 0.02);
    const depth = own.depth + dB(coarse.middle) - dB(around(coarse.f, 0.0002).bottom);
    near(Math.min(value, 60), Math.min(depth, 60), 0.4, `depth at ${f} Hz`);
  },
  partial: (value, { at }, all) => {
    const model = stringModel(all.build.instrument.strings[at.string!]);
    near(partial(model, value, at.fret) / orderly(all, 'dip', at), 1, 1e-9, 'partial');
  },
};

/**
 * Whether a line narrower than 1 Hz stands in what the coils’ EMFs make: between frequencies 2 Hz apart its phase turns
 * round. An inductor soldered in has no loss of its own; behind a buffer, into a bare cable, nothing else may damp it.
 */
function hasLine(build: Build, { point, output }: Figure['at']): boolean {
  if (point < 4 || !build.harness.fixed.some(part => part.kind === 'inductor')) return false;
  const gains = [...harnessGains(build, point as 4 | 5, LINES)[output].values()];
  return gains.some(({ re, im }) => {
    for (let i = 1; i < LINES.length; i++) {
      const [dot, both] = [
        re[i] * re[i - 1] + im[i] * im[i - 1],
        Math.hypot(re[i], im[i]) * Math.hypot(re[i - 1], im[i - 1]),
      ];
      if (both > 1e-24 && dot < 0) return true;
    }
    return false;
  });
}
const LINES = Float64Array.from({ length: 10_000 }, (_, i) => 20 + 2 * i);

describe('the walk', () => {
  const d = dice(77);
  const builds: Build[] = [];
  while (builds.length < 200) {
    const build = randomPlaced(d);
    try {
      loadFigures(build);
      builds.push(build);
    } catch (error) {
      if (!(error instanceof CircuitError)) throw error;
    }
  }

  test('every figure of 200 random builds is that of the exact curve', () => {
    const seen = new Map<Quantity, number>();
    let [inductors, lines] = [0, 0];
    for (const [n, build] of builds.entries()) {
      const point = TEST_POINTS[[4, 4, 4, 3, 2, 1][n % 6]];
      const string = d.whole(0, build.instrument.strings.length - 1);
      const fret = d.of([0, 0, 5, 12]);
      const { figures } = buildFigures(build, { string, point, fret });
      const all: Checked = { build, figures };
      const line = hasLine(build, figures[0].at);
      if (line) lines++;
      if (point >= 4 && build.harness.fixed.some(part => part.kind === 'inductor')) inductors++;
      for (const figure of figures) {
        expect(figure.unit).toBe(QUANTITIES[figure.quantity]);
        if (figure.value === null || line) continue;
        CHECKS[figure.quantity](figure.value, figure, all);
        seen.set(figure.quantity, (seen.get(figure.quantity) ?? 0) + 1);
      }
    }
    // no list of frequencies has a figure for such a line; nearly all soldered inductors are damped by what is around them
    expect(unresolved.count).toBeLessThan(8);
    expect(inductors).toBeGreaterThan(10);
    expect(lines).toBeLessThan(3);
    for (const quantity of Object.keys(QUANTITIES) as Quantity[])
      expect(seen.get(quantity) ?? 0, quantity).toBeGreaterThan(20);
  });

  test('what the command line prints are these figures', () => {
    for (const build of builds.slice(0, 12)) {
      const text = figuresText(build, 0, 0, 5000);
      const dips = text.split('\n# dips')[1].split('\n').slice(2, -1);
      const own = build.instrument.strings.flatMap((_, string) => buildFigures(build, { string, point: 5 }).dips);
      expect(dips.map(line => Number(line.split(',')[2]))).toEqual(own.map(dip => Number(dip.frequency.toFixed(2))));
      expect(dips.map(line => Number(line.split(',')[3]))).toEqual(own.map(dip => Number(dip.depth.toFixed(1))));
      const rows = positionFigures(build).filter(row => row.output === 0);
      const printed = text.split('\n').slice(2, 2 + rows.length);
      printed.forEach((line, i) => {
        const [, , level, resonance, peak] = line.split(',');
        for (const [cell, value, digits] of [
          [level, rows[i].level, 2],
          [resonance, figureValue(rows[i].figures, 'resonance'), 1],
          [peak, figureValue(rows[i].figures, 'peak'), 2],
        ] as const)
          expect(cell).toBe(value === null ? '' : value.toFixed(digits));
      });
    }
  });

  test('what the sheet prints are these figures, with their depth', () => {
    for (const build of builds.slice(0, 6)) {
      const sheet = sheetPages(build, { paper: 'a4', units: 'mm' }).join('');
      build.instrument.strings.forEach((_, string) => {
        const [first] = buildFigures(build, { string, point: 5 }).dips;
        if (!first) return;
        const f = Number(first.frequency.toPrecision(3));
        const hertz = f >= 1000 ? `${(f / 1000).toPrecision(3)} kHz` : `${f} Hz`;
        const depth = first.depth >= 60 ? 'complete' : `${Math.round(first.depth)} dB deep`;
        expect(sheet).toContain(`${hertz}, ${depth} (${first.partial.toFixed(1)})`);
      });
    }
  });

  test('the glossary names every quantity once', () => {
    const names = Object.values(quantities).flatMap(one => [one.name, one.column]);
    expect(new Set(Object.values(quantities).map(one => one.name)).size).toBe(Object.keys(QUANTITIES).length);
    expect(names.every(name => name.length > 0)).toBe(true);
    expect(Object.keys(quantities).sort()).toEqual(Object.keys(QUANTITIES).sort());
  });

  test('the glossary for developers is the same one', () => {
    const text = readFileSync(fileURLToPath(new URL('../../DEVELOPERS.md', import.meta.url)), 'utf8');
    const rows = text.split('\n## Quantities\n')[1].split('\n## ')[0].split('\n');
    const cells = rows.filter(row => /^\| .*`/.test(row)).map(row => row.split('|').map(cell => cell.trim()));
    expect(cells.map(([, name, column, meaning]) => [name, column, meaning])).toEqual(
      Object.values(quantities).map(({ name, column, meaning }) => [name, `\`${column}\``, meaning]),
    );
  });
});
