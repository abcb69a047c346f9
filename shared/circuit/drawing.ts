/**
 * The schematic of a build, laid out from its network: every part of the network, for any harness that can be made.
 *
 * The parts become a row of items in the order of the signal (`drawing-items.ts`): coils, controls, jack, cable, buffer,
 * input. Rows are as wide as asked; where a line goes on in another row it ends in a flag with a letter. Within a row
 * every net that joins several pins at the top gets a horizontal track on the rail or above it, every net that joins
 * several at the bottom one below the items, ground the last of all; a net that has both gets one vertical wire between
 * them. Tracks are given by the left-edge rule of channel routing (Hashimoto and Stevens, 8th Design Automation Workshop,
 * 1971), so lines of different nets cross but never run on each other.
 */
import type { Build } from '../document/build.ts';
import {
  amplifierItem,
  type CoilParts,
  type Context,
  coilColumn,
  coilSpread,
  flagItem,
  gutterItem,
  type Item,
  idleCoils,
  type Pen,
  potColumn,
  type Row,
  single,
  terminalItem,
  toneColumn,
} from './drawing-items.ts';
import type { Drawing, DrawnFrame, DrawnLabel, DrawnPin, DrawnSymbol, DrawnWire, Weight } from './drawing-parts.ts';
import { groundSign } from './drawing-symbols.ts';
import { type Element, GROUND, type Network } from './elements.ts';
import { harnessNetwork } from './harness.ts';

export type { Drawing, DrawnLabel, DrawnWire } from './drawing-parts.ts';

type TwoPole = Extract<Element, { a: string; b: string }>;

/** Distance of tracks, px. */
const TRACK = 24;
const LOW_TRACK = 12;
/** Room above the highest track for labels, px. */
const HEADROOM = 46;
const GAP = 10;
const MARGIN = 8;
/** Items may be moved apart by up to this to fill a row, px. */
const STRETCH = 26;

/** Parts of a pot's track keep their two ends apart even at 0 Ω: they are drawn. */
const isTrack = (e: Element): boolean => {
  const path = e.path ?? '';
  return /\/(volume|tone)$/.test(path) || path === '/harness/blend';
};
/** Whether a part is a plain connection at its present value. */
const isConnection = (e: Element): boolean =>
  e.kind === 'wire' || ((e.kind === 'resistor' || e.kind === 'inductor') && e.value === 0 && !isTrack(e));
const isNothing = (e: Element): boolean => e.kind === 'capacitor' && e.value === 0;

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
function pathNets(network: Network, net: (node: string) => string, outputs: readonly string[]): Set<string> {
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

/** Everything that is drawn, in the order of the signal. */
function itemsOf(build: Build, context: Context, network: ReturnType<typeof harnessNetwork>): Item[] {
  const { elements } = network;
  const net = context.net;
  const byId = new Map(elements.map(e => [e.id, e]));
  const done = new Set<string>(elements.filter(e => isConnection(e) || isNothing(e)).map(e => e.id));
  const get = (id: string): TwoPole | null => {
    const e = byId.get(id);
    if (!e || !('a' in e) || done.has(id)) return null;
    return e;
  };
  const degree = new Map<string, number>();
  for (const e of elements) {
    if (done.has(e.id) || !('a' in e)) continue;
    const nodes = e.kind === 'vcvs' ? [e.a, e.plus] : [e.a, e.b];
    for (const node of nodes) degree.set(net(node), (degree.get(net(node)) ?? 0) + 1);
  }
  const items: { item: Item; nets: string[]; coil: boolean }[] = [];
  let coil = false;
  const put = (...list: Item[]) => {
    for (const item of list) items.push({ item, nets: item.pins.map(p => p.net).filter(n => n !== GROUND), coil });
  };
  const take = (...parts: (TwoPole | null)[]) => {
    for (const part of parts) if (part) done.add(part.id);
  };
  const coilTitle = (name: string): string => {
    const pickup = build.pickups.find(
      p => name.startsWith(`${p.id}.`) && p.coils.some(c => `${p.id}.${c.id}` === name),
    );
    if (!pickup) return name;
    return pickup.coils.length > 1 ? `${pickup.name}, ${name.slice(pickup.id.length + 1)}` : pickup.name;
  };
  /** Steps from a net to the outputs, so that coils stand with their far end down. */
  const toGround = (node: string): number => (net(node) === GROUND ? 1 : 0);

  const drawCoil = (emf: TwoPole): void => {
    const id = emf.id;
    const sections: CoilParts['sections'] = [];
    for (let i = 1; byId.has(`${id}.L${i}`); i++)
      sections.push({ inductor: byId.get(`${id}.L${i}`) as TwoPole, resistor: byId.get(`${id}.R${i}`) as TwoPole });
    const parts: CoilParts = {
      emf,
      inductor: byId.get(`${id}.L`) as TwoPole,
      resistor: byId.get(`${id}.R`) as TwoPole,
      capacitor: byId.get(`${id}.C`) as TwoPole,
      eddy: get(`${id}.Re`),
      sections,
      title: coilTitle(id),
    };
    take(emf, parts.inductor, parts.resistor, parts.capacitor, parts.eddy);
    for (const s of sections) take(s.inductor, s.resistor);
    const { a: hot, b: cold } = parts.capacitor;
    const alone = network.emfs.length === 1 && build.pickups.length === 1 && sections.length === 0;
    if (alone && toGround(cold) === 1 && toGround(hot) === 0) put(...coilSpread(context, parts));
    else
      put(coilColumn(context, parts, toGround(hot) === 0, context.weight(net(emf.a)) === 'path' ? 'path' : 'normal'));
  };

  const setting = (value: number): string => `${Number((value * 10).toFixed(1))}`;
  /** The control that a part belongs to, by the place of its value. */
  const controlOf = (e: Element) => {
    const place = /^\/harness\/controls\/(\d+)\//.exec(e.path ?? '');
    return place ? build.harness.controls[Number(place[1])] : undefined;
  };
  const drawTone = (track: TwoPole): void => {
    const capacitor = get(track.id.replace(/R$/, 'C'));
    const control = controlOf(track);
    const owner = build.pickups.find(p => p.id === control?.pickup)?.name;
    const name = `${owner ? `${owner} ` : ''}tone ${setting(control?.tone?.setting ?? 0)}`;
    take(track);
    if (capacitor && degree.get(net(track.b)) === 2 && net(capacitor.b) === GROUND) {
      take(capacitor);
      put(toneColumn(context, track, capacitor, name));
    } else put(single(context, track, name));
  };
  const drawPot = (upper: TwoPole, lower: TwoPole): void => {
    const control = controlOf(upper);
    // a tone control tapped before the volume stands before it
    const tone = control?.toneAt === 'before' ? get(upper.id.replace(/volume\.upper$/, 'tone.R')) : null;
    if (tone && tone !== upper) drawTone(tone);
    const blend = build.harness.blend;
    const stem = upper.id.replace(/volume\.upper$/, 'bleed');
    const capacitor = control ? get(`${stem}.C`) : null;
    const resistor = control ? get(`${stem}.R`) : null;
    const kind = control?.volume?.bleed?.kind;
    const inner = capacitor && kind === 'series' ? degree.get(net(capacitor.b)) : 2;
    const bridged = capacitor && inner === 2 && net(upper.a) !== net(upper.b);
    take(upper, lower);
    if (bridged) take(capacitor, resistor);
    put(
      potColumn(context, {
        upper,
        lower,
        bleed: bridged ? { capacitor, resistor, join: kind === 'capacitor' || !resistor ? 'alone' : kind! } : null,
        name: control
          ? `${control.pickup === null ? '' : `${build.pickups.find(p => p.id === control.pickup)?.name} `}volume ${setting(control.volume!.setting)}`
          : `blend ${setting(blend?.setting ?? 0)}`,
        mirrored: control ? control.volumeWiring === 'independent' : true,
      }),
    );
  };

  const partName = (e: Element): string => {
    const { id, path = '' } = e;
    if (path.startsWith('/harness/fixed')) return 'fixed';
    if (path === '/harness/blend') return 'blend';
    if (path.endsWith('/tone')) return 'tone';
    if (/\.leak$/.test(id)) return 'leakage';
    if (path.startsWith('/outputs')) {
      const [, , o, , s] = path.split('/');
      const stage = build.outputs[Number(o)].chain[Number(s)];
      if (stage.kind === 'cable') return 'cable';
      if (stage.kind === 'buffer') return /\.Zout$/.test(id) ? 'output' : /\.gain$/.test(id) ? 'buffer' : '';
      return /\.R$/.test(id) ? 'input' : '';
    }
    return '';
  };

  const jackNet = (o: number) => net(`jack${o === 0 ? '' : `-${o + 1}`}`);
  const many = build.outputs.length > 1;
  const jacks = build.outputs.map((output, o) => ({ net: jackNet(o), name: many ? `4 ${output.name}` : '4' }));
  let shownJacks = 0;
  const putJack = (o: number) => {
    // the jack of output o stands before the first part plugged into it
    while (shownJacks <= o) {
      put(terminalItem(context, jacks[shownJacks].net, jacks[shownJacks].name));
      shownJacks++;
    }
  };
  const endOf = (o: number) =>
    put(terminalItem(context, network.outputs[o], many ? `5 ${build.outputs[o].name}` : '5'));

  const blendFrom = get('blend.from');
  const blendTo = get('blend.to');
  let currentOutput = -1;
  for (const e of elements) {
    if (done.has(e.id) || !('a' in e)) continue;
    const chained = e.path?.startsWith('/outputs/') ? Number(e.path.split('/')[2]) : -1;
    if (chained >= 0 && chained !== currentOutput) {
      if (currentOutput >= 0) endOf(currentOutput);
      putJack(chained);
      currentOutput = chained;
    }
    if (e.path?.startsWith('/harness/fixed')) continue;
    coil = e.kind === 'emf';
    if (e.kind === 'emf') drawCoil(e);
    else if (e.kind === 'vcvs') {
      done.add(e.id);
      put(amplifierItem(context, e, partName(e)));
    } else if (/\.upper$/.test(e.id) && byId.has(e.id.replace(/upper$/, 'lower'))) {
      drawPot(e, byId.get(e.id.replace(/upper$/, 'lower')) as TwoPole);
    } else if (e === blendFrom && blendTo) {
      take(blendFrom, blendTo);
      put(
        potColumn(context, {
          upper: { ...blendFrom, a: blendFrom.a, b: blendFrom.b },
          lower: { ...blendTo, a: blendTo.b, b: blendTo.a },
          bleed: null,
          name: `blend ${setting(build.harness.blend?.setting ?? 0)}`,
          mirrored: false,
        }),
      );
    } else if (/\.tone\.R$/.test(e.id)) drawTone(e);
    else {
      done.add(e.id);
      put(single(context, e, partName(e)));
    }
  }
  if (currentOutput >= 0) endOf(currentOutput);
  for (let o = shownJacks; o < build.outputs.length; o++) putJack(o);
  build.outputs.forEach((output, o) => {
    if (
      output.chain.length === 0 ||
      !elements.some(e => !isNothing(e) && !isConnection(e) && e.path?.startsWith(`/outputs/${o}/`))
    )
      endOf(o);
  });

  // parts soldered in anywhere stand behind the first item that shares a net with them
  for (const e of elements) {
    if (done.has(e.id) || !('a' in e)) continue;
    done.add(e.id);
    const item = single(context, e, partName(e));
    const nets = item.pins.map(p => p.net).filter(n => n !== GROUND);
    const places = nets.map(n => items.findIndex(i => i.nets.includes(n))).filter(i => i >= 0);
    const place = places.length > 0 ? Math.max(...places) + 1 : items.length;
    items.splice(place, 0, { item, nets, coil: false });
  }

  // coils that this position leaves out
  const idle = build.pickups.flatMap(p =>
    p.coils
      .filter(c => !network.emfs.includes(`${p.id}.${c.id}`))
      .map(c => (p.coils.length > 1 ? `${p.name}, ${c.id}` : p.name)),
  );
  const last = items.findLastIndex(i => i.coil);
  const drawn = items.map(i => i.item);
  return idle.length === 0 ? drawn : [...drawn.slice(0, last + 1), idleCoils(idle), ...drawn.slice(last + 1)];
}

const LETTERS = 'abcdefghijklmnopqrstuvwxyz';

/** Items with the wires between the top and the bottom of their row put in, and its full width. */
function withGutters(context: Context, items: readonly Item[]): Item[] {
  const out: Item[] = [];
  const sides = new Map<string, { top: boolean; bottom: boolean }>();
  for (const item of items)
    for (const { net, side } of item.pins) {
      const seen = sides.get(net) ?? { top: false, bottom: false };
      if (side === 'bottom') seen.bottom = true;
      else seen.top = true;
      sides.set(net, seen);
    }
  const open = new Set([...sides].filter(([, s]) => s.top && s.bottom).map(([net]) => net));
  for (const item of items) {
    out.push(item);
    for (const { net } of item.pins) if (open.delete(net)) out.push(gutterItem(context, net));
  }
  return out;
}

const widthOf = (items: readonly Item[]): number =>
  items.reduce((sum, item) => sum + item.width + GAP, 0) - GAP + 2 * MARGIN;

/** The row of `items[from..to)`, with flags where its lines go on in another row. */
function rowOf(
  context: Context,
  items: readonly Item[],
  from: number,
  to: number,
  letters: Map<string, string>,
): Item[] {
  const before: Item[] = [];
  const after: Item[] = [];
  const own = new Set(items.slice(from, to).flatMap(i => i.pins.map(p => p.net)));
  for (const net of own) {
    if (net === GROUND) continue;
    const has = (item: Item) => item.pins.some(p => p.net === net);
    if (items.slice(0, from).some(has)) before.push(flagItem(context, net, letters.get(net) ?? '', -1));
    if (items.slice(to).some(has)) after.push(flagItem(context, net, letters.get(net) ?? '', 1));
  }
  return withGutters(context, [...before, ...items.slice(from, to), ...after]);
}

/**
 * Items over as few rows as fit into `width` (a single item may be wider), broken where the rows come out most alike and
 * the fewest lines go on.
 */
function rowsOf(context: Context, items: readonly Item[], width: number): Item[][] {
  const none = new Map<string, string>();
  if (widthOf(withGutters(context, items)) <= width) return [withGutters(context, items)];
  const best: { cost: number; from: number }[] = [{ cost: 0, from: 0 }];
  for (let to = 1; to <= items.length; to++) {
    best[to] = { cost: Infinity, from: to - 1 };
    for (let from = to - 1; from >= 0; from--) {
      const row = rowOf(context, items, from, to, none);
      const wide = widthOf(row);
      if (wide > width && from < to - 1) {
        if (wide > 2 * width) break;
        continue;
      }
      const empty = Math.max(0, 1 - wide / width);
      const cost = best[from].cost + 10 + 8 * empty * empty + 0.4 * row.filter(i => i.flag).length;
      if (cost < best[to].cost) best[to] = { cost, from };
    }
  }
  const breaks = [items.length];
  for (let to = items.length; to > 0; to = best[to].from) breaks.unshift(best[to].from);
  const letters = new Map<string, string>();
  for (let r = 0; r + 1 < breaks.length; r++)
    for (const item of rowOf(context, items, breaks[r], breaks[r + 1], none))
      if (item.flag && !letters.has(item.flag)) letters.set(item.flag, LETTERS[letters.size % 26]);
  return breaks.slice(1).map((to, r) => rowOf(context, items, breaks[r], to, letters));
}

interface Placed {
  item: Item;
  x: number;
}
interface Span {
  net: string;
  from: number;
  to: number;
  track: number;
}

const overlap = (a: Span, b: Span): boolean => a.from <= b.to + 6 && b.from <= a.to + 6;

/** Tracks for spans; `allowed` says whether a span may lie on a track. */
function assignTracks(spans: Span[], allowed: (span: Span, track: number) => boolean): number {
  let most = 0;
  const placed: Span[] = [];
  for (const span of spans) {
    let track = 0;
    while (!allowed(span, track) || placed.some(p => p.track === track && overlap(p, span))) track++;
    span.track = track;
    placed.push(span);
    most = Math.max(most, track + 1);
  }
  return most;
}

/** Draws one row from `y` down; returns where it ends. */
function drawRow(context: Context, items: readonly Item[], y: number, width: number, pen: Pen): number {
  const spare = Math.max(0, Math.min(STRETCH * (items.length - 1), width - widthOf(items)));
  const step = items.length > 1 ? spare / (items.length - 1) : 0;
  let x = MARGIN;
  const placed: Placed[] = items.map(item => {
    const at = { item, x: Math.round(x) };
    x += item.width + GAP + step;
    return at;
  });
  const pins = placed.flatMap(({ item, x: left }) => item.pins.map(p => ({ ...p, x: left + p.x })));
  const blocks = placed.flatMap(({ item, x: left }) =>
    item.blocks.map(b => ({ from: left + b.from, to: left + b.to, net: b.net })),
  );

  const spansOf = (mine: typeof pins): Span[] => {
    const spans = new Map<string, Span>();
    const counts = new Map<string, number>();
    for (const p of mine) {
      const span = spans.get(p.net) ?? { net: p.net, from: p.x, to: p.x, track: 0 };
      spans.set(p.net, { ...span, from: Math.min(span.from, p.x), to: Math.max(span.to, p.x) });
      counts.set(p.net, (counts.get(p.net) ?? 0) + 1);
    }
    return [...spans.values()].filter(s => counts.get(s.net)! > 1);
  };
  const topPins = pins.filter(p => p.side !== 'bottom');
  const lowPins = pins.filter(p => p.side === 'bottom');
  const busy = (net: string): number =>
    topPins.filter(p => p.net === net).length + 3 * topPins.filter(p => p.net === net && p.side === 'rail').length;
  const high = spansOf(topPins).sort((a, b) => busy(b.net) - busy(a.net) || a.from - b.from);
  const tracks = assignTracks(
    high,
    (span, track) => track > 0 || blocks.every(b => b.net === span.net || span.to <= b.from || span.from >= b.to),
  );
  const low = spansOf(lowPins)
    .filter(s => s.net !== GROUND)
    .sort((a, b) => a.from - b.from);
  const lowTracks = assignTracks(low, () => true);

  const rail = y + HEADROOM + TRACK * Math.max(0, tracks - 1);
  const top = rail + 8;
  const bottom = top + Math.max(...items.map(i => i.height), 60);
  const ground = bottom + (lowTracks > 0 ? LOW_TRACK * (lowTracks + 1) : 0);
  const risers = high.filter(s => s.track > 0);
  const row: Row = {
    rail,
    top,
    bottom,
    clearAbove: (from, to) => !risers.some(s => s.from - 8 <= to && s.to + 8 >= from),
  };
  for (const { item, x: left } of placed) item.draw(left, row, pen);

  const joinAt = (net: string, mine: typeof pins, from: (p: (typeof pins)[number]) => number, line: number) => {
    const own = mine.filter(p => p.net === net).sort((a, b) => a.x - b.x);
    const weight = context.weight(net);
    for (const p of own)
      if (from(p) !== line)
        pen.wire({
          net,
          weight,
          points: [
            [p.x, from(p)],
            [p.x, line],
          ],
        });
    pen.wire({
      net,
      weight,
      points: [
        [own[0].x, line],
        [own[own.length - 1].x, line],
      ],
    });
    own.slice(1, -1).forEach(p => {
      if (from(p) !== line) pen.dot(net, p.x, line, weight);
    });
  };
  for (const { net, track } of high) joinAt(net, topPins, p => (p.side === 'rail' ? rail : top), rail - TRACK * track);
  for (const { net, track } of low) joinAt(net, lowPins, () => bottom, bottom + LOW_TRACK * (track + 1));
  const grounded = lowPins.filter(p => p.net === GROUND).sort((a, b) => a.x - b.x);
  if (grounded.length > 0) {
    if (grounded.length > 1) joinAt(GROUND, lowPins, () => bottom, ground);
    else if (ground !== bottom)
      pen.wire({
        net: GROUND,
        weight: 'normal',
        points: [
          [grounded[0].x, bottom],
          [grounded[0].x, ground],
        ],
      });
    // the sign hangs under the pin in the middle
    const at = grounded[Math.floor((grounded.length - 1) / 2)];
    pen.symbol({
      ...groundSign(at.x, ground),
      kind: 'ground',
      parts: [],
      weight: 'normal',
      pins: [{ net: GROUND, x: at.x, y: ground }],
    });
    if (grounded.length > 1) pen.dot(GROUND, at.x, ground, 'normal');
  }
  return ground + 24;
}

/**
 * The schematic of the heard selector position, rows at most `width` px wide where that can be. Throws `CircuitError`
 * as `harnessNetwork` does.
 */
export function drawSchematic(build: Build, width: number): Drawing {
  const network = harnessNetwork(build, true);
  const net = drawnNets(network);
  const path = pathNets(network, net, network.outputs);
  const context: Context = { build, net, weight: n => (path.has(n) ? 'path' : 'normal') };
  const rows = rowsOf(context, itemsOf(build, context, network), width);
  const symbols: DrawnSymbol[] = [];
  const wires: DrawnWire[] = [];
  const dots: (DrawnPin & { weight: Weight })[] = [];
  const labels: DrawnLabel[] = [];
  const frames: DrawnFrame[] = [];
  const pen: Pen = {
    symbol: s => symbols.push(s),
    wire: w => wires.push(w),
    dot: (n, x, y, weight) => dots.push({ net: n, x, y, weight }),
    label: l => labels.push(l),
    frame: f => frames.push(f),
  };
  let y = 0;
  for (const row of rows) y = drawRow(context, row, y, width, pen);
  const right = Math.max(
    width,
    ...symbols.map(s => s.box.x + s.box.width + MARGIN),
    ...labels.map(l => l.box.x + l.box.width + 2),
  );
  return {
    width: right,
    height: y + 4,
    symbols,
    wires,
    dots,
    labels,
    frames,
    plain: network.elements.filter(e => isConnection(e) || isNothing(e)).map(e => e.id),
  };
}
