/**
 * Complex nodal analysis of a linear network (modified nodal analysis: Ho, Ruehli and Brennan, IEEE Trans. Circuits
 * and Systems 22, 1975).
 *
 * `compile` reads a network once: it merges wires, joins parts in series, orders the elimination (Markowitz' rule with
 * threshold pivoting, as sparse circuit solvers do) and writes the elimination down as a list of slot numbers. A sweep
 * then runs that list over blocks of frequencies side by side, without allocating anything for a frequency.
 *
 * Every quantity asked for comes from the transposed system: one solve per port gives the gain from every EMF to that
 * port, the impedance seen into it and the noise at it (the adjoint network: Director and Rohrer, IEEE Trans. Circuit
 * Theory 16, 1969).
 *
 * Unknowns are the node voltages and the currents through inductances, sources and resistances too small to be
 * treated as admittances. All entries have the form g + jω c. Impedances are scaled by `SCALE` so that volts and
 * scaled amperes are of one order.
 */
import { type Spectrum, spectrum } from '../complex.ts';
import {
  findIslands,
  joinSeries,
  keptNodes,
  type Parts,
  type Port,
  readParts,
  refuseContradictions,
} from './branches.ts';
import { GROUND, type Network, nets, validate } from './elements.ts';
import { type Planned, planElimination } from './elimination.ts';
import { BLOCK, type Side } from './elimination-order.ts';

export type { Port } from './branches.ts';

const BOLTZMANN = 1.380649e-23;
/** Ohm per unit of scaled impedance. */
const SCALE = 1e5;

const port = (p: Port | string): Port => (typeof p === 'string' ? { plus: p, minus: GROUND } : p);

/** What a sweep finds at one port. */
export interface PortSweep {
  /** Gain from each EMF (by its id) to the voltage at the port. EMFs that cannot reach the port are all zeros. */
  readonly gains: Map<string, Spectrum>;
  /** Impedance seen into the port with all EMFs at rest, ohm. All zeros at a shorted, floating or unknown port. */
  readonly impedance: Spectrum;
}

export interface Circuit {
  /** Ids of the EMFs, in the order of the network. */
  readonly emfs: readonly string[];
  /** Number of unknowns, of stored entries and of multiply-subtract steps per frequency: what a sweep costs. */
  readonly size: { readonly unknowns: number; readonly entries: number; readonly steps: number };
  /** Gains and impedance at each port, in their order. 0 Hz is taken as the limit from above (at 1 mHz). */
  sweep(frequencies: ArrayLike<number>): PortSweep[];
  /**
   * Power density of the thermal noise of all resistances at port number `which`, V²/Hz: 4kT Σ G |y_a − y_b|² over
   * the adjoint solution (Johnson, Phys. Rev. 32, 1928; Nyquist, same volume). Temperature in kelvin.
   */
  thermalNoise(frequencies: ArrayLike<number>, which: number, temperature: number): Float64Array;
}

/** The unknowns of a network: nodes first, then branch currents. */
interface Unknowns {
  readonly names: readonly string[];
  readonly nodeCount: number;
  /** Number of a node; −1: a reference node. */
  at(node: string): number;
}

function numberUnknowns(parts: Parts, islands: ReadonlyMap<string, string>): Unknowns {
  const { branches, admittances, transconductances } = parts;
  const index = new Map<string, number>();
  const names: string[] = [];
  for (const { a, b } of [...admittances, ...branches, ...transconductances])
    for (const node of [a, b])
      if (!index.has(node)) {
        const fixed = islands.get(node) === node;
        index.set(node, fixed ? -1 : names.length);
        if (!fixed) names.push(node);
      }
  const at = (node: string): number => index.get(node) ?? -1;
  const nodeCount = names.length;
  names.push(...branches.map(b => b.id));
  return { names, nodeCount, at };
}

/** The entries g + jω c of the equations, by row · n + column. */
function entriesOf(network: Network, parts: Parts, { names, nodeCount, at }: Unknowns) {
  const { branches, admittances, transconductances, inductorBranch } = parts;
  const n = names.length;
  const cells = new Map<number, { g: number; c: number }>();
  const put = (row: number, col: number, g: number, c: number) => {
    if (row < 0 || col < 0) return;
    const key = row * n + col;
    const cell = cells.get(key);
    if (cell) {
      cell.g += g;
      cell.c += c;
    } else cells.set(key, { g, c });
  };
  for (const { a, b, g, c } of admittances) {
    const [i, j] = [at(a), at(b)];
    put(i, i, g * SCALE, c * SCALE);
    put(j, j, g * SCALE, c * SCALE);
    put(i, j, -g * SCALE, -c * SCALE);
    put(j, i, -g * SCALE, -c * SCALE);
  }
  for (const { a, b, plus, minus, gain } of transconductances)
    for (const [node, s] of [
      [a, 1],
      [b, -1],
    ] as const) {
      put(at(node), at(plus), s * gain * SCALE, 0);
      put(at(node), at(minus), -s * gain * SCALE, 0);
    } // prettier-ignore
  branches.forEach((b, k) => {
    const row = nodeCount + k;
    put(at(b.a), row, 1, 0);
    put(at(b.b), row, -1, 0);
    put(row, at(b.a), 1, 0);
    put(row, at(b.b), -1, 0);
    if (b.r > 0 || b.l > 0) put(row, row, -b.r / SCALE, -b.l / SCALE);
    if (b.amplifier) {
      put(row, at(b.amplifier.plus), -b.amplifier.gain, 0);
      put(row, at(b.amplifier.minus), b.amplifier.gain, 0);
    }
  });
  for (const e of network.elements) {
    if (e.kind !== 'mutual') continue;
    const first = inductorBranch.get(e.first)!;
    const second = inductorBranch.get(e.second)!;
    const m = (e.coupling * Math.sqrt(first.l * second.l)) / SCALE;
    const [i, j] = [nodeCount + branches.indexOf(first), nodeCount + branches.indexOf(second)];
    put(i, j, 0, -m);
    put(j, i, 0, -m);
  }
  return cells;
}

/** Everything that readings are taken from. */
interface Compiled {
  readonly parts: Parts;
  readonly unknowns: Unknowns;
  /** One right side a port; empty: it floats, is shorted or unknown. */
  readonly sides: readonly Side[];
  readonly plan: Planned | null;
}

function sweepOf({ parts: { emfs, branches }, unknowns: { nodeCount }, sides, plan }: Compiled): Circuit['sweep'] {
  const poleOf = Float64Array.from(emfs, e => (e.pole === null ? 0 : 1 / e.pole));
  const sources = branches.flatMap((b, k) => b.emfs.map(({ index, sign }) => ({ row: nodeCount + k, index, sign })));
  return frequencies => {
    const count = frequencies.length;
    const results = sides.map((): PortSweep & { list: Spectrum[] } => {
      const list = emfs.map(() => spectrum(count));
      return { list, gains: new Map(emfs.map((e, k) => [e.id, list[k]])), impedance: spectrum(count) };
    });
    if (plan)
      plan.run(frequencies, (which, start, length, y) => {
        const { list, impedance } = results[which];
        for (const { row, index, sign } of sources) {
          const { re, im } = list[index];
          const tau = poleOf[index];
          for (let b = 0; b < length; b++) {
            const from = row * BLOCK + b;
            // E / (1 + j f tau)
            const x = frequencies[start + b] * tau;
            const scale = sign / (1 + x * x);
            re[start + b] += (y.re[from] + y.im[from] * x) * scale;
            im[start + b] += (y.im[from] - y.re[from] * x) * scale;
          }
        }
        for (const side of sides[which])
          for (let b = 0; b < length; b++) {
            const from = side.at * BLOCK + b;
            impedance.re[start + b] += side.value * SCALE * y.re[from];
            impedance.im[start + b] += side.value * SCALE * y.im[from];
          }
      });
    return results.map(({ gains, impedance }) => ({ gains, impedance }));
  };
}

function noiseOf({
  parts: { branches, admittances },
  unknowns: { nodeCount, at },
  plan,
}: Compiled): Circuit['thermalNoise'] {
  return (frequencies, which, temperature) => {
    const density = new Float64Array(frequencies.length);
    if (!plan) return density;
    const fourKT = 4 * BOLTZMANN * temperature;
    plan.run(frequencies, (reading, start, length, y) => {
      if (reading !== which) return;
      const take = (node: number, part: Float64Array, b: number) => (node < 0 ? 0 : part[node * BLOCK + b]);
      for (const { a, b: to, g } of admittances) {
        if (g === 0) continue;
        const [i, j] = [at(a), at(to)];
        for (let b = 0; b < length; b++) {
          const re = SCALE * (take(i, y.re, b) - take(j, y.re, b));
          const im = SCALE * (take(i, y.im, b) - take(j, y.im, b));
          density[start + b] += fourKT * g * (re * re + im * im);
        }
      }
      branches.forEach(({ r }, k) => {
        if (r === 0) return;
        for (let b = 0; b < length; b++) {
          const from = (nodeCount + k) * BLOCK + b;
          density[start + b] += fourKT * r * (y.re[from] ** 2 + y.im[from] ** 2);
        }
      });
    });
    return density;
  };
}

/**
 * Compiles a network for sweeps at the given ports (a node alone is read against ground). `CircuitError` names the part
 * when a value is unusable or sources contradict each other. A port that floats, is shorted or does not exist reads
 * zero volts from everything.
 */
export function compile(network: Network, readings: readonly (Port | string)[]): Circuit {
  validate(network);
  const net = nets(network);
  const ports = readings.map(port).map(p => ({ plus: net.of(p.plus), minus: net.of(p.minus) }));
  const read = readParts(network, net.of);
  refuseContradictions(read.branches);
  const kept = keptNodes(read.branches, read.transconductances, ports);
  const parts: Parts = { ...read, ...joinSeries(read.branches, read.admittances, kept) };
  const islands = findIslands([...parts.admittances, ...parts.branches, ...parts.transconductances]);
  const unknowns = numberUnknowns(parts, islands);
  const { names, at } = unknowns;
  const sides = ports.map(({ plus, minus }): Side => {
    const island = islands.get(plus);
    // between two islands no voltage is defined: it reads as nothing
    if (plus === minus || island === undefined || island !== islands.get(minus)) return [];
    return [
      { at: at(plus), value: 1 },
      { at: at(minus), value: -1 },
    ].filter(end => end.at >= 0);
  }); // prettier-ignore
  const cells = entriesOf(network, parts, unknowns);
  const plan = sides.some(side => side.length > 0) ? planElimination(names.length, cells, names, sides) : null;
  const compiled: Compiled = { parts, unknowns, sides, plan };
  return {
    emfs: parts.emfs.map(e => e.id),
    size: { unknowns: names.length, entries: plan?.entries ?? 0, steps: plan?.steps ?? 0 },
    sweep: sweepOf(compiled),
    thermalNoise: noiseOf(compiled),
  };
}
