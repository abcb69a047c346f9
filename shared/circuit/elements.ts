/**
 * The parts a linear network is made of, and the network itself: a plain list of parts between named nodes.
 *
 * All values are SI. `ground` is the reference node: every voltage is measured against it.
 */

/** Name of the reference node. */
export const GROUND = 'ground';

interface Part {
  /** Unique name within its network; messages about a part carry it. */
  readonly id: string;
  /** Where the value stands in the build document, as a JSON Pointer (RFC 6901); absent: it stands nowhere. */
  readonly path?: string;
}

interface TwoPole extends Part {
  readonly a: string;
  readonly b: string;
}

/** Ohms; 0 is a wire. */
export interface Resistor extends TwoPole {
  readonly kind: 'resistor';
  readonly value: number;
}
/** Henries; 0 is a wire. */
export interface Inductor extends TwoPole {
  readonly kind: 'inductor';
  readonly value: number;
}
/** Farads; 0 is nothing at all. */
export interface Capacitor extends TwoPole {
  readonly kind: 'capacitor';
  readonly value: number;
}
/** Couples two inductors: the mutual inductance is `coupling · sqrt(L1 L2)`; the dots stand at their `a` ends. */
export interface Mutual extends Part {
  readonly kind: 'mutual';
  /** Ids of the two inductors. */
  readonly first: string;
  readonly second: string;
  /** -1 to 1. */
  readonly coupling: number;
}
/**
 * A source of electromotive force, V(a) − V(b) = E / (1 + j f / pole). The solver gives the gain from each E.
 * `pole` (Hz; null: none) is the first-order low-pass of a conductive cover in front of a coil.
 */
export interface Emf extends TwoPole {
  readonly kind: 'emf';
  readonly pole: number | null;
}
/** Voltage-controlled voltage source: V(a) − V(b) = gain · (V(plus) − V(minus)). */
export interface VoltageAmplifier extends TwoPole {
  readonly kind: 'vcvs';
  readonly plus: string;
  readonly minus: string;
  readonly gain: number;
}
/** Voltage-controlled current source: the current from a through the source to b is `gain` (siemens) · (V(plus) − V(minus)). */
export interface Transconductance extends TwoPole {
  readonly kind: 'vccs';
  readonly plus: string;
  readonly minus: string;
  readonly gain: number;
}
/** A connection without resistance: its two nodes are one. */
export interface Wire extends TwoPole {
  readonly kind: 'wire';
}

export type Element = Resistor | Inductor | Capacitor | Mutual | Emf | VoltageAmplifier | Transconductance | Wire;

/** A linear network. */
export interface Network {
  readonly elements: readonly Element[];
}

/** What is wrong with a network, and at which part or node. */
export class CircuitError extends Error {
  /** Id of the part, or name of the node, that the message is about. */
  readonly part: string;
  constructor(part: string, message: string) {
    super(`${part}: ${message}`);
    this.name = 'CircuitError';
    this.part = part;
  }
}

/** Which nodes are one and the same, once wires and parts without resistance are taken as such. */
export interface Nets {
  /** The one name that stands for every node connected to `node` by wire; unknown nodes stand for themselves. */
  of(node: string): string;
  /** All nodes named in the network, in order of first mention. */
  readonly nodes: readonly string[];
}

const isWire = (e: Element): e is Wire | Resistor | Inductor =>
  e.kind === 'wire' || ((e.kind === 'resistor' || e.kind === 'inductor') && e.value === 0);

/** Merges nodes joined by wires, zero resistances and zero inductances (union-find). `ground` names its own net. */
export function nets(network: Network): Nets {
  const parent = new Map<string, string>([[GROUND, GROUND]]);
  const rank = new Map<string, number>([[GROUND, -1]]);
  const add = (node: string) => {
    if (parent.has(node)) return;
    rank.set(node, parent.size);
    parent.set(node, node);
  };
  const find = (node: string): string => {
    let root = node;
    for (let up = parent.get(root)!; up !== root; up = parent.get(root)!) root = up;
    for (let n = node; n !== root; ) {
      const up = parent.get(n)!;
      parent.set(n, root);
      n = up;
    }
    return root;
  };
  for (const e of network.elements) {
    if (e.kind === 'mutual') continue;
    add(e.a);
    add(e.b);
    if (e.kind === 'vcvs' || e.kind === 'vccs') {
      add(e.plus);
      add(e.minus);
    }
  }
  for (const e of network.elements) {
    if (!isWire(e)) continue;
    const a = find(e.a);
    const b = find(e.b);
    if (a === b) continue;
    // the node mentioned first names the net, ground before all
    if (rank.get(a)! < rank.get(b)!) parent.set(b, a);
    else parent.set(a, b);
  }
  return { of: node => (parent.has(node) ? find(node) : node), nodes: [...parent.keys()] };
}

const BELOW_ZERO = 'must not be negative';

/** Throws a `CircuitError` naming the first part whose id is taken or whose value is no usable number. */
export function validate(network: Network): void {
  const ids = new Map<string, Element>();
  for (const e of network.elements) {
    if (ids.has(e.id)) throw new CircuitError(e.id, 'two parts have this name');
    ids.set(e.id, e);
  }
  for (const e of network.elements) {
    if (e.kind === 'resistor' || e.kind === 'inductor' || e.kind === 'capacitor') {
      if (!Number.isFinite(e.value)) throw new CircuitError(e.id, 'its value is not a finite number');
      if (e.value < 0) throw new CircuitError(e.id, `its value ${BELOW_ZERO}`);
    } else if (e.kind === 'vcvs' || e.kind === 'vccs') {
      if (!Number.isFinite(e.gain)) throw new CircuitError(e.id, 'its gain is not a finite number');
    } else if (e.kind === 'emf') {
      if (e.pole !== null && !(e.pole > 0 && Number.isFinite(e.pole)))
        throw new CircuitError(e.id, 'its pole must be a frequency above 0 Hz');
    } else if (e.kind === 'mutual') {
      if (!(Math.abs(e.coupling) <= 1)) throw new CircuitError(e.id, 'a coupling lies between -1 and 1');
      if (e.first === e.second) throw new CircuitError(e.id, 'it couples a coil to itself');
      for (const id of [e.first, e.second]) {
        const coil = ids.get(id);
        if (coil?.kind !== 'inductor' || coil.value === 0)
          throw new CircuitError(e.id, `${id} is no inductance that could be coupled`);
      }
    }
  }
}
