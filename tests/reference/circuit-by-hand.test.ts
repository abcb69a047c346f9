/**
 * Harnesses described in words, once as a build and once as a netlist written by hand from the same words, run by ngspice:
 * an error in the step from build to network cannot hide in the exported netlist. Circuits are common practice.
 */
import { describe, expect, test } from 'vitest';
import { harnessGains, outputImpedance } from '../../shared/circuit/harness.ts';
import type { Build } from '../../shared/document/build.ts';
import {
  buildOf,
  cableOf,
  coilOf,
  controlOf,
  inputOf,
  linearPot,
  pickupOf,
  positionOf,
  tapOf,
} from '../circuit/fixtures.ts';
import { runAc } from './ngspice.ts';

const ANALYSIS = '.ac dec 20 20 20000\n.end';

/** Compares one EMF's gain with a hand-written netlist in which that EMF is the one `ac 1` source. */
async function agree(build: Build, emf: string, by: string, node: string, output = 0): Promise<void> {
  const { frequencies, voltage } = await runAc(`${by.trim()}\n${ANALYSIS}`);
  const theirs = voltage(node);
  const ours = harnessGains(build, 5, frequencies)[output].get(emf)!;
  for (let i = 0; i < frequencies.length; i++) {
    const size = Math.hypot(theirs.re[i], theirs.im[i]);
    const error = Math.hypot(ours.re[i] - theirs.re[i], ours.im[i] - theirs.im[i]) / size;
    expect(error, `${emf} at ${frequencies[i]} Hz`).toBeLessThan(1e-9);
  }
}

describe('by hand', () => {
  test('volume at half of an audio track with a treble bleed of 1 nF alongside 150 kΩ', async () => {
    const build = buildOf(
      [pickupOf('p', coilOf('a', 6200, 2.4, 110e-12))],
      positionOf('parallel', tapOf('p')),
      [
        controlOf({
          volume: {
            value: 250e3,
            deviation: 0,
            taper: 'audio-10',
            setting: 0.5,
            bleed: { kind: 'parallel', capacitance: 1e-9, resistance: 150e3 },
          },
        }),
      ],
      [cableOf(500e-12), inputOf(1e6)],
    );
    await agree(
      build,
      'p.a',
      `bleed
v1 s 0 dc 0 ac 1
l1 s m 2.4
r1 m p 6200
c1 p 0 110p
* audio track, 10 % at half turn: 225k above the wiper, 25k below
rtop p w 225k
rbot w 0 25k
cb p w 1n
rb p w 150k
ccable w 0 500p
ramp w 0 1meg`,
      'w',
    );
  });

  test('tone behind the volume, bleed of 680 pF in series with 130 kΩ, volume wiper at 30 %', async () => {
    const build = buildOf(
      [pickupOf('p', coilOf('a', 8100, 4.4, 120e-12))],
      positionOf('parallel', tapOf('p')),
      [
        controlOf({
          toneAt: 'after',
          volume: {
            ...linearPot(500e3, 0.3),
            deviation: 0.1,
            bleed: { kind: 'series', capacitance: 680e-12, resistance: 130e3 },
          },
          tone: { ...linearPot(500e3, 0.2), capacitance: 22e-9 },
        }),
      ],
      [cableOf(700e-12), inputOf(1e6)],
    );
    await agree(
      build,
      'p.a',
      `tone behind volume; track 10 % above nominal: 550k
v1 s 0 dc 0 ac 1
l1 s m 4.4
r1 m p 8100
c1 p 0 120p
rtop p w 385k
rbot w 0 165k
cb p x 680p
rb x w 130k
rt w t 100k
ct t 0 22n
cc w 0 700p
ra w 0 1meg`,
      'w',
    );
  });

  test('two pickups in parallel with independent volumes, one at 40 % of its track, one at full', async () => {
    const volume = (setting: number) => ({ ...linearPot(250e3, setting), bleed: null });
    const build = buildOf(
      [pickupOf('n', coilOf('a', 7000, 3, 100e-12)), pickupOf('b', coilOf('a', 7500, 3.4, 130e-12))],
      positionOf('parallel', tapOf('n'), tapOf('b')),
      [
        controlOf({ id: 'vn', pickup: 'n', volume: volume(0.4), volumeWiring: 'independent' }),
        controlOf({ id: 'vb', pickup: 'b', volume: volume(1), volumeWiring: 'independent' }),
        controlOf({ id: 'tone', tone: { ...linearPot(250e3, 1), capacitance: 47e-9 } }),
      ],
      [cableOf(500e-12), inputOf(1e6)],
    );
    const by = (n: number, b: number) => `two volumes, pickups on the wipers
vn sn 0 dc 0 ac ${n}
ln sn mn 3
rn mn pn 7000
cn pn 0 100p
vb sb 0 dc 0 ac ${b}
lb sb mb 3.4
rb mb out 7500
cb out 0 130p
* neck: 60 % of the track between wiper (pickup) and output, 40 % to ground
rnup pn out 150k
rndn pn 0 100k
* bridge at full: wiper at the output end, the whole track to ground
rbdn out 0 250k
rt out t 250k
ct t 0 47n
cc out 0 500p
ra out 0 1meg`;
    await agree(build, 'n.a', by(1, 0), 'out');
    await agree(build, 'b.a', by(0, 1), 'out');
  });

  test('two volumes wired the normal way: one at 40 % loads the other', async () => {
    const volume = (setting: number) => ({ ...linearPot(500e3, setting), bleed: null });
    const build = buildOf(
      [pickupOf('n', coilOf('a', 7000, 3, 100e-12)), pickupOf('b', coilOf('a', 7500, 3.4, 130e-12))],
      positionOf('parallel', tapOf('n'), tapOf('b', { reverse: true })),
      [
        controlOf({ id: 'vn', pickup: 'n', volume: volume(0.4) }),
        controlOf({
          id: 'vb',
          pickup: 'b',
          volume: volume(0.9),
          tone: { ...linearPot(500e3, 0.5), capacitance: 22e-9 },
        }),
      ],
      [cableOf(500e-12), inputOf(1e6)],
    );
    const by = (n: number, b: number) => `two volumes, pickups on top of the tracks, the second the other way round
vn sn 0 dc 0 ac ${n}
ln sn mn 3
rn mn pn 7000
cn pn 0 100p
* the bridge coil's hot end on ground: its EMF stands upside down
vb pb sb dc 0 ac ${b}
lb sb mb 3.4
rb mb 0 7500
cb pb 0 130p
rn1 pn out 300k
rn2 out 0 200k
rb1 pb out 50k
rb2 out 0 450k
rtb pb tb 250k
ctb tb 0 22n
cc out 0 500p
ra out 0 1meg`;
    await agree(build, 'n.a', by(1, 0), 'out');
    const { frequencies, voltage } = await runAc(`${by(0, 1).trim()}\n${ANALYSIS}`);
    const theirs = voltage('out');
    const ours = harnessGains(build, 5, frequencies)[0].get('b.a')!;
    for (let i = 0; i < frequencies.length; i++)
      expect(
        Math.hypot(ours.re[i] + theirs.re[i], ours.im[i] + theirs.im[i]) / Math.hypot(theirs.re[i], theirs.im[i]),
      ).toBeLessThan(1e-9);
  });

  test('two coils in series with eddy loss, one with a cover of 8 kHz', async () => {
    const coils = [
      { ...coilOf('a', 4000, 2.2, 230e-12), loss: { kind: 'eddy' as const, resistance: 300e3 } },
      { ...coilOf('b', 4300, 2.5, 210e-12), loss: { kind: 'eddy' as const, resistance: 150e3 }, cover: 8000 },
    ];
    const build = buildOf(
      [pickupOf('h', ...coils)],
      positionOf('parallel', tapOf('h')),
      [controlOf({ volume: { ...linearPot(500e3), bleed: null } })],
      [cableOf(600e-12), inputOf(1e6)],
    );
    const by = (a: number, b: number) => `two coils, loss across source and inductance
va sa 0 dc 0 ac ${a}
la sa ma 2.2
rea ma 0 300k
ra ma mid 4000
ca mid 0 230p
* the cover: 1/(1 + jf/8 kHz)
vb bare 0 dc 0 ac ${b}
rcov bare slow 1000
ccov slow 0 {1/(2*3.14159265358979323846*8000*1000)}
eb sb mid slow 0 1
lb sb mb 2.5
reb mb mid 150k
rb mb hot 4300
cb hot mid 210p
rv hot 0 500k
cc hot 0 600p
rin hot 0 1meg`;
    await agree(build, 'h.a', by(1, 0), 'hot');
    await agree(build, 'h.b', by(0, 1), 'hot');
  });

  test('a buffer ahead of 10 m of cable with a little resistance and leakage', async () => {
    const build = buildOf(
      [pickupOf('p', coilOf('a', 6000, 2.5, 100e-12))],
      positionOf('parallel', tapOf('p')),
      [controlOf({ volume: { ...linearPot(250e3), bleed: null } })],
      [
        { kind: 'buffer', name: 'buffer', resistance: 2.2e6, capacitance: 10e-12, gain: 0.99, output: 1000 },
        {
          kind: 'cable',
          length: 10,
          capacitancePerMetre: 100e-12,
          measured: null,
          resistancePerMetre: 0.2,
          leakage: 50e6,
        },
        inputOf(1e6),
      ],
    );
    await agree(
      build,
      'p.a',
      `buffer, then cable
v1 s 0 dc 0 ac 1
l1 s m 2.5
r1 m p 6000
c1 p 0 100p
rv p 0 250k
rb p 0 2.2meg
cb p 0 10p
e1 d 0 p 0 0.99
ro d j 1000
rc1 j k 1
cc k 0 1n
rl k 0 50meg
rc2 k out 1
ra out 0 1meg`,
      'out',
    );
  });

  test('5 m of cable into 1 MΩ and a 68 kΩ grid stopper with 100 pF', async () => {
    const build = buildOf(
      [pickupOf('p', { ...coilOf('a', 8000, 4.5, 120e-12) })],
      positionOf('parallel', tapOf('p')),
      [
        controlOf({
          volume: { ...linearPot(500e3, 0.5), bleed: null },
          tone: { ...linearPot(500e3, 0), capacitance: 15e-9 },
        }),
      ],
      [
        {
          kind: 'cable',
          length: 5,
          capacitancePerMetre: 90e-12,
          measured: null,
          resistancePerMetre: 0,
          leakage: null,
        },
        inputOf(1e6, 100e-12, 68e3),
      ],
    );
    await agree(
      build,
      'p.a',
      `grid stopper, tone closed, volume half
v1 s 0 dc 0 ac 1
l1 s m 4.5
r1 m p 8000
c1 p 0 120p
ct p 0 15n
r2 p w 250k
r3 w 0 250k
cc w 0 450p
ra w 0 1meg
rg w g 68k
cm g 0 100p`,
      'g',
    );
  });

  test('a ladder loss, two pickups in series, a resistor over half of the lower one', async () => {
    const lower = pickupOf('l', coilOf('a', 4000, 2, 200e-12), coilOf('b', 4100, 2.1, 190e-12));
    const upper = pickupOf('u', {
      ...coilOf('a', 7000, 2.0, 90e-12),
      loss: {
        kind: 'ladder',
        sections: [
          { inductance: 0.8, resistance: 20e3 },
          { inductance: 0.4, resistance: 90e3 },
        ],
      },
    });
    const build = buildOf(
      [lower, upper],
      positionOf('series', tapOf('l'), tapOf('u')),
      [controlOf({ volume: { ...linearPot(500e3), bleed: null } })],
      [cableOf(400e-12), inputOf(1e6)],
      {
        fixed: [
          {
            id: 'part',
            kind: 'resistor',
            value: 15e3,
            from: { at: 'coil', pickup: 'l', coil: 'b', end: 'cold' },
            to: { at: 'ground' },
          },
        ],
      },
    );
    const by = (a: number, b: number, u: number) => `series of pickups
va s1 0 dc 0 ac ${a}
la s1 m1 2
ra m1 mid 4000
ca mid 0 200p
rpart mid 0 15k
vb s2 mid dc 0 ac ${b}
lb s2 m2 2.1
rb m2 low 4100
cb low mid 190p
vu s3 low dc 0 ac ${u}
lu s3 m3 2.0
lu1 m3 m4 0.8
ru1 m3 m4 20k
lu2 m4 m5 0.4
ru2 m4 m5 90k
ru m5 hot 7000
cu hot low 90p
rv hot 0 500k
cc hot 0 400p
rin hot 0 1meg`;
    await agree(build, 'l.a', by(1, 0, 0), 'hot');
    await agree(build, 'l.b', by(0, 1, 0), 'hot');
    await agree(build, 'u.a', by(0, 0, 1), 'hot');
  });

  test('blend pots, one gang and two, at 30 %', async () => {
    const pickups = [pickupOf('x', coilOf('a', 7000, 3, 100e-12)), pickupOf('y', coilOf('a', 7500, 3.4, 130e-12))];
    const build = (gangs: 'one' | 'two') =>
      buildOf(pickups, positionOf('parallel', tapOf('x'), tapOf('y')), [], [cableOf(500e-12), inputOf(1e6)], {
        blend: { ...linearPot(250e3, 0.3), gangs, from: 'x', to: 'y' },
      });
    const coils = (px: string) => `vx sx 0 dc 0 ac 1
lx sx mx 3
rx mx ${px} 7000
cx ${px} 0 100p
vy sy 0 dc 0 ac 0
ly sy my 3.4
ry my py 7500
cy py 0 130p
cc out 0 500p
ra out 0 1meg`;
    await agree(
      build('one'),
      'x.a',
      `one track, wiper to the output, 30 % of the way from x to y
${coils('px')}
r1 px out 75k
r2 py out 175k`,
      'out',
    );
    await agree(
      build('two'),
      'x.a',
      `two tracks: x in full, its wiper at the output end; y at 60 % of its own
${coils('out')}
rx1 out 0 250k
ry1 py out 100k
ry2 py 0 150k`,
      'out',
    );
  });

  test('impedance at the jack: 1 A into it in a hand-written netlist', async () => {
    const build = buildOf(
      [pickupOf('p', coilOf('a', 6000, 2.5, 100e-12))],
      positionOf('parallel', tapOf('p')),
      [
        controlOf({
          volume: { ...linearPot(250e3, 0.5), bleed: null },
          tone: { ...linearPot(250e3), capacitance: 22e-9 },
        }),
      ],
      [cableOf(500e-12), inputOf(1e6)],
    );
    const { frequencies, voltage } = await runAc(`impedance
i1 0 w dc 0 ac 1
l1 0 m 2.5
r1 m p 6000
c1 p 0 100p
rt p t 250k
ct t 0 22n
r2 p w 125k
r3 w 0 125k
${ANALYSIS}`);
    const theirs = voltage('w');
    const ours = outputImpedance(build, 0, frequencies);
    for (let i = 0; i < frequencies.length; i++)
      expect(
        Math.hypot(ours.re[i] - theirs.re[i], ours.im[i] - theirs.im[i]) / Math.hypot(theirs.re[i], theirs.im[i]),
      ).toBeLessThan(1e-9);
  });
});
