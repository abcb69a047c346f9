/**
 * What the plan, the path, the sheet, the tables, the change sentence and `lab compare` print of random builds, read back
 * from the text and worked out again from geometry, charges on pole faces, sums over the string and the exact curve.
 */
import { describe, expect, test } from 'vitest';
import { CircuitError } from '../../shared/circuit/elements.ts';
import { power } from '../../shared/complex.ts';
import type { Build, Coil, Pickup } from '../../shared/document/build.ts';
import { buildFigures } from '../../shared/response/figures.ts';
import { loadFigures } from '../../shared/response/load-figures.ts';
import { opposed } from '../../shared/response/mixing.ts';
import { figureValue } from '../../shared/response/quantities.ts';
import { response } from '../../shared/response/response.ts';
import { positionFigures } from '../../shared/response/selector-figures.ts';
import { coilOnString, isUnder } from '../../shared/sensor/placement.ts';
import { windowSensitivity } from '../../shared/sensor/windows.ts';
import { matchingString } from '../../shared/string/matching.ts';
import { stringModel, waveNumber } from '../../shared/string/stiff.ts';
import { figuresText } from '../../src/cli/cli-figures.ts';
import { compareText } from '../../src/cli/compare.ts';
import { distanceRows, selectorRow } from '../../src/paper/sheet-tables.ts';
import { apertureGain, coilsInUse, pickupsInUse } from '../../src/sound/path/aperture-figures.ts';
import { describeChange } from '../../src/sound/path/change-note.ts';
import { pickupRows } from '../../src/sound/path/pickup-figures.ts';
import { type Looked, stationFigures } from '../../src/sound/path/station-figures.ts';
import { coilCells } from '../../src/sound/plan/coil-figures.ts';
import { words } from '../../src/words/path-words.ts';
import { type Dice, dice } from '../circuit/random.ts';
import { dense, dipsByBruteForce } from '../response/brute-dips.ts';
import { aiding, levelByList, octaveByList, size } from '../response/brute-figures.ts';
import { randomPlaced } from '../response/random-builds.ts';
import { levelOfCharges } from '../sensor/charges.ts';

const mm = 1e-3;

/** Every number of a text, with `k` and `−` read. */
const numbers = (text: string): number[] =>
  [...text.matchAll(/(?<![\w.])([+−])?(\d+(?:\.\d+)?)( k(?=Hz|Ω))?/g)].map(
    ([, sign, digits, kilo]) => Number(digits) * (sign === '−' ? -1 : 1) * (kilo ? 1000 : 1),
  );
const near = (found: number, expected: number, within: number, note: string) =>
  expect(Math.abs(found - expected), `${note}: ${found} against ${expected}`).toBeLessThanOrEqual(within);
/** Three figures. */
const nearly = (found: number, expected: number, note: string) => near(found / expected, 1, 0.0051, note);

/** Poles of every kind, spread as they may be. */
function withPoles(build: Build, d: Dice): Build {
  const { spread } = build.instrument;
  const pickups = build.pickups.map(pickup => {
    const kind = d.of(['one', 'one', 'two', 'rail'] as const);
    const outer = (spread.saddle + spread.nut) / 2 + d.between(-4, 4) * mm;
    const pair = 9.5 * mm;
    const wide = outer + (kind === 'two' ? pair : kind === 'rail' ? 8 * mm : 0);
    return { ...pickup, poles: { kind, size: d.between(2, 6) * mm, spread: wide, pair } };
  });
  return { ...build, pickups };
}

const d = dice(4242);
const builds: Build[] = [];
while (builds.length < 200) {
  const build = withPoles(randomPlaced(d), d);
  try {
    loadFigures(build);
    builds.push(build);
  } catch (error) {
    if (!(error instanceof CircuitError)) throw error;
  }
}
const look = (build: Build, string: number, fret = 0): Looked => ({
  build,
  string,
  fret,
  point: 5,
  pickup: build.pickups[0].id,
  units: 'mm',
  matched: true,
});

/** Where the line of a coil meets the line of a string, by their two equations: distance to the saddle, along the coil, angle. */
function meeting({ instrument }: Build, pickup: Pickup, coil: Coil, s: number) {
  const { strings, spread } = instrument;
  const part = strings.length > 1 ? 0.5 - s / (strings.length - 1) : 0;
  const { saddle, scale } = strings[s];
  const [cos, sin] = [Math.cos(pickup.slant), Math.sin(pickup.slant)];
  // (saddle + t scale, part (spread.saddle + t (spread.nut − spread.saddle))) = centre + v (−sin, cos)
  const [cx, cy] = [pickup.position + coil.along * cos, coil.along * sin];
  const [px, py] = [saddle, part * spread.saddle];
  const [qx, qy] = [scale, part * (spread.nut - spread.saddle)];
  // square to the coil: ((p + t q − c) · (cos, sin)) = 0
  const t = ((cx - px) * cos + (cy - py) * sin) / (qx * cos + qy * sin);
  const beside = -(px + t * qx - cx) * sin + (py + t * qy - cy) * cos;
  return { x: t * scale, beside, angle: Math.atan2(qy, qx) - pickup.slant, part };
}
/** Middle of a string's poles along the coil. */
const meant = (pickup: Pickup, part: number): number => {
  const { kind, spread, pair } = pickup.poles;
  return part * (spread - (kind === 'two' ? pair : 0));
};

/** Frequency of a standing wave with a node every `x` on a stiff string: f = f0 n √(1 + B n²), n = L/x. */
const nodeAt = (build: Build, s: number, x: number): number => {
  const { f0, B, length } = stringModel(build.instrument.strings[s]);
  const n = length / x;
  return (f0 * n * Math.sqrt(1 + B * n * n)) / Math.sqrt(1 + B);
};

describe('where coils stand', () => {
  test('distances, first nodes and misses of plan, station, sheet and command line are those of two lines that cross', () => {
    for (const [n, build] of builds.entries()) {
      const s = n % build.instrument.strings.length;
      const printed = n < 12 ? figuresText(build, 0, 0, 100).split('\n') : null;
      const sheet = distanceRows(build, 'mm');
      let row = 0;
      for (const pickup of build.pickups) {
        const rows = n % 5 === 0 ? pickupRows(build, pickup, 'mm') : null;
        for (const coil of pickup.coils) {
          const distance = sheet[row++][s + 1];
          const cells = coilCells(build, pickup, coil, s, 'mm');
          expect(cells === null).toBe(!isUnder(coil, s));
          if (cells === null) continue;
          const { x, beside, angle, part } = meeting(build, pickup, coil, s);
          near(numbers(cells[0])[0], x * 1e3, 0.0501, 'plan');
          near(numbers(distance)[0], x * 1e3, 0.0501, 'sheet');
          nearly(numbers(cells[1])[0], nodeAt(build, s, x), 'first node');
          const miss = pickup.poles.kind === 'rail' ? 0 : (beside - meant(pickup, part)) * Math.cos(angle);
          if (pickup.poles.kind !== 'rail') near(numbers(cells[2])[0], miss * 1e3, 0.00501, 'beside its pole');
          if (rows && coil === pickup.coils.find(one => isUnder(one, s))) {
            near(numbers(rows[s]![0])[0], x * 1e3, 0.00501, 'station');
            near(numbers(rows[s]![1])[0], Math.abs(miss) * 1e3, 0.00501, 'station’s miss');
            expect(rows[s]![1]).toContain(Math.abs(miss) < 6e-6 ? '' : miss > 0 ? 'treble' : 'bass');
          }
          if (printed === null) continue;
          const line = printed.find(text => text.startsWith(`${pickup.id}.${coil.id},${s + 1},`))!.split(',');
          near(Number(line[3]), x * 1e3, 0.000501, 'command line');
          const gap =
            (pickup.height.bass + pickup.height.treble) / 2 + part * (pickup.height.treble - pickup.height.bass);
          near(Number(line[4]), gap * 1e3, 0.000501, 'gap');
          near(Number(line[5]), miss * 1e3, 0.000501, 'miss');
        }
      }
    }
  });

  test('levels of coils on strings, and what a miss costs, are those of charges on the pole faces', () => {
    let checked = 0;
    for (const [n, build] of builds.entries()) {
      const [pickup] = build.pickups;
      const { kind, pair } = pickup.poles;
      const s = n % build.instrument.strings.length;
      const coil = pickup.coils[0];
      if (kind === 'rail' || checked >= 5 || !isUnder(coil, s)) continue;
      const depth = coil.window.depth ?? pickup.poles.size / 2;
      // charges sit at half the poles’ size below their face in the sum
      const below = depth - pickup.poles.size / 2;
      const { beside, angle, part } = meeting(build, pickup, coil, s);
      const count = build.instrument.strings.length;
      const parts = Array.from({ length: count }, (_, i) => (count > 1 ? 0.5 - i / (count - 1) : 0));
      const poles = parts
        .filter((_, i) => isUnder(coil, i))
        .flatMap(one =>
          kind === 'two' ? [meant(pickup, one) - pair / 2, meant(pickup, one) + pair / 2] : [meant(pickup, one)],
        );
      const gap = (pickup.height.bass + pickup.height.treble) / 2 + part * (pickup.height.treble - pickup.height.bass);
      const level = (above: number, y: number, turned: number) =>
        levelOfCharges(poles, pickup.poles.size, above + below, y, turned);
      const here = level(gap, beside, angle);
      const on = figuresText(build, 0, 0, 100)
        .split('\n')
        .find(text => text.startsWith(`${pickup.id}.${coil.id},${s + 1},`))!
        .split(',');
      near(Number(on[6]), 20 * Math.log10(here / level(2.5 * mm, meant(pickup, part), 0)), 0.06, 'level');
      const cost = numbers(coilCells(build, pickup, coil, s, 'mm')![2])[1];
      near(cost, 20 * Math.log10(here / level(gap, meant(pickup, part), angle)), 0.06, 'what a miss costs');
      checked++;
    }
    expect(checked).toBe(5);
  });
});

describe('what stations print', () => {
  /** Gain of coils and windows by sums over the drawn sensitivity. */
  function apertureBySums(build: Build, pickup: Pickup, s: number): (f: number) => number {
    const step = 0.04 * mm;
    const coils = coilsInUse(build, pickup).flatMap(coil => {
      const { x, field, level } = coilOnString(build, pickup, coil, s);
      if (level === 0) return [];
      const weights = Array.from({ length: 3501 }, (_, i) => windowSensitivity(coil.window, field, (i - 1750) * step));
      const sum = weights.reduce((a, b) => a + b, 0);
      return [{ x, weights, sum, g: coil.sensitivity * level }];
    });
    return f => {
      const k = waveNumber(stringModel(build.instrument.strings[s]), f);
      let [re, im, whole] = [0, 0, 0];
      for (const { x, weights, sum, g } of coils) {
        whole += g;
        weights.forEach((w, i) => {
          const phase = k * (x + (i - 1750) * step);
          re += ((g * w) / sum) * Math.cos(phase);
          im += ((g * w) / sum) * Math.sin(phase);
        });
      }
      return Math.hypot(re, im) / whole;
    };
  }

  test('the aperture’s corner is where the sum over windows and coils is down 3 dB', () => {
    let checked = 0;
    for (const [n, build] of builds.slice(0, 60).entries()) {
      const here = look(build, n % build.instrument.strings.length);
      const pickups = pickupsInUse(build);
      const texts = stationFigures('aperture', here)[1].split(' + ');
      // alike ones are said once
      if (texts.length !== pickups.length) continue;
      for (const [i, pickup] of pickups.entries()) {
        const text = texts[i];
        const against = opposed(build, pickup.id, here.string);
        expect(text === words.noCorner, text).toBe(against);
        if (against || apertureGain(build, pickup, here.string, 0) === 0) continue;
        const gain = apertureBySums(build, pickup, here.string);
        if (text.startsWith('beyond')) {
          for (const f of [1e3, 1e4, 2e4, 39e3]) expect(gain(f)).toBeGreaterThan(0.99 * Math.SQRT1_2);
          continue;
        }
        const [corner] = numbers(text);
        const half = Math.SQRT1_2;
        // three figures, and the little that the sums lack
        expect(gain(corner * 0.988), `${n}: ${text}`).toBeGreaterThan(half);
        expect(gain(corner * 1.012), `${n}: ${text}`).toBeLessThan(half);
        checked++;
      }
    }
    expect(checked).toBeGreaterThan(40);
  });

  test('string, position, coils and resonance', () => {
    let resonances = 0;
    const grid = dense(2);
    for (const [n, build] of builds.entries()) {
      const fret = n % 3 === 0 ? 5 : 0;
      const here = look(build, n % build.instrument.strings.length, fret);
      const spec = build.instrument.strings[here.string];
      const model = stringModel(spec);
      const [first, second] = stationFigures('string', here);
      near(numbers(first).at(-1)!, spec.scale * 1e3, 0.00501, 'scale');
      near(numbers(second)[0], spec.pitch * 1.0594630943592953 ** fret, 0.00501, 'pitch');
      // B goes as 1/L²
      nearlyB(second, model.B * (model.length / (model.length * 2 ** (-fret / 12))) ** 2);

      const [place, node] = stationFigures('position', here);
      for (const [i, pickup] of pickupsInUse(build).entries())
        near(numbers(place)[i], pickup.position * 1e3, 0.00501, 'position');
      const [dip] = dipsByBruteForce(build, here.string, 2, grid, 4900);
      if (dip && n % 4 === 0) near(numbers(node)[0] / dip.f, 1, 0.0051 + 2 / dip.f, `first dip of ${n}`);

      const position = build.harness.positions[build.harness.selected];
      const join = (values: number[], parallel: boolean) =>
        parallel ? 1 / values.reduce((a, v) => a + 1 / v, 0) : values.reduce((a, v) => a + v, 0);
      const taps = position.taps.filter(tap => tap.output === build.outputs[0].id);
      const sum = (of: (coil: Coil) => number) =>
        join(
          taps.map(tap => {
            const { coils } = build.pickups.find(p => p.id === tap.pickup)!;
            const used = coils.filter(c => tap.coils?.includes(c.id) ?? true);
            return join(used.map(of), tap.join === 'parallel');
          }),
          position.join === 'parallel',
        );
      const whole = (coil: Coil) =>
        coil.inductance +
        (coil.loss.kind === 'ladder' ? coil.loss.sections.reduce((a, one) => a + one.inductance, 0) : 0);
      if (taps.length > 0) {
        const [r, l] = numbers(stationFigures('coils', here)[0].replace(/ H$/, ''));
        nearly(
          r,
          sum(c => c.resistance),
          'R',
        );
        nearly(l, sum(whole), 'L');
      }

      const load = stationFigures('cable', here)[1];
      if (!/Hz/.test(load)) continue;
      const at = { point: 5, output: 0 } as const;
      const [top] = numbers(load);
      const sizes = aiding(
        build,
        at,
        [0.5, 0.8, 0.9, 0.97, 1, 1.03, 1.1, 1.25, 2].map(part => part * top),
      ).map(size);
      // the top of a flat peak lies within its three figures’ rounding
      expect(Math.max(...sizes) / sizes[4], `${n}: ${load}`).toBeLessThan(1.03);
      resonances++;
    }
    expect(resonances).toBeGreaterThan(60);
  });
  function nearlyB(text: string, expected: number): void {
    const [, digits, exponent] = /B ([\d.]+)e−(\d+)/.exec(text)!;
    near((Number(digits) * 10 ** -Number(exponent)) / expected, 1, 0.051, 'B');
  }
});

describe('what tables and sentences print', () => {
  const level = (build: Build, output = 0) => levelByList(build, { point: 5, output }, 1500);
  const inductive = (build: Build) => build.harness.fixed.some(part => part.kind === 'inductor');

  test('the sheet’s selector rows: levels against the selected position, octaves, resonance, peak', () => {
    for (const build of builds.filter(one => !inductive(one) && one.outputs.length === 1).slice(0, 15)) {
      const selected = level(build);
      if (!Number.isFinite(selected)) continue;
      for (const row of positionFigures(build)) {
        if (row.problem !== null || row.level === null) continue;
        const here = { ...build, harness: { ...build.harness, selected: row.position } };
        const cells = selectorRow(build, row);
        near(numbers(cells[4])[0], level(here) - selected, 0.12, 'level');
        for (const [i, octave] of numbers(cells[7]).entries())
          near(octave, octaveByList(here, { point: 5, output: 0 }, 1000 * 2 ** i, 200), 0.12, 'octave');
        if (!/Hz/.test(cells[5])) continue;
        const [one, low, top] = aiding(here, { point: 5, output: 0 }, [1, 100, numbers(cells[5])[0]]).map(size);
        // against the low end; where a coupling part keeps that out, against 100 Hz
        near(numbers(cells[6])[0], 20 * Math.log10(top / (one > low / 2 ? one : low)), 0.35, 'peak');
      }
    }
  });

  /** The figures that a sentence about a step names, each recomputed. */
  test('the change sentence between random builds: level, octaves, dips', () => {
    const one = builds.filter(build => !inductive(build) && build.instrument.strings.length === 6);
    let [levels, octaves, dips] = [0, 0, 0];
    for (let n = 0; n + 1 < one.length && n < 26; n++) {
      const [before, after] = [one[n], { ...one[n + 1], instrument: one[n].instrument }];
      const { did } = describeChange(look(before, 5), look(after, 5), 'the step');
      const said = /level (?:≈ )?([+−])([\d.]+) dB/.exec(did);
      if (said) {
        near(Number(said[2]) * (said[1] === '−' ? -1 : 1), level(after) - level(before), 0.12, did);
        levels++;
      }
      for (const [, kilohertz, sign, size] of did.matchAll(/at (\d) kHz ([+−])([\d.]+) dB(?= and at| against)/g)) {
        const at = { point: 5, output: 0 } as const;
        const step = [after, before].map(build => octaveByList(build, at, Number(kilohertz) * 1000, 200));
        near(Number(size) * (sign === '−' ? -1 : 1), step[0] - step[1], 0.12, did);
        octaves++;
      }
      const dip = /dip ([\d.]+) (k?)Hz, [^→]* → ([\d.]+) (k?)Hz/.exec(did);
      if (!dip) continue;
      for (const [build, digits, kilo] of [
        [before, dip[1], dip[2]],
        [after, dip[3], dip[4]],
      ] as const) {
        const f = Number(digits) * (kilo ? 1000 : 1);
        const list = Float64Array.from({ length: 401 }, (_, i) => f * (0.97 + (0.06 * i) / 400));
        const curve = response(build, 5, 5, list);
        const p = list.map((_, i) => power(curve, i));
        const lowest = p.indexOf(Math.min(...p));
        near(list[lowest] / f, 1, 0.006, did);
        dips++;
      }
    }
    expect(Math.min(levels, octaves, dips)).toBeGreaterThan(10);
  });

  test('`lab compare`: levels against a, octaves, dips of strings of one name', () => {
    for (let n = 0; n < 8; n++) {
      const [a, b] = builds.filter(build => !inductive(build)).slice(20 + n, 22 + n);
      const rows = compareText(a, b)
        .split('\n')
        .filter(line => !line.startsWith('#'))
        .map(line => line.split(/,(?! \w+ ?deep)(?! Hz)(?! dB)/));
      const row = (start: string) =>
        rows.find(cells => cells[0].startsWith(start) || cells[0].startsWith(`"${start}`))!;
      const [la, lb] = [level(a), level(b)];
      if (Number.isFinite(la) && Number.isFinite(lb)) near(Number(row('level')[3]), lb - la, 0.12, 'level');
      for (const k of [1, 2, 4, 8]) {
        const cells = row(`octave at ${k} kHz`);
        for (const [i, build] of [a, b].entries()) {
          if (cells[i + 1] === '') continue;
          near(Number(cells[i + 1]), octaveByList(build, { point: 5, output: 0 }, 1000 * k, 200), 0.1, 'octave');
        }
      }
      const dip = rows.find(cells => /dip 1 of string/.test(cells[0]) && /Hz/.test(cells[0]));
      if (!dip) continue;
      const s = Number(/string (\d+)/.exec(dip[0])![1]) - 1;
      const other = matchingString(a.instrument, s, b.instrument);
      for (const [build, string, cell] of [
        [a, s, dip[1]],
        [b, other, dip[2]],
      ] as const) {
        if (cell === '' || string === null) continue;
        const f = Number(cell);
        const p = response(build, string, 5, Float64Array.of(0.999 * f, f, 1.001 * f));
        expect(Math.min(power(p, 0), power(p, 2))).toBeGreaterThan(power(p, 1) * (1 - 1e-4));
      }
      expect(figureValue(buildFigures(a, { string: 0, point: 5 }).figures, 'level') === null).toBe(
        !Number.isFinite(la),
      );
    }
  });
});
