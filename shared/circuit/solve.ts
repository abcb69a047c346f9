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
import { CircuitError, GROUND, type Network, nets, validate } from './elements.ts';

/** A pair of nodes between which something is read. */
export interface Port {
  readonly plus: string;
  readonly minus: string;
}
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
  /** Gains and impedance at each port, in their order. 0 Hz is taken as the limit from above (at `LOWEST` Hz). */
  sweep(frequencies: ArrayLike<number>): PortSweep[];
  /**
   * Power density of the thermal noise of all resistances at port number `which`, V²/Hz: 4kT Σ G |y_a − y_b|² over
   * the adjoint solution (Johnson, Phys. Rev. 32, 1928; Nyquist, same volume). Temperature in kelvin.
   */
  thermalNoise(frequencies: ArrayLike<number>, which: number, temperature: number): Float64Array;
}

/** Below this frequency, Hz, the limit at 0 Hz is taken to be reached. */
export const LOWEST = 1e-3;
const BOLTZMANN = 1.380649e-23;
/** Ohm per unit of scaled impedance. */
const SCALE = 1e5;
/** Resistances below this, ohm, get a current of their own: as admittances they would cost digits. */
const SMALL = 100;
/** Frequencies at which pivots are chosen, Hz. */
const WITNESSES = [2, 60, 900, 3500, 9000, 40e3];
/** A pivot may be this much smaller than the largest entry of its column. */
const THRESHOLD = 0.02;
/** Multipliers above this (squared) mean that the pivots do not suit the frequency: it is solved on its own. */
const GROWTH = 1e4;
/** Frequencies worked on side by side. */
const BLOCK = 32;

/** Parts in series: V(a) − V(b) = (r + jω l) i + Σ ± EMF, with the current i as an unknown. */
interface Branch {
  a: string;
  b: string;
  r: number;
  l: number;
  /** The first part in it, for messages. */
  id: string;
  emfs: { index: number; sign: number }[];
  amplifier: { plus: string; minus: string; gain: number } | null;
  /** Coupled to another branch: it stays as it is. */
  coupled: boolean;
}
interface Admittance {
  a: string;
  b: string;
  g: number;
  c: number;
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
  const emfs: { id: string; pole: number | null }[] = [];
  let branches: Branch[] = [];
  let admittances: Admittance[] = [];
  const transconductances: { a: string; b: string; plus: string; minus: string; gain: number }[] = [];
  const inductorBranch = new Map<string, Branch>();
  const coupled = new Set<string>();
  for (const e of network.elements) if (e.kind === 'mutual') coupled.add(e.first).add(e.second);

  const branch = (e: { id: string; a: string; b: string }, r: number, l: number): Branch => {
    const b: Branch = { a: net.of(e.a), b: net.of(e.b), r, l, id: e.id, emfs: [], amplifier: null, coupled: false };
    branches.push(b);
    return b;
  };
  for (const e of network.elements) {
    if (e.kind === 'mutual' || e.kind === 'wire') continue;
    const a = net.of(e.a);
    const b = net.of(e.b);
    if (e.kind === 'emf') {
      if (a === b) throw new CircuitError(e.id, 'the source is shorted');
      branch(e, 0, 0).emfs.push({ index: emfs.length, sign: 1 });
      emfs.push({ id: e.id, pole: e.pole });
    } else if (e.kind === 'vcvs') {
      if (a === b) throw new CircuitError(e.id, 'the output of the amplifier is shorted');
      branch(e, 0, 0).amplifier = { plus: net.of(e.plus), minus: net.of(e.minus), gain: e.gain };
    } else if (e.kind === 'vccs') {
      transconductances.push({ a, b, plus: net.of(e.plus), minus: net.of(e.minus), gain: e.gain });
    } else if (e.kind === 'inductor' && e.value > 0) {
      // a shorted inductance only matters through what it is coupled to
      if (a === b && !coupled.has(e.id)) continue;
      const l = branch(e, 0, e.value);
      l.coupled = coupled.has(e.id);
      inductorBranch.set(e.id, l);
    } else if (a !== b && e.value > 0) {
      if (e.kind === 'capacitor') admittances.push({ a, b, g: 0, c: e.value });
      else if (e.kind === 'resistor') {
        if (e.value < SMALL) branch(e, e.value, 0);
        else admittances.push({ a, b, g: 1 / e.value, c: 0 });
      }
    }
  }
  refuseContradictions(branches);
  const kept = keptNodes(branches, transconductances, ports);
  ({ branches, admittances } = joinSeries(branches, admittances, kept));
  const islands = findIslands([...admittances, ...branches, ...transconductances]);

  // numbering: nodes first, then branch currents; -1: a reference node
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
  const poleOf = Float64Array.from(emfs, e => (e.pole === null ? 0 : 1 / e.pole));
  const sources = branches.flatMap((b, k) => b.emfs.map(({ index, sign }) => ({ row: nodeCount + k, index, sign })));

  const sides = ports.map(({ plus, minus }) => {
    const island = islands.get(plus);
    // between two islands no voltage is defined: it reads as nothing
    if (plus === minus || island === undefined || island !== islands.get(minus)) return [];
    return [
      { at: at(plus), value: 1 },
      { at: at(minus), value: -1 },
    ].filter(end => end.at >= 0);
  }); // prettier-ignore
  const plan = sides.some(side => side.length > 0) ? planElimination(n, cells, names, sides) : null;

  const sweep: Circuit['sweep'] = frequencies => {
    const count = frequencies.length;
    const results = ports.map((): PortSweep & { list: Spectrum[] } => {
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

  const thermalNoise: Circuit['thermalNoise'] = (frequencies, which, temperature) => {
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

  return {
    emfs: emfs.map(e => e.id),
    size: { unknowns: n, entries: plan?.entries ?? 0, steps: plan?.steps ?? 0 },
    sweep,
    thermalNoise,
  };
}

/** A loop of sources without any impedance has no solution, or any number of them. */
function refuseContradictions(branches: readonly Branch[]): void {
  const parent = new Map<string, string>();
  const find = (x: string): string => {
    const up = parent.get(x) ?? x;
    return up === x ? x : find(up);
  };
  for (const b of branches) {
    if (b.r > 0 || b.l > 0) continue;
    const [i, j] = [find(b.a), find(b.b)];
    if (i === j) throw new CircuitError(b.id, 'sources without resistance form a loop');
    parent.set(i, j);
  }
}

/** Nodes that must stay because something looks at them. */
function keptNodes(
  branches: readonly Branch[],
  transconductances: readonly (Port & { a: string; b: string })[],
  ports: readonly Port[],
): Set<string> {
  const kept = new Set<string>([GROUND]);
  for (const { plus, minus } of ports) kept.add(plus).add(minus);
  for (const { amplifier } of branches) if (amplifier) kept.add(amplifier.plus).add(amplifier.minus);
  for (const t of transconductances) kept.add(t.a).add(t.b).add(t.plus).add(t.minus);
  return kept;
}

/**
 * Which nodes hang together through any part: each node with the node whose potential is its island's zero, ground
 * where it is among them.
 */
function findIslands(links: readonly { a: string; b: string }[]): Map<string, string> {
  const next = new Map<string, string[]>([[GROUND, []]]);
  for (const { a, b } of links) {
    if (!next.has(a)) next.set(a, []);
    if (!next.has(b)) next.set(b, []);
    next.get(a)!.push(b);
    next.get(b)!.push(a);
  }
  const island = new Map<string, string>();
  for (const first of next.keys()) {
    if (island.has(first)) continue;
    const open = [first];
    island.set(first, first);
    for (let node = open.pop(); node !== undefined; node = open.pop())
      for (const other of next.get(node)!)
        if (!island.has(other)) {
          island.set(other, first);
          open.push(other);
        }
  }
  return island;
}

/** Joins EMFs, inductances and resistances that meet, two by two, at nodes where nothing else is connected. */
function joinSeries(
  branches: readonly Branch[],
  admittances: readonly Admittance[],
  kept: ReadonlySet<string>,
): { branches: Branch[]; admittances: Admittance[] } {
  const liveBranches = new Set(branches);
  const liveAdmittances = new Set(admittances);
  const touching = new Map<string, Set<Branch | Admittance>>();
  const touch = (part: Branch | Admittance) => {
    for (const node of [part.a, part.b]) {
      if (!touching.has(node)) touching.set(node, new Set());
      touching.get(node)!.add(part);
    }
  };
  branches.forEach(touch);
  admittances.forEach(touch);
  for (const node of [...touching.keys()]) {
    if (kept.has(node)) continue;
    const parts = [...touching.get(node)!];
    if (parts.length !== 2) continue;
    const first = parts.find((p): p is Branch => 'emfs' in p);
    const second = parts.find(p => p !== first)!;
    if (!first || first.coupled || first.amplifier) continue;
    if ('emfs' in second ? second.coupled || second.amplifier !== null : second.c !== 0) continue;
    const far = second.a === node ? second.b : second.a;
    const near = first.a === node ? first.b : first.a;
    if (far === near) continue;
    // the second part as seen along the direction of the first
    const along = (first.b === node) === (second.a === node) ? 1 : -1;
    const joined: Branch = {
      ...first,
      a: first.a === node ? far : first.a,
      b: first.b === node ? far : first.b,
      r: first.r + ('emfs' in second ? second.r : 1 / second.g),
      l: first.l + ('emfs' in second ? second.l : 0),
      emfs:
        'emfs' in second
          ? [...first.emfs, ...second.emfs.map(e => ({ index: e.index, sign: e.sign * along }))]
          : first.emfs,
    };
    for (const part of [first, second]) {
      touching.get(part.a)!.delete(part);
      touching.get(part.b)!.delete(part);
    }
    liveBranches.delete(first);
    if ('emfs' in second) liveBranches.delete(second);
    else liveAdmittances.delete(second);
    liveBranches.add(joined);
    touch(joined);
  }
  return { branches: [...liveBranches], admittances: [...liveAdmittances] };
}

/** Blocks of values per unknown: unknown `k` at frequency `b` of the block stands at `k * BLOCK + b`. */
interface Planned {
  readonly entries: number;
  readonly steps: number;
  run(
    frequencies: ArrayLike<number>,
    /** Called per block and right side with the solution of the transposed system, which is overwritten afterwards. */
    take: (which: number, start: number, length: number, y: Spectrum) => void,
  ): void;
}

/** Orders the elimination of an n × n matrix of entries g + jω c and writes it down. Rows and columns pivot freely. */
function planElimination(
  n: number,
  cells: ReadonlyMap<number, { g: number; c: number }>,
  names: readonly string[],
  sides: readonly (readonly { at: number; value: number }[])[],
): Planned {
  // slots: one per stored entry, the matrix's own first, then what elimination fills in
  const slotOf = new Map<number, number>();
  for (const key of cells.keys()) slotOf.set(key, slotOf.size);
  const own = slotOf.size;
  const g = Float64Array.from(cells.values(), cell => cell.g);
  const c = Float64Array.from(cells.values(), cell => cell.c);

  const rows: Set<number>[] = Array.from({ length: n }, () => new Set());
  const cols: Set<number>[] = Array.from({ length: n }, () => new Set());
  const witness = WITNESSES.map(() => ({ re: new Float64Array(n * n), im: new Float64Array(n * n) }));
  for (const [key, cell] of cells) {
    const row = Math.floor(key / n);
    rows[row].add(key % n);
    cols[key % n].add(row);
    witness.forEach(({ re, im }, w) => {
      re[key] = cell.g;
      im[key] = 2 * Math.PI * WITNESSES[w] * cell.c;
    });
  }
  const size = (w: number, key: number) => Math.abs(witness[w].re[key]) + Math.abs(witness[w].im[key]);

  const stepOfRow = new Int32Array(n).fill(-1);
  const stepOfCol = new Int32Array(n).fill(-1);
  const pivotRow = new Int32Array(n);
  const pivotSlot = new Int32Array(n);
  const eliminated: { rows: number[]; cols: number[] }[] = [];
  const largest = new Float64Array(WITNESSES.length);
  let steps = 0;
  for (let step = 0; step < n; step++) {
    let best = -1;
    let bestCost = Infinity;
    let bestRatio = 0;
    let lastResort = -1;
    let lastRatio = 0;
    for (let col = 0; col < n; col++) {
      if (stepOfCol[col] >= 0) continue;
      largest.fill(0);
      for (const row of cols[col])
        for (let w = 0; w < largest.length; w++) largest[w] = Math.max(largest[w], size(w, row * n + col));
      for (const row of cols[col]) {
        let ratio = 1;
        for (let w = 0; w < largest.length; w++)
          ratio = Math.min(ratio, largest[w] > 0 ? size(w, row * n + col) / largest[w] : 0);
        if (ratio > lastRatio) {
          lastRatio = ratio;
          lastResort = row * n + col;
        }
        if (ratio < THRESHOLD) continue;
        const cost = (rows[row].size - 1) * (cols[col].size - 1);
        if (cost < bestCost || (cost === bestCost && ratio > bestRatio)) {
          best = row * n + col;
          bestCost = cost;
          bestRatio = ratio;
        }
      }
    }
    if (best < 0) best = lastResort;
    if (best < 0) {
      const stuck = stepOfCol.indexOf(-1);
      throw new CircuitError(names[stuck], 'the network has no unique solution here');
    }
    const row = Math.floor(best / n);
    const col = best % n;
    stepOfRow[row] = step;
    stepOfCol[col] = step;
    pivotRow[step] = row;
    pivotSlot[step] = slotOf.get(best)!;
    for (const j of rows[row]) cols[j].delete(row);
    for (const i of cols[col]) rows[i].delete(col);
    rows[row].delete(col);
    const below = [...cols[col]];
    const right = [...rows[row]];
    eliminated.push({ rows: below, cols: right });
    for (const i of below)
      for (const j of right) {
        steps++;
        const key = i * n + j;
        if (!slotOf.has(key)) slotOf.set(key, slotOf.size);
        rows[i].add(j);
        cols[j].add(i);
        for (const { re, im } of witness) {
          const d = re[best] * re[best] + im[best] * im[best];
          if (d === 0) continue;
          const l = i * n + col;
          const u = row * n + j;
          const lr = (re[l] * re[best] + im[l] * im[best]) / d;
          const li = (im[l] * re[best] - re[l] * im[best]) / d;
          re[key] -= lr * re[u] - li * im[u];
          im[key] -= lr * im[u] + li * re[u];
        }
      }
  }

  // the elimination as slot numbers: for each step the lower entries, the upper entries, and where products land
  const entries = slotOf.size;
  const program = eliminated.map(({ rows: below, cols: right }, step) => {
    const row = pivotRow[step];
    const col = stepOfCol.indexOf(step);
    return {
      lower: Int32Array.from(below, i => slotOf.get(i * n + col)!),
      lowerStep: Int32Array.from(below, i => stepOfRow[i]),
      upper: Int32Array.from(right, j => slotOf.get(row * n + j)!),
      upperStep: Int32Array.from(right, j => stepOfCol[j]),
      target: Int32Array.from(below.flatMap(i => right.map(j => slotOf.get(i * n + j)!))),
    };
  });
  const starts = sides.map(side => side.map(({ at, value }) => ({ step: stepOfCol[at], value })));
  // the steps that a right side reaches on its way forward
  const reached = starts.map(side => {
    const hit = new Uint8Array(n);
    for (const { step } of side) hit[step] = 1;
    for (let k = 0; k < n; k++) if (hit[k]) for (const up of program[k].upperStep) hit[up] = 1;
    return hit;
  });

  const re = new Float64Array(entries * BLOCK);
  const im = new Float64Array(entries * BLOCK);
  const omega = new Float64Array(BLOCK);
  const suspect = new Uint8Array(BLOCK);
  const zr = new Float64Array(n * BLOCK);
  const zi = new Float64Array(n * BLOCK);
  const y: Spectrum = spectrum(n * BLOCK);

  const factor = (length: number) => {
    for (let slot = 0, to = 0; slot < own; slot++, to += BLOCK)
      for (let b = 0; b < length; b++) {
        re[to + b] = g[slot];
        im[to + b] = omega[b] * c[slot];
      }
    re.fill(0, own * BLOCK);
    im.fill(0, own * BLOCK);
    for (let k = 0; k < n; k++) {
      const { lower, upper, target } = program[k];
      const p = pivotSlot[k] * BLOCK;
      for (let b = 0; b < length; b++) {
        const d = re[p + b] * re[p + b] + im[p + b] * im[p + b];
        re[p + b] /= d;
        im[p + b] /= -d;
      }
      for (let i = 0, t = 0; i < lower.length; i++) {
        const l = lower[i] * BLOCK;
        for (let b = 0; b < length; b++) {
          const lr = re[l + b] * re[p + b] - im[l + b] * im[p + b];
          const li = re[l + b] * im[p + b] + im[l + b] * re[p + b];
          re[l + b] = lr;
          im[l + b] = li;
          if (!(lr * lr + li * li < GROWTH)) suspect[b] = 1;
        }
        for (let j = 0; j < upper.length; j++, t++) {
          const u = upper[j] * BLOCK;
          const to = target[t] * BLOCK;
          for (let b = 0; b < length; b++) {
            re[to + b] -= re[l + b] * re[u + b] - im[l + b] * im[u + b];
            im[to + b] -= re[l + b] * im[u + b] + im[l + b] * re[u + b];
          }
        }
      }
    }
  };

  const solveTransposed = (which: number, length: number) => {
    zr.fill(0);
    zi.fill(0);
    for (const { step, value } of starts[which]) zr.fill(value, step * BLOCK, step * BLOCK + length);
    for (let k = 0; k < n; k++) {
      if (!reached[which][k]) continue;
      const { upper, upperStep } = program[k];
      const z = k * BLOCK;
      const p = pivotSlot[k] * BLOCK;
      for (let b = 0; b < length; b++) {
        const x = zr[z + b];
        zr[z + b] = x * re[p + b] - zi[z + b] * im[p + b];
        zi[z + b] = x * im[p + b] + zi[z + b] * re[p + b];
      }
      for (let j = 0; j < upper.length; j++) {
        const u = upper[j] * BLOCK;
        const to = upperStep[j] * BLOCK;
        for (let b = 0; b < length; b++) {
          zr[to + b] -= re[u + b] * zr[z + b] - im[u + b] * zi[z + b];
          zi[to + b] -= re[u + b] * zi[z + b] + im[u + b] * zr[z + b];
        }
      }
    }
    for (let k = n - 1; k >= 0; k--) {
      const { lower, lowerStep } = program[k];
      const z = k * BLOCK;
      for (let i = 0; i < lower.length; i++) {
        const l = lower[i] * BLOCK;
        const from = lowerStep[i] * BLOCK;
        for (let b = 0; b < length; b++) {
          zr[z + b] -= re[l + b] * zr[from + b] - im[l + b] * zi[from + b];
          zi[z + b] -= re[l + b] * zi[from + b] + im[l + b] * zr[from + b];
        }
      }
      const to = pivotRow[k] * BLOCK;
      for (let b = 0; b < length; b++) {
        y.re[to + b] = zr[z + b];
        y.im[to + b] = zi[z + b];
      }
    }
  };

  const run: Planned['run'] = (frequencies, take) => {
    for (let start = 0; start < frequencies.length; start += BLOCK) {
      const length = Math.min(BLOCK, frequencies.length - start);
      for (let b = 0; b < length; b++) omega[b] = 2 * Math.PI * Math.max(frequencies[start + b], LOWEST);
      suspect.fill(0);
      factor(length);
      for (let which = 0; which < sides.length; which++) {
        if (sides[which].length === 0) continue;
        solveTransposed(which, length);
        for (let b = 0; b < length; b++)
          if (suspect[b] || !Number.isFinite(y.re[pivotRow[0] * BLOCK + b]))
            solveAlone(n, cells, names, sides[which], omega[b], y, b);
        take(which, start, length, y);
      }
    }
  };
  return { entries, steps, run };
}

/** The transposed system at one frequency by full elimination with partial pivoting: slow, and always right. */
function solveAlone(
  n: number,
  cells: ReadonlyMap<number, { g: number; c: number }>,
  names: readonly string[],
  side: readonly { at: number; value: number }[],
  omega: number,
  y: Spectrum,
  b: number,
): void {
  const width = n + 1;
  const re = new Float64Array(n * width);
  const im = new Float64Array(n * width);
  for (const [key, { g, c }] of cells) {
    const to = (key % n) * width + Math.floor(key / n);
    re[to] = g;
    im[to] = omega * c;
  }
  for (const { at, value } of side) re[at * width + n] = value;
  const size = (i: number, j: number) => Math.hypot(re[i * width + j], im[i * width + j]);
  for (let i = 0; i < n; i++) {
    let most = 0;
    for (let j = 0; j < n; j++) most = Math.max(most, size(i, j));
    for (let j = 0; j < width && most > 0; j++) {
      re[i * width + j] /= most;
      im[i * width + j] /= most;
    }
  }
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (size(i, k) > size(best, k)) best = i;
    if (!(size(best, k) > 1e-300))
      throw new CircuitError(names[k], `the network has no unique solution at ${omega / (2 * Math.PI)} Hz`);
    for (let j = k; j < width; j++)
      for (const part of [re, im])
        [part[k * width + j], part[best * width + j]] = [part[best * width + j], part[k * width + j]];
    const [pr, pi] = [re[k * width + k], im[k * width + k]];
    const d = pr * pr + pi * pi;
    for (let i = k + 1; i < n; i++) {
      const [ar, ai] = [re[i * width + k], im[i * width + k]];
      if (ar === 0 && ai === 0) continue;
      const lr = (ar * pr + ai * pi) / d;
      const li = (ai * pr - ar * pi) / d;
      for (let j = k; j < width; j++) {
        const [ur, ui] = [re[k * width + j], im[k * width + j]];
        re[i * width + j] -= lr * ur - li * ui;
        im[i * width + j] -= lr * ui + li * ur;
      }
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    let xr = re[k * width + n];
    let xi = im[k * width + n];
    for (let j = k + 1; j < n; j++) {
      const [ur, ui] = [re[k * width + j], im[k * width + j]];
      const [yr, yi] = [y.re[j * BLOCK + b], y.im[j * BLOCK + b]];
      xr -= ur * yr - ui * yi;
      xi -= ur * yi + ui * yr;
    }
    const [pr, pi] = [re[k * width + k], im[k * width + k]];
    const d = pr * pr + pi * pi;
    y.re[k * BLOCK + b] = (xr * pr + xi * pi) / d;
    y.im[k * BLOCK + b] = (xi * pr - xr * pi) / d;
  }
  for (let k = 0; k < n; k++)
    if (!Number.isFinite(y.re[k * BLOCK + b] + y.im[k * BLOCK + b]))
      throw new CircuitError(names[k], `the network has no unique solution at ${omega / (2 * Math.PI)} Hz`);
}
