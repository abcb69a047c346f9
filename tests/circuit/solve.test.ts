/** Properties of the solver on any network, and defined answers where a network leaves nothing to solve. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CircuitError, type Element } from '../../shared/circuit/elements.ts';
import { harnessNetwork } from '../../shared/circuit/harness.ts';
import { compile } from '../../shared/circuit/solve.ts';
import { dice, randomBuild } from './random.ts';

const F = [20, 137, 1000, 3456, 9000, 20000, 96000];
/** Rounding against an EMF of 1 V: −220 dB. */
const ROUNDING = 1e-11;

/** A random network of resistors, inductances and capacitances over a few nodes. */
const passive = fc.integer({ min: 1, max: 1e9 }).map((seed): Element[] => {
  const d = dice(seed);
  const nodes = ['ground', 'a', 'b', 'c', 'd', 'e'];
  const parts: Element[] = [];
  const count = d.whole(4, 14);
  for (let i = 0; i < count; i++) {
    const [a, b] = [d.of(nodes), d.of(nodes)];
    const kind = d.of(['resistor', 'inductor', 'capacitor'] as const);
    const value = { resistor: d.decade(1, 1e6), inductor: d.decade(0.01, 10), capacitor: d.decade(1e-11, 1e-7) }[kind];
    parts.push({ kind, id: `x${i}`, a, b, value: d.chance(0.05) ? 0 : value });
  }
  // a little loss everywhere, so that no frequency is a lossless resonance
  for (const node of nodes.slice(1)) parts.push({ kind: 'resistor', id: `g${node}`, a: node, b: 'ground', value: 5e6 });
  return parts;
});

describe('properties', () => {
  test('reciprocity: transfer impedance is the same both ways round', () => {
    fc.assert(
      fc.property(passive, parts => {
        // an EMF behind a resistor at one node, read at the other, and the other way about
        const driven = (at: string): Element[] => [
          ...parts,
          { kind: 'resistor', id: 'ra', a: 'a', b: at === 'a' ? 'src' : 'ground', value: 1000 },
          { kind: 'resistor', id: 'rb', a: 'b', b: at === 'b' ? 'src' : 'ground', value: 1000 },
          { kind: 'emf', id: 'e', a: 'src', b: 'ground', pole: null },
        ];
        const there = compile({ elements: driven('a') }, ['b'])
          .sweep(F)[0]
          .gains.get('e')!;
        const back = compile({ elements: driven('b') }, ['a'])
          .sweep(F)[0]
          .gains.get('e')!;
        F.forEach((_, i) => {
          const size = Math.hypot(there.re[i], there.im[i]);
          const error = Math.hypot(there.re[i] - back.re[i], there.im[i] - back.im[i]);
          expect(error).toBeLessThanOrEqual(1e-9 * size + ROUNDING);
        });
      }),
      { numRuns: 150 },
    );
  });

  test('passivity: resistance seen into any port is never negative', () => {
    fc.assert(
      fc.property(passive, parts => {
        for (const { impedance } of compile({ elements: parts }, ['a', { plus: 'b', minus: 'c' }]).sweep(F))
          F.forEach((_, i) => {
            const size = Math.hypot(impedance.re[i], impedance.im[i]);
            expect(impedance.re[i]).toBeGreaterThanOrEqual(-1e-9 * size - 1e-6);
          });
      }),
      { numRuns: 150 },
    );
  });

  test('no more power comes out of a passive network than its source has to give: |H|² ≤ R_load/(4 R_source)', () => {
    fc.assert(
      fc.property(passive, fc.double({ min: 100, max: 1e5, noNaN: true }), (parts, source) => {
        const load = 22e3;
        const gain = compile(
          {
            elements: [
              ...parts,
              { kind: 'emf', id: 'e', a: 'src', b: 'ground', pole: null },
              { kind: 'resistor', id: 'rs', a: 'src', b: 'a', value: source },
              { kind: 'resistor', id: 'rl', a: 'd', b: 'ground', value: load },
            ],
          },
          ['d'],
        )
          .sweep(F)[0]
          .gains.get('e')!;
        F.forEach((_, i) => {
          expect(gain.re[i] ** 2 + gain.im[i] ** 2).toBeLessThanOrEqual((load / (4 * source)) * (1 + 1e-9));
        });
      }),
      { numRuns: 150 },
    );
  });

  test('whole harnesses: every figure finite, output resistance not negative without amplifiers', () => {
    for (let seed = 0; seed < 400; seed++) {
      const build = randomBuild(dice(1000 + seed));
      const network = harnessNetwork(build, seed % 2 === 0);
      const amplified = network.elements.some(e => e.kind === 'vcvs');
      for (const { gains, impedance } of compile(network, network.outputs).sweep([0, ...F])) {
        for (const s of [...gains.values(), impedance])
          expect([...s.re, ...s.im].every(Number.isFinite), `${seed}`).toBe(true);
        if (!amplified)
          impedance.re.forEach((r, i) => {
            expect(r).toBeGreaterThanOrEqual(-1e-9 * Math.hypot(r, impedance.im[i]) - 1e-6);
          });
      }
    }
  });

  test('the order of the parts does not matter', () => {
    for (let seed = 0; seed < 40; seed++) {
      const network = harnessNetwork(randomBuild(dice(5000 + seed)), true);
      const turned = { ...network, elements: [...network.elements].reverse() };
      const a = compile(network, network.outputs).sweep(F);
      const b = compile(turned, network.outputs).sweep(F);
      a.forEach(({ gains }, o) => {
        for (const [emf, gain] of gains) {
          const other = b[o].gains.get(emf)!;
          F.forEach((_, i) => {
            const size = Math.hypot(gain.re[i], gain.im[i]);
            expect(Math.hypot(gain.re[i] - other.re[i], gain.im[i] - other.im[i])).toBeLessThanOrEqual(
              1e-8 * size + ROUNDING,
            );
          });
        }
      });
    }
  });
});

describe('nothing to solve, or too much', () => {
  const coil: Element[] = [
    { kind: 'emf', id: 'coil', a: 's', b: 'ground', pole: null },
    { kind: 'inductor', id: 'l', a: 's', b: 'm', value: 2.5 },
    { kind: 'resistor', id: 'r', a: 'm', b: 'hot', value: 6000 },
  ];
  const read = (elements: Element[], at: string) => compile({ elements }, [at]).sweep([0, 1000])[0];
  const silent = ({ gains, impedance }: ReturnType<typeof read>) =>
    [...gains.values(), impedance].every(s => [...s.re, ...s.im].every(x => x === 0));

  test('an open output reads the EMF itself', () => {
    expect(read(coil, 'hot').gains.get('coil')!.re[1]).toBeCloseTo(1, 12);
  });
  test('a shorted, a floating, a missing output reads nothing', () => {
    const shorted: Element[] = [...coil, { kind: 'wire', id: 'w', a: 'hot', b: 'ground' }];
    expect(silent(read(shorted, 'hot'))).toBe(true);
    const floating: Element[] = [...coil, { kind: 'resistor', id: 'f', a: 'x', b: 'y', value: 1000 }];
    expect(silent(read(floating, 'x'))).toBe(true);
    expect(silent(read(coil, 'nowhere'))).toBe(true);
    expect(silent(read([], 'out'))).toBe(true);
  });
  test('an output hanging on a capacitor alone has a limit at 0 Hz', () => {
    const { gains } = read([...coil, { kind: 'capacitor', id: 'c', a: 'hot', b: 'out', value: 1e-8 }], 'out');
    expect([...gains.get('coil')!.re, ...gains.get('coil')!.im].every(Number.isFinite)).toBe(true);
  });
  test('a floating pickup between two of its own nodes has a voltage', () => {
    const floating: Element[] = coil.map(e => ('b' in e && e.b === 'ground' ? { ...e, b: 'low' } : e));
    const circuit = compile({ elements: floating }, [{ plus: 'hot', minus: 'low' }]);
    expect(circuit.sweep([1000])[0].gains.get('coil')!.re[0]).toBeCloseTo(1, 12);
  });
  test('parts of zero value: resistance and inductance are wires, a capacitance is nothing', () => {
    const zero: Element[] = [
      { kind: 'emf', id: 'coil', a: 's', b: 'ground', pole: null },
      { kind: 'inductor', id: 'l', a: 's', b: 'm', value: 0 },
      { kind: 'resistor', id: 'r', a: 'm', b: 'hot', value: 0 },
      { kind: 'capacitor', id: 'c', a: 'hot', b: 'ground', value: 0 },
    ];
    expect(read(zero, 'hot').gains.get('coil')!.re[1]).toBeCloseTo(1, 12);
  });
  const refused = (elements: Element[], part: string, message: RegExp) => {
    let caught: unknown = null;
    try {
      compile({ elements }, ['hot']).sweep([1000]);
    } catch (error) {
      caught = error;
    }
    expect(caught).toBeInstanceOf(CircuitError);
    expect((caught as CircuitError).part).toBe(part);
    expect((caught as CircuitError).message).toMatch(message);
  };
  test('contradictions and unusable values are refused, naming the part', () => {
    refused([{ kind: 'emf', id: 'e', a: 'hot', b: 'hot', pole: null }], 'e', /shorted/);
    refused([...coil, { kind: 'resistor', id: 'bad', a: 'hot', b: 'ground', value: Number.NaN }], 'bad', /finite/);
    refused([...coil, { kind: 'capacitor', id: 'bad', a: 'hot', b: 'ground', value: -1e-9 }], 'bad', /negative/);
    refused([...coil, coil[1]], 'l', /two parts/);
    refused(
      [
        { kind: 'emf', id: 'one', a: 'hot', b: 'ground', pole: null },
        { kind: 'emf', id: 'two', a: 'hot', b: 'ground', pole: null },
      ],
      'two',
      /loop/,
    );
    refused([...coil, { kind: 'mutual', id: 'k', first: 'l', second: 'r', coupling: 0.5 }], 'k', /r is no inductance/);
    refused([...coil, { kind: 'emf', id: 'p', a: 'q', b: 'ground', pole: 0 }], 'p', /pole/);
  });
  test('a lossless resonance hit exactly is refused, not infinite', () => {
    const l = 1;
    const f = 1000;
    const c = 1 / ((2 * Math.PI * f) ** 2 * l);
    const elements: Element[] = [
      { kind: 'emf', id: 'e', a: 's', b: 'ground', pole: null },
      { kind: 'capacitor', id: 'c', a: 's', b: 'hot', value: c },
      { kind: 'inductor', id: 'l', a: 'hot', b: 'ground', value: l },
    ];
    let finite = true;
    try {
      const gain = compile({ elements }, ['hot']).sweep([f])[0].gains.get('e')!;
      finite = Number.isFinite(gain.re[0]) && Number.isFinite(gain.im[0]);
    } catch (error) {
      expect(error).toBeInstanceOf(CircuitError);
    }
    expect(finite).toBe(true);
  });
});
