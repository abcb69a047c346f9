/**
 * A network as SPICE text that a general circuit simulator runs as it is: title, comments that say what the nodes are,
 * one line per part with its value in full, an `.ac` analysis, what it prints (without which a simulator run in batch does
 * nothing), `.end`.
 *
 * Wires, zero resistances and zero inductances are joined into nodes, zero capacitances left out. Parts with a dead end
 * stay; groups of parts that ground reaches nowhere get one connection to it, for SPICE refuses floating nodes.
 */
import { type NetworkPoint, POINT } from '../document/build.ts';
import { type Element, GROUND, type Network, nets } from './elements.ts';
import { type HarnessNetwork, harnessNetwork } from './harness.ts';
import { solderPlaces, type Wired } from './solder-places.ts';

/** Magnitude and phase (degrees) of each EMF in the analysis. */
export type Drive = (emf: string) => { magnitude: number; phase: number };

export interface NetlistOptions {
  title: string;
  /** Sources; all at 1 V, 0° when absent. */
  drive?: Drive;
  /** The `.ac` line, without the dot. */
  analysis?: string;
  /** What the nodes are: a comment line each. */
  meanings?: readonly { name: string; meaning: string }[];
  /** Named nodes whose voltage the analysis prints: level in dB re 1 V and phase in radians. */
  prints?: readonly string[];
}

export interface Netlist {
  text: string;
  /** SPICE node of a named node; `0` is ground; undefined: the node is connected to nothing. */
  node(name: string): string | undefined;
}

/** Value in full: every digit that a double has, exponent form. */
const full = (value: number): string => {
  const text = String(value);
  return text.includes('e') || text.includes('.') ? text : `${text}.0`;
};
const oneLine = (text: string): string => text.replace(/[^\x20-\x7e]+/g, ' ').trim();

/** SPICE names for nodes and parts: letters, digits and underscores, each used once (SPICE knows no upper case). */
function namer(taken: Iterable<string>): (name: string, prefix: string) => string {
  const used = new Set(taken);
  return (name, prefix) => {
    const plain = prefix + name.toLowerCase().replace(/[^a-z0-9]+/g, '_');
    let free = plain;
    for (let n = 2; used.has(free); n++) free = `${plain}_${n}`;
    used.add(free);
    return free;
  };
}

interface Nodes {
  /** SPICE node of a named node, given one when it has none yet. */
  at(node: string): string;
  /** SPICE node of a named node, if it was given one. */
  known(node: string): string | undefined;
  /** Both names are one node. */
  same(a: string, b: string): boolean;
  /** A node that no name of the network means. */
  fresh(name: string): string;
}

/** Of all names of a node the plainest is written. */
function nodesOf(network: Network): Nodes {
  const net = nets(network);
  const spice = new Map<string, string>([[GROUND, '0']]);
  const nodeName = namer(['0', 'gnd']);
  const alias = new Map<string, string>();
  const rank = (name: string) => 100 * name.split(/[.:]/).length + name.length;
  for (const node of net.nodes) {
    const root = net.of(node);
    const before = alias.get(root);
    if (before === undefined || rank(node) < rank(before)) alias.set(root, node);
  }
  return {
    at(node) {
      const root = net.of(node);
      let name = spice.get(root);
      if (name === undefined) {
        const plain = alias.get(root) ?? root;
        spice.set(root, (name = nodeName(plain, /^[a-z]/i.test(plain) ? '' : 'n')));
      }
      return name;
    },
    known: node => spice.get(net.of(node)),
    same: (a, b) => net.of(a) === net.of(b),
    fresh: name => nodeName(name, 'n'),
  };
}

type PartName = (name: string, prefix: string) => string;

function emfLines(e: Element & { kind: 'emf' }, nodes: Nodes, partName: PartName, drive: Drive): string[] {
  const { magnitude, phase } = drive(e.id);
  const source = `dc 0 ac ${full(magnitude)} ${full(phase)}`;
  const ends = `${nodes.at(e.a)} ${nodes.at(e.b)}`;
  if (e.pole === null) return [`${partName(e.id, 'v')} ${ends} ${source}`];
  // the cover's pole: 1 ohm into a capacitor, looked at by a source that loads nothing
  const [bare, slow] = [nodes.fresh(`${e.id}.bare`), nodes.fresh(`${e.id}.slow`)];
  return [
    `${partName(e.id, 'v')} ${bare} 0 ${source}`,
    `${partName(`${e.id}.cover`, 'r')} ${bare} ${slow} 1.0`,
    `${partName(`${e.id}.cover`, 'c')} ${slow} 0 ${full(1 / (2 * Math.PI * e.pole))}`,
    `${partName(e.id, 'e')} ${ends} ${slow} 0 1.0`,
  ];
}

/** The parts' lines, and which nodes they connect. */
function partLines(network: Network, nodes: Nodes, partName: PartName, drive: Drive) {
  const lines: string[] = [];
  const links: [string, string][] = [];
  const inductors = new Map<string, string>();
  for (const e of network.elements) {
    if (e.kind === 'wire' || e.kind === 'mutual') continue;
    const [a, b] = [nodes.at(e.a), nodes.at(e.b)];
    if (e.kind !== 'inductor' && nodes.same(e.a, e.b)) continue;
    if (e.kind === 'resistor' || e.kind === 'capacitor' || e.kind === 'inductor') {
      if (e.value === 0) continue;
      const name = partName(e.id, { resistor: 'r', capacitor: 'c', inductor: 'l' }[e.kind]);
      if (e.kind === 'inductor') inductors.set(e.id, name);
      lines.push(`${name} ${a} ${b} ${full(e.value)}`);
    } else if (e.kind === 'emf') lines.push(...emfLines(e, nodes, partName, drive));
    else {
      const name = partName(e.id, e.kind === 'vcvs' ? 'e' : 'g');
      lines.push(`${name} ${a} ${b} ${nodes.at(e.plus)} ${nodes.at(e.minus)} ${full(e.gain)}`);
    }
    links.push([a, b]);
  }
  for (const e of network.elements)
    if (e.kind === 'mutual')
      lines.push(`${partName(e.id, 'k')} ${inductors.get(e.first)} ${inductors.get(e.second)} ${full(e.coupling)}`);
  return { lines, links };
}

/** A node of each group of connected nodes that ground reaches nowhere. */
function floating(next: ReadonlyMap<string, readonly string[]>): string[] {
  const seen = new Set<string>();
  const visit = (node: string) => {
    const open = [node];
    for (let n = open.pop(); n !== undefined; n = open.pop()) {
      if (seen.has(n)) continue;
      seen.add(n);
      open.push(...(next.get(n) ?? []));
    }
  };
  visit('0');
  return [...next.keys()].filter(node => {
    if (seen.has(node)) return false;
    visit(node);
    return true;
  });
}

/** Writes a network as SPICE text. */
export function netlist(network: Network, options: NetlistOptions): Netlist {
  const nodes = nodesOf(network);
  const partName = namer([]);
  const drive = options.drive ?? (() => ({ magnitude: 1, phase: 0 }));
  const { lines, links } = partLines(network, nodes, partName, drive);
  const next = new Map<string, string[]>();
  for (const [a, b] of links) {
    next.set(a, [...(next.get(a) ?? []), b]);
    next.set(b, [...(next.get(b) ?? []), a]);
  }
  const grounds = floating(next).map(node => `${partName(`${node}.floats`, 'r')} ${node} 0 1.0`);
  const said = new Map<string, string[]>();
  for (const { name, meaning } of options.meanings ?? []) {
    const node = nodes.known(name);
    if (node !== undefined) said.set(node, [...(said.get(node) ?? []), oneLine(meaning)]);
  }
  const printed = (options.prints ?? []).flatMap(name => {
    const node = nodes.known(name);
    return node !== undefined && node !== '0' && next.has(node) ? [node] : [];
  });
  const text = [
    oneLine(options.title) || 'network',
    ...[...said].map(([node, all]) => `* node ${node}: ${all.join('; ')}`),
    ...lines,
    ...grounds,
    `.${options.analysis ?? 'ac dec 100 20 20000'}`,
    ...[...new Set(printed)].map(node => `.print ac vdb(${node}) vp(${node})`),
    '.end',
    '',
  ].join('\n');
  return {
    text,
    node: name => {
      const found = nodes.known(name);
      return found === '0' || (found !== undefined && next.has(found)) ? found : undefined;
    },
  };
}

/**
 * The selected position of a build as SPICE text, with everything plugged in (`point` 5) or at the open jack (4). Every
 * connected coil is driven by 1 V in the sense of its magnet and winding, as one string over all of them would.
 */
export function harnessNetlist(
  wired: Wired & { name?: string },
  point: NetworkPoint = POINT.input,
  options: Partial<NetlistOptions> = {},
): Netlist & { outputs: (string | undefined)[]; network: HarnessNetwork } {
  const network = harnessNetwork(wired, point === POINT.input);
  const turned = new Set(
    wired.pickups.flatMap(p => p.coils.filter(c => c.polarity * c.winding < 0).map(c => `${p.id}.${c.id}`)),
  );
  const position = wired.harness.positions[wired.harness.selected];
  const written = netlist(network, {
    title: `${wired.name ?? 'Harness'}, position ${wired.harness.selected + 1}: ${position.label}`,
    drive: emf => ({ magnitude: 1, phase: turned.has(emf) ? 180 : 0 }),
    meanings: solderPlaces(wired),
    prints: network.outputs,
    ...options,
  });
  return { ...written, outputs: network.outputs.map(written.node), network };
}
