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
});
