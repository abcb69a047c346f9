/** The parts of a network as items in the order of the signal: coils, controls, jack, cable, buffer, input. */
import type { Build } from '../../document/build.ts';
import { type Element, GROUND } from '../elements.ts';
import type { harnessNetwork } from '../harness.ts';
import { type CoilParts, coilColumn, coilSpread, single, toneColumn } from './columns.ts';
import { isConnection, isNothing } from './drawn-nets.ts';
import type { Context, Item, TwoPole } from './item.ts';
import { potColumn } from './pot-column.ts';
import { amplifierItem, idleCoils, terminalItem } from './signs.ts';

/**
 * Everything that is drawn, in the order of the signal. Longer than other functions: it goes once over the parts, and all
 * that it says about kinds of parts shares what is already drawn.
 */
export function itemsOf(build: Build, context: Context, network: ReturnType<typeof harnessNetwork>): Item[] {
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

  const blendFrom = get('blend:from');
  const blendTo = get('blend:to');
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
          upper: blendFrom,
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
