/**
 * The schematic as a drawing: whatever harness it is made from, it shows every part once, its lines join exactly what the
 * network joins, and nothing lies on anything else. Checked on the geometry alone, without the layout's own bookkeeping.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Drawing, drawnNets, drawSchematic } from '../../shared/circuit/drawing/drawing.ts';
import { schematicSvg } from '../../shared/circuit/drawing/drawing-svg.ts';
import { CircuitError } from '../../shared/circuit/elements.ts';
import { harnessNetwork } from '../../shared/circuit/harness.ts';
import { fromNotation, notation } from '../../shared/circuit/schemes.ts';
import { solderPlaces } from '../../shared/circuit/solder-places.ts';
import { usualBlend, usualOutput } from '../../shared/circuit/usual.ts';
import type { Build, Control, Fixed, Position, Stage, Tap } from '../../shared/document/build.ts';
import { parseBuild } from '../../shared/document/reading/parse-build.ts';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { makePickup, PICKUP_TYPES } from '../../shared/sensor/typical.ts';
import { draws } from '../draws.ts';

const [demo] = demoBuilds();
const guitar = demo.instrument;

// --- random builds ------------------------------------------------------------------------------------------------

const pot = fc.record({
  value: fc.constantFrom(25e3, 250e3, 500e3, 1e6),
  deviation: fc.constantFrom(0, -0.2, 0.15),
  taper: fc.constantFrom('linear' as const, 'audio-10' as const, 'reverse-audio-10' as const),
  setting: fc.constantFrom(0, 0.25, 0.5, 1),
});
const volume = fc
  .tuple(
    pot,
    fc.option(
      fc.record({
        kind: fc.constantFrom('capacitor' as const, 'parallel' as const, 'series' as const),
        capacitance: fc.constantFrom(680e-12, 1e-9),
        resistance: fc.constantFrom(130e3, 150e3),
      }),
      { nil: null },
    ),
  )
  .map(([p, bleed]) => ({ ...p, bleed }));
const tone = fc.tuple(pot, fc.constantFrom(10e-9, 22e-9, 47e-9)).map(([p, capacitance]) => ({ ...p, capacitance }));

const stage: fc.Arbitrary<Stage> = fc.oneof(
  fc.record({
    kind: fc.constant('cable' as const),
    length: fc.constantFrom(0, 3, 10),
    capacitancePerMetre: fc.constantFrom(0, 100e-12),
    measured: fc.constantFrom(null, 470e-12),
    resistancePerMetre: fc.constantFrom(0, 0.2),
    leakage: fc.constantFrom(null, 50e6),
  }),
  fc.record({
    kind: fc.constant('buffer' as const),
    name: fc.constant('buffer'),
    resistance: fc.constantFrom(1e6, 10e6),
    capacitance: fc.constantFrom(0, 20e-12),
    gain: fc.constantFrom(-1, 1, 4),
    output: fc.constantFrom(0, 1000),
  }),
  fc.record({
    kind: fc.constant('input' as const),
    name: fc.constant('input'),
    resistance: fc.constantFrom(10e3, 1e6),
    capacitance: fc.constantFrom(0, 100e-12),
    series: fc.constantFrom(0, 68e3),
  }),
);

const anyBuild: fc.Arbitrary<Build> = fc
  .record({
    types: fc.array(fc.constantFrom(...PICKUP_TYPES.map(t => t.id)), { minLength: 1, maxLength: 4 }),
    loss: fc.array(fc.constantFrom('keep', 'none', 'eddy', 'ladder'), { minLength: 4, maxLength: 4 }),
    outputs: fc.constantFrom(1, 1, 1, 2),
    taps: fc.array(
      fc.record({
        use: fc.boolean(),
        coil: fc.constantFrom(-1, -1, 0, 1),
        join: fc.constantFrom('series' as const, 'parallel' as const),
        antiphase: fc.boolean(),
        reverse: fc.boolean(),
        output: fc.nat(1),
      }),
      { minLength: 4, maxLength: 4 },
    ),
    join: fc.constantFrom('parallel' as const, 'parallel' as const, 'series' as const),
    controls: fc.array(
      fc.record({
        pickup: fc.nat(4),
        output: fc.nat(1),
        volume: fc.option(volume, { nil: null }),
        tone: fc.option(tone, { nil: null }),
        toneAt: fc.constantFrom('before' as const, 'after' as const),
        volumeWiring: fc.constantFrom('normal' as const, 'independent' as const),
      }),
      { maxLength: 5 },
    ),
    blend: fc.option(fc.tuple(pot, fc.constantFrom('one' as const, 'two' as const)), { nil: null, freq: 2 }),
    fixed: fc.array(
      fc.record({
        kind: fc.constantFrom('resistor' as const, 'capacitor' as const, 'inductor' as const),
        from: fc.nat(50),
        to: fc.nat(50),
      }),
      { maxLength: 3 },
    ),
    chains: fc.array(fc.array(stage, { maxLength: 4 }), { minLength: 2, maxLength: 2 }),
  })
  .map(r => {
    const outputs = Array.from({ length: r.outputs }, (_, o) => ({
      ...usualOutput(o === 0 ? 'out' : 'out-2', o === 0 ? 'jack' : 'second jack'),
      chain: r.chains[o],
    }));
    const out = (n: number) => outputs[n % outputs.length].id;
    const pickups = r.types.map((type, i) => {
      const made = makePickup(type, guitar, { id: `p${i + 1}`, name: `Pickup ${i + 1}`, position: 0.04 + 0.035 * i });
      const loss = r.loss[i];
      return {
        ...made,
        coils: made.coils.map(c => ({
          ...c,
          loss:
            loss === 'none'
              ? { kind: 'none' as const }
              : loss === 'eddy'
                ? { kind: 'eddy' as const, resistance: 300e3 }
                : loss === 'ladder'
                  ? {
                      kind: 'ladder' as const,
                      sections: [
                        { inductance: 0.6, resistance: 20e3 },
                        { inductance: 0.3, resistance: 90e3 },
                      ],
                    }
                  : c.loss,
        })),
      };
    });
    const taps: Tap[] = pickups.flatMap((p, i) => {
      const t = r.taps[i];
      if (!t.use && i > 0) return [];
      const coils = t.coil < 0 || p.coils.length < 2 ? null : [p.coils[t.coil].id];
      return [{ pickup: p.id, coils, join: t.join, antiphase: t.antiphase, reverse: t.reverse, output: out(t.output) }];
    });
    const position: Position = { label: 'any', join: r.join, taps };
    const controls: Control[] = r.controls.map((c, i) => ({
      ...c,
      id: `c${i + 1}`,
      pickup: c.pickup === 0 ? null : (pickups[c.pickup - 1]?.id ?? null),
      output: out(c.output),
    }));
    const blend =
      r.blend && pickups.length > 1
        ? { ...r.blend[0], gangs: r.blend[1], from: pickups[0].id, to: pickups[1].id }
        : null;
    const bare: Build = {
      ...demo,
      pickups,
      outputs,
      harness: { positions: [position], selected: 0, controls, blend, fixed: [] },
    };
    const places = solderPlaces(bare).map(p => p.place);
    const fixed = r.fixed.map(
      (f, i): Fixed => ({
        id: `f${i + 1}`,
        kind: f.kind,
        value: { resistor: 47e3, capacitor: 1e-9, inductor: 1 }[f.kind],
        from: places[f.from % places.length],
        to: places[f.to % places.length],
      }),
    );
    return { ...bare, harness: { ...bare.harness, fixed } };
  });

// --- geometry -----------------------------------------------------------------------------------------------------

interface Stretch {
  x1: number;
  y1: number;
  x2: number;
  y2: number;
  net: string;
}
const stretches = (drawing: Drawing): Stretch[] =>
  drawing.wires.flatMap(({ net, points }) =>
    points.slice(1).map(([x, y], i) => {
      const [px, py] = points[i];
      return { x1: Math.min(px, x), y1: Math.min(py, y), x2: Math.max(px, x), y2: Math.max(py, y), net };
    }),
  );
const near = (a: number, b: number): boolean => Math.abs(a - b) < 0.01;
const onStretch = (s: Stretch, x: number, y: number): boolean =>
  x > s.x1 - 0.01 && x < s.x2 + 0.01 && y > s.y1 - 0.01 && y < s.y2 + 0.01;

interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}
/** Whether two boxes share more than an edge. */
const overlaps = (a: Box, b: Box, slack = 0.5): boolean =>
  a.x + slack < b.x + b.width &&
  b.x + slack < a.x + a.width &&
  a.y + slack < b.y + b.height &&
  b.y + slack < a.y + a.height;

/** The first thing that is wrong with a drawing; empty: nothing. */
function wrong(build: Build, drawing: Drawing): string {
  const network = harnessNetwork(build, true);
  const net = drawnNets(network);

  // every part once, or named as a plain connection
  const drawn = [...drawing.symbols.flatMap(s => s.parts), ...drawing.plain].sort();
  const there = network.elements.map(e => e.id).sort();
  if (drawn.join() !== there.join()) return `parts drawn: ${drawn.join()} of ${there.join()}`;
  for (const id of drawing.plain) {
    const e = network.elements.find(x => x.id === id)!;
    if (e.kind !== 'wire' && 'value' in e && e.value !== 0) return `${id} is left out with value ${e.value}`;
  }

  // a symbol's pins are on the nets of its parts
  for (const s of drawing.symbols) {
    const nets = new Set<string>();
    for (const id of s.parts) {
      const e = network.elements.find(x => x.id === id)!;
      if (e.kind === 'vcvs') for (const n of [e.a, e.plus]) nets.add(net(n));
      else if ('a' in e) for (const n of [e.a, e.b]) nets.add(net(n));
    }
    if (s.parts.length > 0 && [...nets].sort().join() !== [...new Set(s.pins.map(p => p.net))].sort().join())
      return `${s.parts} has pins on ${s.pins.map(p => p.net)}, its nets are ${[...nets]}`;
  }

  // what touches on the sheet is one net: ends on ends or on stretches, and junction dots
  const lines = stretches(drawing);
  for (const s of lines) if (!near(s.x1, s.x2) && !near(s.y1, s.y2)) return 'a slanting wire';
  const ends = [
    ...lines.flatMap(s => [
      { x: s.x1, y: s.y1, net: s.net },
      { x: s.x2, y: s.y2, net: s.net },
    ]),
    ...drawing.symbols.flatMap(s => s.pins),
    ...drawing.dots,
  ];
  for (const e of ends)
    for (const s of lines)
      if (s.net !== e.net && onStretch(s, e.x, e.y)) return `${e.net} touches ${s.net} at ${e.x}, ${e.y}`;
  for (let i = 0; i < ends.length; i++)
    for (let j = 0; j < i; j++)
      if (near(ends[i].x, ends[j].x) && near(ends[i].y, ends[j].y) && ends[i].net !== ends[j].net)
        return `${ends[i].net} meets ${ends[j].net} at ${ends[i].x}, ${ends[i].y}`;
  for (let i = 0; i < lines.length; i++)
    for (let j = 0; j < i; j++) {
      const [a, b] = [lines[i], lines[j]];
      if (a.net === b.net) continue;
      const level = near(a.y1, a.y2) && near(b.y1, b.y2) && near(a.y1, b.y1) && a.x1 < b.x2 && b.x1 < a.x2;
      const upright = near(a.x1, a.x2) && near(b.x1, b.x2) && near(a.x1, b.x1) && a.y1 < b.y2 && b.y1 < a.y2;
      if (level || upright) return `${a.net} runs on ${b.net}`;
    }

  // and one net is all joined: by wires, by ground signs, by flags
  const pins = drawing.symbols.flatMap(s => s.pins.map(p => ({ ...p, kind: s.kind })));
  for (const name of new Set(pins.map(p => p.net))) {
    const points: { x: number; y: number; kind: string }[] = [
      ...pins.filter(p => p.net === name),
      ...lines
        .filter(s => s.net === name)
        .flatMap(s => [
          { x: s.x1, y: s.y1, kind: '' },
          { x: s.x2, y: s.y2, kind: '' },
        ]),
    ];
    const mine = lines.filter(s => s.net === name);
    const group = points.map((_, i) => i);
    const find = (i: number): number => (group[i] === i ? i : find(group[i]));
    const join = (i: number, j: number) => {
      group[find(i)] = find(j);
    };
    points.forEach((p, i) => {
      points.forEach((q, j) => {
        if (
          j < i &&
          ((near(p.x, q.x) && near(p.y, q.y)) || (p.kind === q.kind && (p.kind === 'ground' || p.kind === 'flag')))
        )
          join(i, j);
      });
    });
    for (const s of mine) {
      const on = points.map((_, i) => i).filter(i => onStretch(s, points[i].x, points[i].y));
      for (const i of on) join(i, on[0]);
    }
    if (new Set(points.map((_, i) => find(i))).size > 1) return `net ${name} is in pieces`;
  }

  // nothing lies on anything else
  const { symbols, labels } = drawing;
  for (let i = 0; i < symbols.length; i++)
    for (let j = 0; j < i; j++)
      if (overlaps(symbols[i].box, symbols[j].box))
        return `${symbols[i].kind} ${symbols[i].parts} lies on ${symbols[j].kind} ${symbols[j].parts}`;
  for (let i = 0; i < labels.length; i++) {
    for (let j = 0; j < i; j++)
      if (overlaps(labels[i].box, labels[j].box)) return `label "${labels[i].text}" lies on "${labels[j].text}"`;
    for (const s of symbols)
      if (s.kind !== 'flag' && overlaps(labels[i].box, s.box, 1))
        return `label "${labels[i].text}" lies on ${s.kind} ${s.parts}`;
    for (const s of lines)
      if (overlaps(labels[i].box, { x: s.x1, y: s.y1, width: s.x2 - s.x1, height: s.y2 - s.y1 }, 1))
        return `a wire of ${s.net} runs through "${labels[i].text}"`;
  }
  for (const s of lines)
    for (const symbol of symbols) {
      const body = {
        x: symbol.box.x + 1,
        y: symbol.box.y + 1,
        width: symbol.box.width - 2,
        height: symbol.box.height - 2,
      };
      if (
        symbol.kind !== 'terminal' &&
        overlaps(body, { x: s.x1, y: s.y1, width: s.x2 - s.x1, height: s.y2 - s.y1 }, 0.01)
      )
        return `a wire of ${s.net} runs through ${symbol.kind} ${symbol.parts}`;
    }
  for (const b of [...symbols.map(s => s.box), ...labels.map(l => l.box)])
    if (b.x < 0 || b.y < 0 || b.x + b.width > drawing.width + 1 || b.y + b.height > drawing.height)
      return 'something leaves the sheet';
  return '';
}

describe('schematic', () => {
  test('any harness: every part once, lines join what the network joins, nothing overlaps', () => {
    let laidOut = 0;
    fc.assert(
      fc.property(anyBuild, fc.constantFrom(340, 460, 700, 1000), (build, width) => {
        let drawing: Drawing;
        try {
          drawing = drawSchematic(build, width);
        } catch (error) {
          if (error instanceof CircuitError) return;
          throw error;
        }
        laidOut++;
        expect(wrong(build, drawing)).toBe('');
      }),
      { numRuns: draws(80) },
    );
    expect(laidOut).toBeGreaterThan(draws(48));
  });

  test('every configuration of the trade and every position of its usual wiring', () => {
    for (const letters of ['S', 'H', 'SS', 'HH', 'HS', 'SSS', 'HSS', 'HSH', 'HHH']) {
      const made = fromNotation(letters, guitar)!;
      for (let selected = 0; selected < made.harness.positions.length; selected++) {
        const build = {
          ...demo,
          pickups: made.pickups,
          harness: { ...made.harness, selected },
          outputs: [usualOutput()],
        };
        expect(notation(build)).toBe(letters);
        expect(parseBuild(build).ok).toBe(true);
        for (const width of [440, 1000])
          expect(`${letters} ${selected}: ${wrong(build, drawSchematic(build, width))}`).toBe(
            `${letters} ${selected}: `,
          );
      }
    }
    expect(wrong(demoBass(), drawSchematic(demoBass(), 460))).toBe('');
  });

  test('a row is not wider than asked where its items allow it', () => {
    const made = fromNotation('HSH', guitar)!;
    const build = {
      ...demo,
      pickups: made.pickups,
      harness: { ...made.harness, selected: 1 },
      outputs: [usualOutput()],
    };
    expect(drawSchematic(build, 460).width).toBeLessThanOrEqual(500);
    expect(drawSchematic(build, 460).height).toBeGreaterThan(drawSchematic(build, 1000).height);
  });

  test('values carry the place they are edited at', () => {
    const drawing = drawSchematic(demoBuilds()[1], 480);
    const edits = drawing.labels.flatMap(l => (l.edit ? [l.edit.pointer] : []));
    expect(edits).toEqual(
      expect.arrayContaining([
        '/pickups/0/coils/0/resistance',
        '/pickups/0/coils/0/inductance',
        '/pickups/0/coils/0/capacitance',
        '/harness/controls/0/volume/value',
        '/harness/controls/0/tone/value',
        '/harness/controls/0/tone/capacitance',
        '/outputs/0/chain/0/length',
        '/outputs/0/chain/1/resistance',
      ]),
    );
    expect(new Set(edits).size).toBe(edits.length);
  });

  test('coils that a position leaves out are drawn faint and are no part of the network', () => {
    const made = fromNotation('HSS', guitar)!;
    const build = {
      ...demo,
      pickups: made.pickups,
      harness: { ...made.harness, selected: 4 },
      outputs: [usualOutput()],
    };
    const faint = drawSchematic(build, 1000).symbols.filter(s => s.weight === 'faint');
    expect(faint).toHaveLength(3);
    expect(faint.every(s => s.parts.length === 0)).toBe(true);
  });

  test('as SVG text it is well formed and names no value that is not in the build', () => {
    const svg = schematicSvg(drawSchematic(demo, 700));
    expect(svg).toMatch(/^<svg [^>]+>[\s\S]+<\/svg>\n$/);
    expect(svg).not.toMatch(/NaN|undefined|Infinity/);
    expect(svg).toContain('500 k');
  });

  describe('says what stands there', () => {
    /** Names and titles, without the letters by which rows go on. */
    const said = (build: Build): string[] =>
      drawSchematic(build, 4000).labels.flatMap(({ text, tone }) => (tone === 'value' ? [] : [text]));
    const bass = demoBass();
    const withHarness = (change: Partial<Build['harness']>): Build => ({
      ...bass,
      harness: { ...bass.harness, ...change },
    });

    test('coils by pickup and coil, controls by what they are over and where they stand, stages, test points', () => {
      expect(said(bass)).toEqual([
        ...['Middle, low', 'Middle, high', 'Bridge', 'Middle volume 10', 'Bridge volume 10', 'tone 10'],
        ...['4', 'cable', 'input', '5'],
      ]);
      expect(said(demo)).toEqual([
        ...['Neck, neck-side', 'Neck, bridge-side', 'tone 10', 'volume 10', '4', 'cable', 'input', '5'],
      ]);
      // one coil of one pickup needs no name
      expect(said(demoBuilds()[1])).toEqual(['loss', 'tone 10', 'volume 10', '4', 'cable', 'input', '5']);
    });

    test('a blend by its place, with one gang or two; no controls, none', () => {
      const [from, to] = bass.pickups.map(p => p.id);
      const blend = { ...usualBlend(from, to), setting: 0.3 };
      const names = (gangs: 'one' | 'two') =>
        said(withHarness({ controls: [], blend: { ...blend, gangs } })).slice(3, -4);
      expect(names('one')).toEqual(['blend 3']);
      expect(names('two')).toEqual(['blend 3', 'blend 3']);
    });

    test('two outputs by their names, what is plugged in behind each', () => {
      const [output] = bass.outputs;
      const buffer = { kind: 'buffer', name: 'b', resistance: 1e6, capacitance: 0, gain: 1, output: 100 } as const;
      const stereo: Build = {
        ...bass,
        outputs: [
          { ...output, name: 'Tip' },
          { ...output, id: 'ring', name: 'Ring', chain: [buffer] },
        ],
        harness: {
          ...bass.harness,
          controls: [],
          positions: [
            {
              ...bass.harness.positions[0],
              taps: bass.harness.positions[0].taps.map((t, i) => ({ ...t, output: i === 0 ? output.id : 'ring' })),
            },
          ],
          selected: 0,
        },
      };
      expect(said(stereo).slice(3)).toEqual([
        ...['4 Tip', 'cable', 'input', '5 Tip'],
        ...['4 Ring', 'buffer', 'output', '5 Ring'],
      ]);
    });

    test('an independent volume has its wiper on the pickup’s side, any other on the output’s', () => {
      const wiperSide = (volumeWiring: Control['volumeWiring']): number => {
        const [control] = demo.harness.controls;
        const build = { ...demo, harness: { ...demo.harness, controls: [{ ...control, tone: null, volumeWiring }] } };
        const drawing = drawSchematic(build, 4000);
        const pot = drawing.symbols.find(s => s.parts.some(id => id.endsWith('volume.upper')))!;
        const xs = pot.pins.map(p => p.x);
        const track = xs.find(x => xs.filter(other => other === x).length > 1)!;
        return Math.sign(xs.find(x => x !== track)! - track);
      };
      expect(wiperSide('normal')).toBe(1);
      expect(wiperSide('independent')).toBe(-1);
    });
  });
});
