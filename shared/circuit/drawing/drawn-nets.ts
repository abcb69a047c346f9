/** The nets of a network as it is drawn, and those on the way of the signal. */
import { type Element, GROUND, type Network } from '../elements.ts';

/** Parts of a pot's track keep their two ends apart even at 0 Ω: they are drawn. */
const isTrack = (e: Element): boolean => {
  const path = e.path ?? '';
  return /\/(volume|tone)$/.test(path) || path === '/harness/blend';
};
/** Whether a part is a plain connection at its present value. */
export const isConnection = (e: Element): boolean =>
  e.kind === 'wire' || ((e.kind === 'resistor' || e.kind === 'inductor') && e.value === 0 && !isTrack(e));
export const isNothing = (e: Element): boolean => e.kind === 'capacitor' && e.value === 0;

/** Nets of a network as it is drawn: nodes joined by wires and by parts without resistance, tracks of pots apart. */
export function drawnNets(network: Network): (node: string) => string {
  const parent = new Map<string, string>();
  const find = (node: string): string => {
    let root = node;
    for (let up = parent.get(root); up !== undefined && up !== root; up = parent.get(root)) root = up;
    return root;
  };
  for (const e of network.elements) {
    if (!isConnection(e) || !('a' in e)) continue;
    const [a, b] = [find(e.a), find(e.b)];
    if (a === b) continue;
    if (b === GROUND) parent.set(a, b);
    else parent.set(b, a);
  }
  return find;
}

/** Nets on the way from the coils to the outputs: shortest ways through everything that does not go to ground. */
export function pathNets(network: Network, net: (node: string) => string, outputs: readonly string[]): Set<string> {
  const links = new Map<string, { to: string; cost: number }[]>();
  const link = (a: string, b: string, cost: number) => {
    if (a === b || a === GROUND || b === GROUND) return;
    links.set(a, [...(links.get(a) ?? []), { to: b, cost }]);
    links.set(b, [...(links.get(b) ?? []), { to: a, cost }]);
  };
  const ends: string[] = [];
  for (const e of network.elements) {
    if (e.kind === 'vcvs') link(net(e.plus), net(e.a), 1);
    else if ('a' in e && !isNothing(e))
      link(net(e.a), net(e.b), e.kind === 'capacitor' || /\.(lower|Re)$/.test(e.id) ? 4 : 1);
    if (e.kind === 'emf') ends.push(net(e.a));
  }
  const found = new Set<string>();
  for (const output of outputs.map(net)) {
    const distance = new Map<string, number>([[output, 0]]);
    const next = new Map<string, string>();
    const open = new Set([output]);
    while (open.size > 0) {
      let nearest = '';
      for (const node of open) if (nearest === '' || distance.get(node)! < distance.get(nearest)!) nearest = node;
      open.delete(nearest);
      for (const { to, cost } of links.get(nearest) ?? []) {
        const d = distance.get(nearest)! + cost;
        if (d >= (distance.get(to) ?? Infinity)) continue;
        distance.set(to, d);
        next.set(to, nearest);
        open.add(to);
      }
    }
    for (const end of ends)
      if (distance.has(end))
        for (let node: string | undefined = end; node !== undefined; node = next.get(node)) found.add(node);
  }
  return found;
}
