/** From builds to circuits: selector, controls at both ends, ready wirings, letters, taper, hum, the table of positions. */
import * as v from 'valibot';
import { describe, expect, test } from 'vitest';
import { harnessGains, harnessNetwork, harnessSweep, pickupImpedance } from '../../shared/circuit/harness.ts';
import { humGains } from '../../shared/circuit/hum.ts';
import { harnessNetlist } from '../../shared/circuit/netlist.ts';
import { loadedFigures } from '../../shared/circuit/resonance.ts';
import { defaultHarness, fromNotation, notation, schemesFor, wire } from '../../shared/circuit/schemes.ts';
import { positionTable } from '../../shared/circuit/selector-table.ts';
import { solderPlaces } from '../../shared/circuit/solder-places.ts';
import { taperFraction, taperRotation } from '../../shared/circuit/taper.ts';
import { type Build, BuildSchema } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { makePickup, PICKUP_TYPES } from '../../shared/sensor/typical.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';
import {
  buildOf,
  cableOf,
  coilOf,
  controlOf,
  fixtureA,
  inputOf,
  linearPot,
  pickupOf,
  positionOf,
  tapOf,
} from './fixtures.ts';

const guitar = STRING_SETS.find(s => s.id === 'guitar-6')!.instrument;
const bass = STRING_SETS.find(s => s.id === 'bass-4')!.instrument;
const F = Float64Array.of(0, 50, 1000, 4000, 20000);

const buildFrom = (letters: string, scheme?: string, instrument = guitar): Build => {
  const { pickups } = fromNotation(letters, instrument)!;
  return { ...demoBuilds()[0], instrument, pickups, ...wire(pickups, scheme) };
};
const magnitude = (build: Build, emf: string, i: number, point: 4 | 5 = 5): number => {
  const gain = harnessGains(build, point, F)[0].get(emf)!;
  return Math.hypot(gain.re[i], gain.im[i]);
};

describe('controls', () => {
  test('volume at 0: no signal, at the jack or behind; tone at both ends: finite', () => {
    expect(magnitude(fixtureA({ volume: 0 }), 'p.a', 2)).toBe(0);
    expect(magnitude(fixtureA({ volume: 0 }), 'p.a', 2, 4)).toBe(0);
    for (const tone of [0, 1]) expect(magnitude(fixtureA({ tone }), 'p.a', 3)).toBeGreaterThan(0.001);
  });

  test('one normal volume at 0 silences both pickups, an independent one only its own', () => {
    const pair = (volumeWiring: 'normal' | 'independent') =>
      buildOf(
        [pickupOf('n', coilOf('a', 6000, 2.5, 1e-10)), pickupOf('b', coilOf('a', 6000, 2.5, 1e-10))],
        positionOf('parallel', tapOf('n'), tapOf('b')),
        ['n', 'b'].map((pickup, i) =>
          controlOf({ id: `v${i}`, pickup, volume: { ...linearPot(250e3, i), bleed: null }, volumeWiring }),
        ),
        [cableOf(500e-12), inputOf(1e6)],
      );
    expect(magnitude(pair('normal'), 'b.a', 2)).toBe(0);
    expect(magnitude(pair('independent'), 'n.a', 2)).toBe(0);
    expect(magnitude(pair('independent'), 'b.a', 2)).toBeGreaterThan(0.9);
  });

  test('a treble bleed gives back treble at half volume', () => {
    const plain = fixtureA({ volume: 0.5 });
    const bled = (kind: 'capacitor' | 'parallel' | 'series') => {
      const [control] = plain.harness.controls;
      const bleed = { kind, capacitance: 1e-9, resistance: 150e3 };
      return {
        ...plain,
        harness: { ...plain.harness, controls: [{ ...control, volume: { ...control.volume!, bleed } }] },
      };
    };
    const treble = (b: Build) => magnitude(b, 'p.a', 3) / magnitude(b, 'p.a', 1);
    for (const kind of ['capacitor', 'parallel', 'series'] as const)
      expect(treble(bled(kind))).toBeGreaterThan(1.3 * treble(plain));
  });

  test('a buffer before the cable brings the resonance back to where a bare coil has it', () => {
    const long = fixtureA({ cable: 1e-9 });
    const buffered = {
      ...long,
      outputs: [
        {
          ...long.outputs[0],
          chain: [
            { kind: 'buffer' as const, name: 'b', resistance: 1e7, capacitance: 0, gain: 1, output: 100 },
            ...long.outputs[0].chain,
          ],
        },
      ],
    };
    expect(loadedFigures(long, 5).peakHz!).toBeLessThan(3200);
    expect(loadedFigures(buffered, 5).peakHz ?? 9e9).toBeGreaterThan(6000);
  });

  test('tapers run from 0 to 1, rise, and can be turned round', () => {
    for (const taper of ['linear', 'audio-10', 'audio-15', 'audio-20', 'reverse-audio-10'] as const) {
      expect(taperFraction(taper, 0)).toBe(0);
      expect(taperFraction(taper, 1)).toBe(1);
      for (let x = 0; x < 1; x += 0.05) {
        expect(taperFraction(taper, x + 0.05)).toBeGreaterThan(taperFraction(taper, x));
        expect(taperRotation(taper, taperFraction(taper, x))).toBeCloseTo(x, 9);
      }
    }
    expect(taperFraction('audio-15', 0.5)).toBeCloseTo(0.15, 12);
    expect(taperFraction('audio-20', 0.5)).toBeCloseTo(0.2, 12);
    expect(taperFraction('reverse-audio-10', 0.5)).toBeCloseTo(0.9, 12);
  });
});

describe('ready pickups and wirings', () => {
  test('every kind of pickup makes a valid build on every instrument', () => {
    for (const { instrument } of STRING_SETS)
      for (const { id } of PICKUP_TYPES) {
        const pickup = makePickup(id, instrument, { id: 'p', name: 'P', position: instrument.strings[0].scale * 0.15 });
        const { harness, outputs } = wire([pickup], undefined);
        v.parse(BuildSchema, { ...demoBuilds()[0], instrument, pickups: [pickup], harness, outputs });
      }
  });

  test('every scheme of every configuration is valid, connects something in each position, and every position sounds', () => {
    for (const letters of [
      'S',
      'H',
      'SS',
      'HH',
      'HS',
      'SH',
      'SSS',
      'HSS',
      'HSH',
      'HHH',
      'SSSS',
      'HHHH',
      'HSSSH',
      'SSSSSS',
      'HHHHHH',
    ])
      for (const instrument of [guitar, bass]) {
        const { pickups } = fromNotation(letters, instrument)!;
        expect(schemesFor(pickups).length).toBeGreaterThan(0);
        for (const scheme of schemesFor(pickups)) {
          const build = buildFrom(letters, scheme.id, instrument);
          v.parse(BuildSchema, build);
          for (const row of positionTable(build)) {
            expect(row.problem, `${letters} ${scheme.id} ${row.label}`).toBeNull();
            expect(row.phase === 'in' || row.phase === 'single', `${letters} ${scheme.id} ${row.label}`).toBe(true);
            expect(row.levelDb).toBeGreaterThan(-6);
          }
        }
      }
  });

  test('letters there and back; nonsense is refused', () => {
    for (const letters of ['S', 'HSS', 'HSH', 'SSSS', 'HSSSH', 'SHSHSH'])
      for (const instrument of [guitar, bass]) expect(notation(fromNotation(letters, instrument)!)).toBe(letters);
    expect(notation(fromNotation('h s-s', guitar)!)).toBe('HSS');
    for (const text of ['', 'X', 'SSSSSSS', 'H1']) expect(fromNotation(text, guitar)).toBeNull();
    expect(() => defaultHarness(fromNotation('S', guitar)!.pickups, 'five')).toThrow(/does not fit/);
  });

  test('a five-position selector on HSS: 2 and 4 cancel hum within turns, 1 wholly, 3 and 5 not at all', () => {
    const rows = positionTable(buildFrom('HSS', 'five'));
    expect(rows.map(r => r.coils.length)).toEqual([2, 2, 1, 2, 1]);
    expect(rows[0].humDb).toBe(-Infinity);
    expect(rows[1].humDb).toBeLessThan(-20);
    expect(rows[3].humDb).toBe(-Infinity);
    expect(rows[2].humDb).toBeGreaterThan(-3);
    expect(rows[4].humDb).toBeGreaterThan(-3);
  });

  test('hum left by turns that differ by 5 %: −26.02 dB against one coil (|N₁ − N₂| in a uniform field)', () => {
    const pickup = pickupOf(
      'p',
      { ...coilOf('a', 4000, 2, 1e-10), turns: 5000 },
      { ...coilOf('b', 4000, 2, 1e-10), turns: 5250, polarity: -1, winding: -1 },
    );
    const build = buildOf([pickup], positionOf('parallel', tapOf('p')), [], []);
    const [hum] = humGains(build, 4, Float64Array.of(1));
    // against one coil of 5000 turns; the function's own reference is the mean of both
    const residual = Math.hypot(hum.re[0], hum.im[0]) * (5125 / 5000);
    expect(Math.abs(20 * Math.log10(residual) + 26.02)).toBeLessThan(0.01);
  });

  test('hum goes by the winding, the string by winding and magnet: a magnet turned round changes nothing of hum', () => {
    // Faraday's law: a field from outside induces by turns and their sense; the coil's own magnet has no part in it
    const hum = (winding: 1 | -1, polarity: 1 | -1) => {
      const first = { ...coilOf('a', 4000, 2, 1e-10), turns: 5000 };
      const pickup = pickupOf('p', first, { ...first, id: 'b', polarity, winding });
      const build = buildOf([pickup], positionOf('parallel', tapOf('p')), [], []);
      return humGains(build, 4, Float64Array.of(1))[0].re[0];
    };
    expect(hum(1, 1)).toBeCloseTo(2, 6);
    expect(hum(1, -1)).toBeCloseTo(2, 6);
    expect(Math.abs(hum(-1, 1))).toBeLessThan(1e-9);
    expect(Math.abs(hum(-1, -1))).toBeLessThan(1e-9);
  });
});

describe('selector', () => {
  test('a position without pickups is silent, an unconnected coil absent', () => {
    const build = buildOf([pickupOf('p', coilOf('a', 6000, 2.5, 1e-10))], positionOf('parallel'), [], [inputOf(1e6)]);
    expect(harnessGains(build, 5, F)[0].size).toBe(0);
  });
  test('one pickup to two jacks, two halves to a jack each', () => {
    const halves = pickupOf('p', coilOf('a', 6000, 2.5, 1e-10), coilOf('b', 5000, 2, 1e-10));
    const stereo = (...taps: ReturnType<typeof tapOf>[]): Build => {
      const build = buildOf([halves], positionOf('parallel', ...taps), [], [inputOf(1e6)]);
      return { ...build, outputs: [build.outputs[0], { ...build.outputs[0], id: 'out-2' }] };
    };
    const split = harnessGains(
      stereo(tapOf('p', { coils: ['a'] }), tapOf('p', { coils: ['b'], output: 'out-2' })),
      5,
      F,
    );
    expect(Math.abs(split[0].get('p.a')!.re[1])).toBeGreaterThan(0.9);
    expect(split[0].get('p.b')!.re[1]).toBe(0);
    expect(Math.abs(split[1].get('p.b')!.re[1])).toBeGreaterThan(0.9);
    const both = harnessGains(stereo(tapOf('p'), tapOf('p', { output: 'out-2' })), 5, F);
    expect(both[0].get('p.a')!.re[1]).toBeCloseTo(both[1].get('p.a')!.re[1], 12);
    const twice = stereo(tapOf('p'), tapOf('p', { coils: ['b'], output: 'out-2' }));
    expect(() => harnessNetwork(twice, true)).toThrow(/p\.b: .*two ways/);
    expect(positionTable(twice)[0].problem).toMatch(/two ways/);
  });
  test('in series the lower pickup stands on ground, the levels add', () => {
    const rows = positionTable(buildFrom('SS', 'four'));
    expect(rows[3].dcDb - rows[0].dcDb).toBeGreaterThan(5);
    expect(rows[3].peakHz!).toBeLessThan(rows[0].peakHz!);
  });
  test('out of phase is said to be so', () => {
    const build = buildFrom('SS', 'three');
    const both = build.harness.positions[1];
    const taps = [both.taps[0], { ...both.taps[1], reverse: true }];
    const out = { ...build, harness: { ...build.harness, positions: [{ ...both, taps }] } };
    expect(positionTable(out)[0]).toMatchObject({ phase: 'out', levelDb: -Infinity });
  });
});

describe('names and keeping', () => {
  test('a part can be soldered between any two named nodes in any position', () => {
    const build = buildFrom('HSS', 'five');
    const places = solderPlaces(build);
    expect(new Set(places.map(p => p.name)).size).toBe(places.length);
    for (const [at, { place: from }] of places.entries()) {
      const to = places[(at * 7 + 3) % places.length].place;
      for (let selected = 0; selected < 5; selected++) {
        const fixed = [{ id: 'x', kind: 'resistor' as const, value: 1e5, from, to }];
        const gains = harnessGains({ ...build, harness: { ...build.harness, selected, fixed } }, 5, F)[0];
        for (const gain of gains.values()) expect([...gain.re, ...gain.im].every(Number.isFinite)).toBe(true);
      }
    }
  });
  test('moving a pickup solves nothing again, another value does', () => {
    const build = buildFrom('HSS', 'five');
    const moved = { ...build, pickups: build.pickups.map(p => ({ ...p, position: p.position + 0.01, name: 'Other' })) };
    expect(harnessSweep(moved, 5, F)).toBe(harnessSweep(build, 5, F));
    const changed = {
      ...build,
      pickups: build.pickups.map(p => ({ ...p, coils: p.coils.map(c => ({ ...c, resistance: 1234 })) })),
    };
    expect(harnessSweep(changed, 5, F)).not.toBe(harnessSweep(build, 5, F));
  });
  test('impedance of a pickup by itself at 0 Hz is its wire', () => {
    expect(pickupImpedance(buildFrom('H'), 'bridge', F).re[0]).toBeCloseTo(8000, 3);
  });
  test('the netlist is plain: a title, lines of known parts, an analysis, what it prints, an end', () => {
    const { text, outputs } = harnessNetlist(buildFrom('HSS', 'five'));
    const lines = text.trim().split('\n');
    expect(lines.at(-1)).toBe('.end');
    expect(lines.at(-2)).toBe(`.print ac vdb(${outputs[0]}) vp(${outputs[0]})`);
    expect(lines.at(-3)).toMatch(/^\.ac /);
    for (const line of lines.slice(1, -3)) expect(line).toMatch(/^(\* node |[rlcvek]\w+ \w+ \w+ )/);
    expect(outputs).toHaveLength(1);
    expect(text).toContain('* node 0: common ground');
  });
});
