/**
 * Figures of loaded pickups, worked out from the closed forms named beside them, independently of the solver.
 *
 * Second-order load filter (any textbook of circuit theory): EMF behind R + sL, loaded by R_L and C in parallel,
 * w0² = (R + R_L)/(L C R_L), Q = √(L C R_L (R + R_L))/(L + R R_L C), peak at w0 √(1 − 1/(2Q²)), its height
 * Q/√(1 − 1/(4Q²)).
 */
import { describe, expect, test } from 'vitest';
import type { Element } from '../../shared/circuit/elements.ts';
import { harnessGains, pickupNetwork } from '../../shared/circuit/harness.ts';
import { loadedFigures, resonance } from '../../shared/circuit/resonance.ts';
import { compile } from '../../shared/circuit/solve.ts';
import { taperFraction } from '../../shared/circuit/taper.ts';
import type { Build } from '../../shared/document/build.ts';
import {
  buildOf,
  cableOf,
  coilOf,
  fixtureA,
  inputOf,
  pickupOf,
  positionOf,
  simpleA,
  tapOf,
} from '../circuit/fixtures.ts';

const gainDb = (build: Build, ...frequencies: number[]): number[] => {
  const [gains] = harnessGains(build, 5, Float64Array.from(frequencies));
  const [gain] = gains.values();
  return frequencies.map((_, i) => 20 * Math.log10(Math.hypot(gain.re[i], gain.im[i])));
};
const elementsDb = (elements: Element[], out: string, ...frequencies: number[]): number[] => {
  const [gain] = compile({ elements }, [out]).sweep(frequencies)[0].gains.values();
  return frequencies.map((_, i) => 20 * Math.log10(Math.hypot(gain.re[i], gain.im[i])));
};
const close = (found: number[], wanted: number[], tolerance: number) =>
  found.forEach((x, i) => {
    expect(Math.abs(x - wanted[i]), `${x} for ${wanted[i]}`).toBeLessThan(tolerance);
  });

describe('one coil under a plain load (closed form above)', () => {
  test('resonance of 2.5 H and 600 pF: 1/(2π √(LC)) = 4109.36 Hz', () => {
    const elements: Element[] = [
      { kind: 'emf', id: 'e', a: 'a', b: 'ground', pole: null },
      { kind: 'resistor', id: 'r', a: 'a', b: 'b', value: 1 },
      { kind: 'inductor', id: 'l', a: 'b', b: 'out', value: 2.5 },
      { kind: 'capacitor', id: 'c', a: 'out', b: 'ground', value: 600e-12 },
    ];
    const circuit = compile({ elements }, ['out']);
    const { peakHz } = resonance(f => {
      const gain = circuit.sweep(f)[0].gains.get('e')!;
      return gain.re.map((x, i) => Math.hypot(x, gain.im[i]));
    });
    expect(Math.abs(peakHz! - 4109.36)).toBeLessThan(0.01);
  });

  test('peak 3991.79 Hz, 7.9389 dB above DC; DC −0.25674 dB; −3 dB at 6286.76 Hz', () => {
    const found = loadedFigures(simpleA, 5);
    expect(Math.abs(found.peakHz! - 3991.79)).toBeLessThan(0.01);
    expect(Math.abs(found.peakDb - 7.9389)).toBeLessThan(1e-3);
    expect(Math.abs(found.dcDb + 0.25674)).toBeLessThan(1e-4);
    expect(Math.abs(found.minus3dBHz! - 6286.76)).toBeLessThan(0.05);
  });

  test('f0 = 4170.55 Hz, where the gain lags by exactly 90°, and Q = 2.441397, its size there against DC', () => {
    const phaseAt = (f: number) => {
      const gain = harnessGains(simpleA, 5, Float64Array.of(f))[0].get('p.a')!;
      return gain.re[0];
    };
    let [low, high] = [4000, 4400];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (phaseAt(middle) > 0) low = middle;
      else high = middle;
    }
    expect(Math.abs(low - 4170.55)).toBeLessThan(0.01);
    const q = 10 ** ((gainDb(simpleA, low)[0] - gainDb(simpleA, 0)[0]) / 20);
    expect(Math.abs(q - 2.441397)).toBeLessThan(1e-5);
  });

  test('45 742.5 Ω across 6 kΩ, 2.5 H, 600 pF leaves no peak: Q = 0.7071', () => {
    const loaded = (resistance: number) =>
      buildOf(simpleA.pickups, simpleA.harness.positions[0], [], [cableOf(500e-12), inputOf(resistance)]);
    expect(loadedFigures(loaded(45742.5 - 200), 5).peakHz).toBeNull();
    expect(loadedFigures(loaded(45742.5 + 400), 5).peakHz).not.toBeNull();
  });
});

describe('one coil, volume and tone 250 kΩ and 22 nF, 500 pF, 1 MΩ (node equations solved by hand)', () => {
  test('gain at 1, 3, 5 and 10 kHz', () => {
    close(gainDb(fixtureA(), 1000, 3000, 5000, 10000), [-0.0563, 2.9087, 0.6755, -14.2164], 1e-3);
  });
  test('peak 3732.76 Hz, 3.7009 dB above the EMF', () => {
    const found = loadedFigures(fixtureA(), 5);
    expect(Math.abs(found.peakHz! - 3732.76)).toBeLessThan(0.5);
    expect(Math.abs(found.peakDb + found.dcDb - 3.7009)).toBeLessThan(1e-3);
  });
  test('500 kΩ pots: 3990.8 Hz, 7.683 dB; 50 pF of cable: 4664.4 Hz, −0.015 dB', () => {
    const larger = loadedFigures(fixtureA({ pots: 500e3 }), 5);
    expect(Math.abs(larger.peakHz! - 3990.8)).toBeLessThan(0.1);
    expect(Math.abs(larger.peakDb + larger.dcDb - 7.683)).toBeLessThan(1e-3);
    const short = loadedFigures(fixtureA({ cable: 50e-12 }), 5);
    expect(Math.abs(short.peakHz! - 4664.4)).toBeLessThan(0.1);
    expect(Math.abs(short.peakDb + short.dcDb + 0.015)).toBeLessThan(1e-3);
  });
  test('tone at 0: peak 612.17 Hz, 4.4108 dB; at 0.1: none', () => {
    const closed = loadedFigures(fixtureA({ tone: 0 }), 5);
    expect(Math.abs(closed.peakHz! - 612.17)).toBeLessThan(0.2);
    expect(Math.abs(closed.peakDb + closed.dcDb - 4.4108)).toBeLessThan(1e-3);
    expect(loadedFigures(fixtureA({ tone: 0.1 }), 5).peakHz).toBeNull();
  });
  test('volume at half the track: 1 and 5 kHz', () => {
    close(gainDb(fixtureA({ volume: 0.5 }), 1000, 5000), [-7.0115, -9.6497], 1e-3);
  });
  test('high-frequency slope without loss: −12.041 dB per octave', () => {
    const [one, two] = gainDb(fixtureA(), 1e6, 2e6);
    expect(Math.abs(two - one + 12.041)).toBeLessThan(0.01);
  });
});

describe('eddy loss (one perfectly coupled loop: Z = R + sL/(1 + sτ), EMF/(1 + sτ), τ = L/R_e)', () => {
  const lossy = fixtureA({ coil: { loss: { kind: 'eddy', resistance: 200e3 } } });
  test('200 kΩ across EMF and inductance: gain at 1, 3, 5 and 10 kHz', () => {
    close(gainDb(lossy, 1000, 3000, 5000, 10000), [-0.185, 0.9606, -2.4209, -14.9921], 1e-3);
  });
  test('impedance of the coil is that of the formula', () => {
    const bare = fixtureA({ coil: { capacitance: 0, loss: { kind: 'eddy', resistance: 200e3 } } });
    const network = pickupNetwork(bare, 'p');
    const f = [20, 500, 3000, 20000];
    const { impedance } = compile(network, network.outputs).sweep(f)[0];
    f.forEach((hertz, i) => {
      const x = (2 * Math.PI * hertz * 2.5) / 200e3;
      const re = 6000 + (200e3 * x * x) / (1 + x * x);
      const im = (200e3 * x) / (1 + x * x);
      expect(Math.abs(impedance.re[i] / re - 1)).toBeLessThan(1e-12);
      expect(Math.abs(impedance.im[i] / im - 1)).toBeLessThan(1e-12);
    });
  });
  test('guard against the wrong place: across the inductance alone it would fall by 6.021 dB per octave only', () => {
    const at = (across: string): Element[] => [
      { kind: 'emf', id: 'e', a: 'a', b: 'ground', pole: null },
      { kind: 'inductor', id: 'l', a: 'a', b: 'b', value: 2.5 },
      { kind: 'resistor', id: 'loss', a: across, b: 'b', value: 200e3 },
      { kind: 'resistor', id: 'r', a: 'b', b: 'top', value: 6000 },
      { kind: 'capacitor', id: 'c', a: 'top', b: 'ground', value: 600e-12 },
      { kind: 'resistor', id: 'load', a: 'top', b: 'ground', value: 200e3 },
      { kind: 'resistor', id: 'tone', a: 'top', b: 't', value: 250e3 },
      { kind: 'capacitor', id: 'tonecap', a: 't', b: 'ground', value: 22e-9 },
    ];
    const [wrong, one, two] = elementsDb(at('a'), 'top', 1e4, 1e6, 2e6);
    expect(Math.abs(wrong + 12.9054)).toBeLessThan(0.01);
    expect(Math.abs(two - one + 6.021)).toBeLessThan(0.01);
    const right = elementsDb(at('ground'), 'top', 1e6, 2e6);
    expect(right[1] - right[0]).toBeLessThan(-11.9);
    close(gainDb(lossy, 1e4), elementsDb(at('ground'), 'top', 1e4), 1e-9);
    const slope = gainDb(lossy, 1e6, 2e6);
    expect(slope[1] - slope[0]).toBeLessThan(-11.9);
  });
});

test('two-capacitor method: resonances 4216.1174 Hz with 470 pF and 3034.9657 Hz with 1 nF give 2.5 H and 100 pF', () => {
  // L = (f2⁻² − f1⁻²)/(4π² (C2 − C1)), C0 = (C2 f2² − C1 f1²)/(f1² − f2²); undamped frequencies
  const resonanceWith = (added: number): number => {
    const elements: Element[] = [
      { kind: 'inductor', id: 'l', a: 'x', b: 'ground', value: 2.5 },
      { kind: 'capacitor', id: 'c', a: 'x', b: 'ground', value: 100e-12 },
      { kind: 'capacitor', id: 'added', a: 'x', b: 'ground', value: added },
      // next to nothing, but without it there is no solution at the resonance itself
      { kind: 'resistor', id: 'loss', a: 'x', b: 'ground', value: 1e15 },
    ];
    const circuit = compile({ elements }, ['x']);
    let [low, high] = [1000, 10000];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      // inductive below the resonance, capacitive above
      if (circuit.sweep([middle])[0].impedance.im[0] > 0) low = middle;
      else high = middle;
    }
    return low;
  };
  const [c1, c2] = [470e-12, 1e-9];
  const [f1, f2] = [resonanceWith(c1), resonanceWith(c2)];
  expect(Math.abs(f1 - 4216.1174)).toBeLessThan(1e-3);
  expect(Math.abs(f2 - 3034.9657)).toBeLessThan(1e-3);
  const l = (f2 ** -2 - f1 ** -2) / (4 * Math.PI ** 2 * (c2 - c1));
  const c0 = (c2 * f2 ** 2 - c1 * f1 ** 2) / (f1 ** 2 - f2 ** 2);
  expect(Math.abs(l / 2.5 - 1)).toBeLessThan(1e-6);
  expect(Math.abs(c0 / 100e-12 - 1)).toBeLessThan(1e-6);
});

test('68 kΩ ahead of 105 pF: −3 dB at 22 290.6 Hz (1/(2πRC))', () => {
  const elements: Element[] = [
    { kind: 'emf', id: 'e', a: 'in', b: 'ground', pole: null },
    { kind: 'resistor', id: 'r', a: 'in', b: 'grid', value: 68e3 },
    { kind: 'capacitor', id: 'c', a: 'grid', b: 'ground', value: 105e-12 },
  ];
  const circuit = compile({ elements }, ['grid']);
  const { minus3dBHz } = resonance(f => {
    const gain = circuit.sweep(f)[0].gains.get('e')!;
    return gain.re.map((x, i) => Math.hypot(x, gain.im[i]));
  });
  expect(Math.abs(minus3dBHz! - 22290.6)).toBeLessThan(1);
});

test('audio taper with 10 % in the middle: 0.025, 0.1 and 0.325 at a quarter, half and three quarters (b = 81)', () => {
  close(
    [0.25, 0.5, 0.75].map(x => taperFraction('audio-10', x)),
    [0.025, 0.1, 0.325],
    1e-9,
  );
});

describe('thermal noise (Johnson 1928, Nyquist 1928)', () => {
  const noisy: Element[] = [
    { kind: 'resistor', id: 'r', a: 'ground', b: 'm', value: 6000 },
    { kind: 'inductor', id: 'l', a: 'm', b: 'out', value: 2.5 },
    { kind: 'capacitor', id: 'c', a: 'out', b: 'ground', value: 600e-12 },
    { kind: 'resistor', id: 'load', a: 'out', b: 'ground', value: 200e3 },
  ];
  const circuit = compile({ elements: noisy }, ['out']);
  test('density is 4kT Re Z: 11.22 nV/√Hz at 1 kHz, 49.6 at 4 kHz', () => {
    const density = circuit.thermalNoise([1000, 4000], 0, 293.15);
    close(
      [...density].map(x => Math.sqrt(x) * 1e9),
      [11.22, 49.6],
      0.05,
    );
    const { impedance } = circuit.sweep([1000, 4000])[0];
    density.forEach((x, i) => {
      expect(Math.abs(x / (4 * 1.380649e-23 * 293.15 * impedance.re[i]) - 1)).toBeLessThan(1e-10);
    });
  });
  test('all of it together is kT/C, whatever the resistances: 2.597 µV', () => {
    const count = 40000;
    const [low, high] = [0.01, 1e9];
    const f = Array.from({ length: count + 1 }, (_, i) => low * (high / low) ** (i / count));
    const density = circuit.thermalNoise(f, 0, 293.15);
    let sum = density[0] * low;
    for (let i = 1; i <= count; i++) sum += ((density[i] + density[i - 1]) / 2) * (f[i] - f[i - 1]);
    expect(Math.abs(Math.sqrt(sum) * 1e6 - 2.597)).toBeLessThan(2e-3);
  });
});

describe('two equal coils (parallel: a quarter of the inductance; one alone: half that of series. H. Lemme)', () => {
  const [r, l, c] = [4000, 2.25, 240e-12];
  const pickup = pickupOf('p', coilOf('a', r, l, c), coilOf('b', r, l, c));
  /** |H| of R, L, C_self under 500 pF and 300 kΩ in closed form. */
  const closed = (R: number, L: number, C: number, f: number): { re: number; im: number } => {
    const [w, load] = [2 * Math.PI * f, 300e3];
    const re = load + R - w * w * L * load * C;
    const im = w * (L + R * load * C);
    const d = re * re + im * im;
    return { re: (load * re) / d, im: (-load * im) / d };
  };
  const frequencies = Float64Array.of(20, 440, 2000, 4000, 8000, 20000);
  const cases = [
    { name: 'series', tap: tapOf('p'), R: 2 * r, L: 2 * l, C: c / 2, share: 1 },
    { name: 'parallel', tap: tapOf('p', { join: 'parallel' }), R: r / 2, L: l / 2, C: 2 * c, share: 0.5 },
    { name: 'one', tap: tapOf('p', { coils: ['b'] }), R: r, L: l, C: c, share: 1 },
  ] as const;
  for (const { name, tap, R, L, C, share } of cases)
    test(name, () => {
      const build = buildOf([pickup], positionOf('parallel', tap), [], [cableOf(500e-12), inputOf(300e3)]);
      const gains = harnessGains(build, 5, frequencies)[0];
      expect(gains.size).toBe(name === 'one' ? 1 : 2);
      for (const gain of gains.values())
        frequencies.forEach((f, i) => {
          const wanted = closed(R, L, C + 500e-12, f);
          const error = Math.hypot(gain.re[i] - share * wanted.re, gain.im[i] - share * wanted.im);
          expect(error / Math.hypot(share * wanted.re, share * wanted.im)).toBeLessThan(1e-10);
        });
    });
  test('antiphase turns the second coil, reverse both', () => {
    const first = (tap: ReturnType<typeof tapOf>) => {
      const build = buildOf([pickup], positionOf('parallel', tap), [], [inputOf(300e3)]);
      return [...harnessGains(build, 5, Float64Array.of(50))[0].values()].map(g => Math.sign(g.re[0]));
    };
    expect(first(tapOf('p'))).toEqual([1, 1]);
    expect(first(tapOf('p', { antiphase: true }))).toEqual([1, -1]);
    expect(first(tapOf('p', { reverse: true }))).toEqual([-1, -1]);
    expect(first(tapOf('p', { antiphase: true, reverse: true, join: 'parallel' }))).toEqual([-1, 1]);
  });
});
