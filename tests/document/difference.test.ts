import { describe, expect, test } from 'vitest';
import type { Build, Stage } from '../../shared/document/build.ts';
import { differences, differenceText } from '../../shared/document/comparing/difference.ts';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';

const [neck, bridge] = demoBuilds();
const lines = (a: Build, b: Build, units?: 'mm' | 'in') => differences(a, b, units).map(differenceText);
const withChain = (build: Build, change: (stage: Stage) => Stage): Build => ({
  ...build,
  outputs: build.outputs.map(o => ({ ...o, chain: o.chain.map(change) })),
});
const cable = (length: number) => (stage: Stage) => (stage.kind === 'cable' ? { ...stage, length } : stage);

describe('what differs between two builds', () => {
  test('a shorter cable, with the capacitance it takes away', () => {
    expect(lines(withChain(neck, cable(6)), withChain(neck, cable(3)))).toEqual(['cable 6 m → 3 m: −300 pF']);
    expect(lines(withChain(neck, cable(3)), withChain(neck, cable(6)))).toEqual(['cable 3 m → 6 m: +300 pF']);
    expect(lines(withChain(neck, cable(0.3048 * 20)), withChain(neck, cable(0.3048 * 10)), 'in')).toEqual([
      'cable 20 ft → 10 ft: −304.8 pF',
    ]);
  });

  test('no cable at all', () => {
    const bare = {
      ...neck,
      outputs: neck.outputs.map(o => ({ ...o, chain: o.chain.filter(s => s.kind !== 'cable') })),
    };
    expect(lines(neck, bare)).toEqual(['cable 5 m → none: −500 pF']);
  });

  test('nothing between a build and its copy, whatever they are called', () => {
    for (const build of [neck, bridge, demoBass()])
      expect(differences(build, { ...structuredClone(build), name: 'other', note: 'other' })).toEqual([]);
  });

  test('a moved pickup, a coil with more turns, a pot turned back', () => {
    const [pickup] = bridge.pickups;
    const moved = { ...bridge, pickups: [{ ...pickup, position: 0.045 }] };
    expect(lines(bridge, moved)).toEqual(['Bridge pickup position 38 mm → 45 mm: +7 mm']);
    const wound = {
      ...bridge,
      pickups: [{ ...pickup, coils: [{ ...pickup.coils[0], resistance: 7500, inductance: 3 }] }],
    };
    expect(lines(bridge, wound)).toEqual([
      'Bridge pickup coil resistance 6 kΩ → 7.5 kΩ: +25 %',
      'Bridge pickup coil inductance 2.5 H → 3 H: +20 %',
    ]);
    const [control] = bridge.harness.controls;
    const back = {
      ...bridge,
      harness: { ...bridge.harness, controls: [{ ...control, volume: { ...control.volume!, setting: 0.7 } }] },
    };
    expect(lines(bridge, back)).toEqual(['volume setting 100 % → 70 %: −30 %']);
  });

  test('what all coils share is said once', () => {
    const [pickup] = neck.pickups;
    const hotter = { ...neck, pickups: [{ ...pickup, coils: pickup.coils.map(c => ({ ...c, resistance: 5000 })) }] };
    expect(lines(neck, hotter)).toEqual(['Neck pickup, each coil: resistance 4 kΩ → 5 kΩ: +25 %']);
  });

  test('another selector position', () => {
    expect(lines(neck, { ...neck, harness: { ...neck.harness, selected: 1 } })).toEqual([
      'selector two coils, series → two coils, parallel',
      'connected Neck in series → Neck in parallel',
    ]);
  });

  test('two unlike instruments: every part of the path has its rows', () => {
    const rows = lines(neck, bridge);
    expect(rows).toContain('pickup Neck → Bridge');
    expect(rows).toContain('pickup position 162 mm → 38 mm: −124 mm');
    expect(rows).toContain('pickup coils 2 → 1');
    expect(rows).toContain('pickup inductance, all coils 4.5 H → 2.5 H: −44 %');
    expect(rows).toContain('volume pot 500 kΩ → 250 kΩ: −50 %');
    const bass = lines(neck, demoBass());
    expect(bass).toContain('strings 6 → 4');
    expect(bass).toContain('pickup none → Bridge');
    expect(bass).toContain('volume pot 500 kΩ → none');
  });

  test('the other way round it is the same list with its sides exchanged', () => {
    const there = differences(neck, bridge);
    const back = differences(bridge, neck);
    expect(back.map(({ what, from, to }) => ({ what, from: to, to: from }))).toEqual(
      there.map(({ what, from, to }) => ({ what, from, to })),
    );
  });

  test('a treble bleed, a second buffer, a soldered part', () => {
    const [control] = neck.harness.controls;
    const bleed = { kind: 'parallel' as const, capacitance: 1e-9, resistance: 150e3 };
    const changed: Build = {
      ...neck,
      harness: {
        ...neck.harness,
        controls: [{ ...control, volume: { ...control.volume!, bleed } }],
        fixed: [
          { id: 'r', kind: 'resistor', value: 4700, from: { at: 'selector', output: 'out' }, to: { at: 'ground' } },
        ],
      },
      outputs: [
        {
          ...neck.outputs[0],
          chain: [
            { kind: 'buffer', name: 'at the jack', resistance: 1e6, capacitance: 0, gain: 1, output: 100 },
            ...neck.outputs[0].chain,
          ],
        },
      ],
    };
    expect(lines(neck, changed)).toEqual([
      'treble bleed none → 1 nF and 150 kΩ in parallel',
      'soldered resistor none → 4.7 kΩ from common contact of the selector to common ground',
      'buffer none → at the jack',
    ]);
  });

  describe('every value of a pickup, a control and what is plugged in has its own row', () => {
    const [pickup] = bridge.pickups;
    const [coil] = pickup.coils;
    const [control] = bridge.harness.controls;
    const [output] = bridge.outputs;
    const ofPickup = (change: object): Build => ({ ...bridge, pickups: [{ ...pickup, ...change }] });
    const ofCoil = (change: object): Build => ofPickup({ coils: [{ ...coil, ...change }] });
    const ofString = (change: object): Build => ({
      ...bridge,
      instrument: {
        ...bridge.instrument,
        strings: bridge.instrument.strings.map((s, i) => (i === 5 ? { ...s, ...change } : s)),
      },
    });
    const ofControl = (change: object): Build => ({
      ...bridge,
      harness: { ...bridge.harness, controls: [{ ...control, ...change }] },
    });
    const plugged = (...chain: object[]): Build => ({ ...bridge, outputs: [{ ...output, chain: chain as Stage[] }] });
    const pole = (depth: number | null) => ofCoil({ window: { shape: 'pole', width: 0.01, depth } });
    const poles = (kind: string, change: object = {}) =>
      ofPickup({ poles: { kind, size: 5e-3, spread: 50e-3, pair: 8e-3, ...change } });
    const buffer = { kind: 'buffer', name: 'pedal', resistance: 1e6, capacitance: 1e-10, gain: 1, output: 100 };
    const input = { kind: 'input', name: 'amplifier', resistance: 1e6, capacitance: 1e-10, series: 0 };
    const gap = (bass: number, treble: number) => ofPickup({ height: { bass, treble } });
    const string = (change: object) => ofString({ gauge: 1e-3, gaugeIn: 'mm', core: 0.4e-3, coreIn: 'mm', ...change });

    test.each<[Build, Build, string[]]>([
      [ofString({ scale: 0.6 }), ofString({ scale: 0.61 }), ['string 6 (E2) scale length 600 mm → 610 mm: +10 mm']],
      [ofString({ pitch: 80 }), ofString({ pitch: 88 }), ['string 6 (E2) pitch 80 Hz → 88 Hz: +10 %']],
      [string({}), string({ gauge: 1.1e-3 }), ['string 6 (E2) gauge 1 mm → 1.1 mm: +0.1 mm']],
      [string({}), string({ core: 0.5e-3 }), ['string 6 (E2) core 0.4 mm → 0.5 mm: +0.1 mm']],
      [string({}), string({ core: null }), ['string 6 (E2) core 0.4 mm → plain']],
      [string({ core: null }), string({}), ['string 6 (E2) core plain → 0.4 mm']],
      [gap(2e-3, 2e-3), gap(3e-3, 3e-3), ['Bridge pickup gap 2 mm → 3 mm: +1 mm']],
      [gap(2e-3, 2e-3), gap(3e-3, 2e-3), ['Bridge pickup gap, bass side 2 mm → 3 mm: +1 mm']],
      [
        gap(2e-3, 2.5e-3),
        gap(3e-3, 3.5e-3),
        ['Bridge pickup gap, bass side 2 mm → 3 mm: +1 mm', 'Bridge pickup gap, treble side 2.5 mm → 3.5 mm: +1 mm'],
      ],
      [poles('one'), poles('one', { size: 6e-3 }), ['Bridge pickup pole diameter 5 mm → 6 mm: +1 mm']],
      [poles('one'), poles('one', { spread: 52e-3 }), ['Bridge pickup outermost poles, centres 50 mm → 52 mm: +2 mm']],
      [poles('one'), poles('one', { pair: 9e-3 }), []],
      [poles('two'), poles('two', { pair: 9e-3 }), ['Bridge pickup two poles of a string apart 8 mm → 9 mm: +1 mm']],
      [poles('rail'), poles('rail', { size: 6e-3 }), ['Bridge pickup rail width 5 mm → 6 mm: +1 mm']],
      [poles('rail'), poles('rail', { spread: 52e-3 }), ['Bridge pickup rail length 50 mm → 52 mm: +2 mm']],
      [
        poles('rail'),
        poles('one', { size: 6e-3 }),
        ['Bridge pickup poles rail → 1 per string', 'Bridge pickup pole diameter 5 mm → 6 mm: +1 mm'],
      ],
      [pole(null), pole(3e-3), ['Bridge pickup coil aperture pole, depth from its face → pole, 3 mm deep']],
      [
        pole(3e-3),
        ofCoil({ window: { shape: 'gaussian', width: 0.01, depth: null } }),
        ['Bridge pickup coil aperture pole, 3 mm deep → gaussian, 10 mm wide'],
      ],
      [ofControl({ volume: null }), ofControl({}), ['volume pot none → 250 kΩ']],
      [
        ofControl({ toneAt: 'before' }),
        ofControl({ toneAt: 'after' }),
        ['tone taken before the volume → after the volume'],
      ],
      [plugged(buffer), plugged({ ...buffer, gain: 2 }), ['buffer gain 1 → 2: +100 %']],
      [plugged(buffer), plugged({ ...buffer, output: 200 }), ['buffer output 100 Ω → 200 Ω: +100 %']],
      [plugged(input), plugged({ ...input, series: 1000 }), ['input series resistor 0 Ω → 1 kΩ: +1 kΩ']],
      [plugged(input), plugged({ ...input, name: 'desk' }), ['input amplifier → desk']],
      [plugged(buffer, input), plugged(input, buffer), ['order after the jack buffer, input → input, buffer']],
    ])('%#', (a, b, said) => {
      expect(lines(a, b)).toEqual(said);
    });
  });
});
