/**
 * The nodal solver and the exported netlists against ngspice, an independent open-source circuit simulator: random loads,
 * then random whole harnesses. Netlists written by hand are in `circuit-by-hand.test.ts`.
 */
import { describe, expect, test } from 'vitest';
import { CircuitError, type Element } from '../../shared/circuit/elements.ts';
import { harnessNetwork } from '../../shared/circuit/harness.ts';
import { harnessNetlist, netlist } from '../../shared/circuit/netlist.ts';
import { compile } from '../../shared/circuit/solve.ts';
import type { Fixed } from '../../shared/document/build.ts';
import { coil, type Dice, dice, pot, randomBuild } from '../circuit/random.ts';
import { runAc } from './ngspice.ts';

/** A pickup, a volume, a tone, a cable, an input, drawn by lot; one coil or two, some of them coupled. */
function randomLoad(d: Dice): Element[] {
  const parts: Element[] = [];
  const count = d.of([1, 2]);
  let from = 'ground';
  for (let i = 0; i < count; i++) {
    const c = coil(d, 'ab'[i]);
    const to = i === count - 1 ? 'top' : 'middle';
    parts.push(
      { kind: 'emf', id: `e${i}`, a: `s${i}`, b: from, pole: c.cover },
      { kind: 'inductor', id: `l${i}`, a: `s${i}`, b: `m${i}`, value: c.inductance },
      { kind: 'resistor', id: `r${i}`, a: `m${i}`, b: to, value: c.resistance },
      { kind: 'capacitor', id: `c${i}`, a: to, b: from, value: c.capacitance },
    );
    if (c.loss.kind === 'eddy')
      parts.push({ kind: 'resistor', id: `loss${i}`, a: `m${i}`, b: from, value: c.loss.resistance });
    from = to;
  }
  if (count === 2 && d.chance(0.5))
    parts.push({ kind: 'mutual', id: 'k', first: 'l0', second: 'l1', coupling: d.between(-0.6, 0.6) });
  const [volume, tone] = [pot(d), pot(d)];
  parts.push(
    { kind: 'resistor', id: 'upper', a: 'top', b: 'out', value: volume.value * (1 - volume.setting) },
    { kind: 'resistor', id: 'lower', a: 'out', b: 'ground', value: volume.value * volume.setting },
    { kind: 'resistor', id: 'tone', a: d.of(['top', 'out']), b: 't', value: tone.value * tone.setting },
    { kind: 'capacitor', id: 'tonecap', a: 't', b: 'ground', value: d.of([10e-9, 22e-9, 47e-9]) },
    { kind: 'capacitor', id: 'cable', a: 'out', b: 'ground', value: d.decade(50e-12, 3e-9) },
    { kind: 'resistor', id: 'grid', a: 'out', b: 'in', value: d.of([0, 34e3, 68e3]) },
    { kind: 'resistor', id: 'input', a: d.of(['out', 'in']), b: 'ground', value: d.decade(10e3, 10e6) },
    { kind: 'capacitor', id: 'miller', a: 'in', b: 'ground', value: d.of([0, 100e-12]) },
  );
  return parts;
}

/** Largest |ours − theirs| / |theirs|; where theirs is nothing, ours must be next to nothing. */
function worstError(
  ours: { re: Float64Array; im: Float64Array },
  theirs: { re: Float64Array; im: Float64Array },
): number {
  let worst = 0;
  for (let i = 0; i < theirs.re.length; i++) {
    const size = Math.hypot(theirs.re[i], theirs.im[i]);
    const error = Math.hypot(ours.re[i] - theirs.re[i], ours.im[i] - theirs.im[i]);
    worst = Math.max(worst, size > 1e-250 ? error / size : error > 1e-250 ? Infinity : 0);
  }
  return worst;
}

const drives = (d: Dice) => {
  const known = new Map<string, { magnitude: number; phase: number }>();
  return (emf: string) => {
    if (!known.has(emf)) known.set(emf, { magnitude: d.between(0.5, 2), phase: d.between(-180, 180) });
    return known.get(emf)!;
  };
};

const driven = (
  gains: Map<string, { re: Float64Array; im: Float64Array }>,
  drive: ReturnType<typeof drives>,
  count: number,
) => {
  const sum = { re: new Float64Array(count), im: new Float64Array(count) };
  for (const [emf, gain] of gains) {
    const { magnitude, phase } = drive(emf);
    const [c, s] = [magnitude * Math.cos((phase * Math.PI) / 180), magnitude * Math.sin((phase * Math.PI) / 180)];
    for (let i = 0; i < count; i++) {
      sum.re[i] += c * gain.re[i] - s * gain.im[i];
      sum.im[i] += c * gain.im[i] + s * gain.re[i];
    }
  }
  return sum;
};

describe('against ngspice', () => {
  test('240 random loads agree to 1e-9 from 20 Hz to 20 kHz', async () => {
    const d = dice(1);
    let worst = 0;
    for (let n = 0; n < 240; n++) {
      const elements = randomLoad(d);
      const drive = drives(d);
      const written = netlist({ elements }, { title: `load ${n}`, drive, analysis: 'ac dec 12 20 20000' });
      const out = written.node('in');
      const { frequencies, voltage } = await runAc(written.text);
      const [port] = compile({ elements }, ['in']).sweep(frequencies);
      const ours = driven(port.gains, drive, frequencies.length);
      const none = { re: new Float64Array(frequencies.length), im: new Float64Array(frequencies.length) };
      const error = worstError(ours, out === '0' || out === undefined ? none : voltage(out));
      expect(error, written.text).toBeLessThan(1e-9);
      worst = Math.max(worst, error);
    }
    console.log(`240 random loads: largest relative error against ngspice ${worst.toExponential(1)}`);
  });

  test('500 random harnesses agree to 1e-6, both test points, all outputs', async () => {
    const d = dice(2);
    let worst = 0;
    let silent = 0;
    for (let n = 0; n < 500; n++) {
      const build = randomBuild(d);
      const drive = drives(d);
      const point = d.of([4, 5, 5] as const);
      const network = harnessNetwork(build, point === 5);
      const written = harnessNetlist(build, point, { drive, analysis: 'ac dec 6 20 20000' });
      const { frequencies, voltage } = await runAc(written.text);
      const ports = compile(network, network.outputs).sweep(frequencies);
      ports.forEach((port, o) => {
        const ours = driven(port.gains, drive, frequencies.length);
        const node = written.outputs[o];
        const theirs =
          node === undefined || node === '0'
            ? { re: new Float64Array(frequencies.length), im: new Float64Array(frequencies.length) }
            : voltage(node);
        if (theirs.re.every((x, i) => x === 0 && theirs.im[i] === 0)) silent++;
        const error = worstError(ours, theirs);
        expect(error, `${n}\n${written.text}`).toBeLessThan(1e-6);
        worst = Math.max(worst, error);
      });
    }
    console.log(
      `500 random harnesses: largest relative error against ngspice ${worst.toExponential(1)}; silent ${silent}`,
    );
    // most of them must say something, or the test says nothing
    expect(silent).toBeLessThan(150);
  });

  test('ngspice runs a netlist with coupled coils and a current source as written', async () => {
    const elements: Element[] = [
      { kind: 'emf', id: 'e', a: 'a', b: 'ground', pole: 3000 },
      { kind: 'resistor', id: 'r', a: 'a', b: 'b', value: 1000 },
      { kind: 'inductor', id: 'l1', a: 'b', b: 'ground', value: 1 },
      { kind: 'inductor', id: 'l2', a: 'c', b: 'd', value: 2 },
      { kind: 'mutual', id: 'k', first: 'l1', second: 'l2', coupling: 0.9 },
      { kind: 'resistor', id: 'tie', a: 'd', b: 'ground', value: 50 },
      { kind: 'vccs', id: 'g', a: 'ground', b: 'out', plus: 'c', minus: 'ground', gain: 2e-4 },
      { kind: 'resistor', id: 'load', a: 'out', b: 'ground', value: 1e4 },
      { kind: 'resistor', id: 'back', a: 'out', b: 'c', value: 3e5 },
    ];
    const written = netlist({ elements }, { title: 'coupled', analysis: 'ac dec 20 20 20000' });
    const { frequencies, voltage } = await runAc(written.text);
    const [port] = compile({ elements }, ['out']).sweep(frequencies);
    expect(worstError(port.gains.get('e')!, voltage('out'))).toBeLessThan(1e-9);
  });

  test('a contradictory harness is refused by name', () => {
    const build = randomBuild(dice(3));
    const fixed: Fixed[] = [
      { id: 'loose', kind: 'resistor', value: 1e3, from: { at: 'jack', output: 'none' }, to: { at: 'ground' } },
    ];
    const broken = { ...build, harness: { ...build.harness, fixed } };
    expect(() => harnessNetwork(broken, true)).toThrow(CircuitError);
    expect(() => harnessNetwork(broken, true)).toThrow(/loose: the place it is soldered to does not exist/);
  });
});
