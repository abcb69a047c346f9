/**
 * A network as the parts its equations are made of: branches whose current is an unknown, admittances between nodes, and
 * controlled sources. Parts in series are joined, contradictions refused, islands found.
 */
import { CircuitError, GROUND, type Network } from './elements.ts';

/** Resistances below this, ohm, get a current of their own: as admittances they would cost digits. */
const SMALL = 100;

/** A pair of nodes between which something is read. */
export interface Port {
  readonly plus: string;
  readonly minus: string;
}

/** Parts in series: V(a) − V(b) = (r + jω l) i + Σ ± EMF, with the current i as an unknown. */
export interface Branch {
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
export interface Admittance {
  a: string;
  b: string;
  g: number;
  c: number;
}

/** A current from `a` to `b` of `gain` times the voltage between `plus` and `minus`. */
export interface Transconductance extends Port {
  readonly a: string;
  readonly b: string;
  readonly gain: number;
}

/** What the equations of a network are made of, its nets merged. */
export interface Parts {
  readonly emfs: readonly { id: string; pole: number | null }[];
  branches: Branch[];
  admittances: Admittance[];
  readonly transconductances: readonly Transconductance[];
  /** The branch of each inductance, by its id, for what it is coupled to. */
  readonly inductorBranch: ReadonlyMap<string, Branch>;
}

/** Reads the elements of a network, its nodes as `of` names their nets; `CircuitError` where a source is shorted. */
export function readParts(network: Network, of: (node: string) => string): Parts {
  const emfs: { id: string; pole: number | null }[] = [];
  const branches: Branch[] = [];
  const admittances: Admittance[] = [];
  const transconductances: Transconductance[] = [];
  const inductorBranch = new Map<string, Branch>();
  const coupled = new Set<string>();
  for (const e of network.elements) if (e.kind === 'mutual') coupled.add(e.first).add(e.second);

  const branch = (e: { id: string; a: string; b: string }, r: number, l: number): Branch => {
    const b: Branch = { a: of(e.a), b: of(e.b), r, l, id: e.id, emfs: [], amplifier: null, coupled: false };
    branches.push(b);
    return b;
  };
  for (const e of network.elements) {
    if (e.kind === 'mutual' || e.kind === 'wire') continue;
    const a = of(e.a);
    const b = of(e.b);
    if (e.kind === 'emf') {
      if (a === b) throw new CircuitError(e.id, 'the source is shorted');
      branch(e, 0, 0).emfs.push({ index: emfs.length, sign: 1 });
      emfs.push({ id: e.id, pole: e.pole });
    } else if (e.kind === 'vcvs') {
      if (a === b) throw new CircuitError(e.id, 'the output of the amplifier is shorted');
      branch(e, 0, 0).amplifier = { plus: of(e.plus), minus: of(e.minus), gain: e.gain };
    } else if (e.kind === 'vccs') {
      transconductances.push({ a, b, plus: of(e.plus), minus: of(e.minus), gain: e.gain });
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
  return { emfs, branches, admittances, transconductances, inductorBranch };
}

/** A loop of sources without any impedance has no solution, or any number of them. */
export function refuseContradictions(branches: readonly Branch[]): void {
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
export function keptNodes(
  branches: readonly Branch[],
  transconductances: readonly Transconductance[],
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
export function findIslands(links: readonly { a: string; b: string }[]): Map<string, string> {
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
export function joinSeries(
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
