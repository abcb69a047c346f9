/**
 * From a build to its circuit: coils, selector, controls, cable, buffers and inputs as one network.
 *
 * `solder-places.ts` says how its nodes are called, and where parts can be soldered.
 *
 * Coils in series stand in their order from the cold end to the hot one, pickups in series likewise from ground.
 */

import type { Spectrum } from '../complex.ts';
import {
  type Coil,
  type Control,
  type Fixed,
  type NetworkPoint,
  type Output,
  type Pickup,
  type Place,
  POINT,
  type Pot,
  type Stage,
  type Tap,
  type Volume,
} from '../document/build.ts';
import { CircuitError, type Element, GROUND, type Network } from './elements.ts';
import { nth, placeKey, solderPlaces, type Wired } from './solder-places.ts';
import { type Circuit, compile, type PortSweep } from './solve.ts';
import { potParts, taperFraction, track } from './taper.ts';
import { usualTap } from './usual.ts';

/** A build's network. EMFs are called `pickup.coil`, before the coil's own polarity and winding. */
export interface HarnessNetwork extends Network {
  /** Where each output is read, in the order of `build.outputs`: the jack, or the end of its chain. */
  readonly outputs: readonly string[];
  /** Names of the EMFs in it: the coils that are connected in the selected position. */
  readonly emfs: readonly string[];
}

/** Collects parts; two-pole parts without effect are left out by the solver, not here, so that drawings show them. */
class Bench {
  readonly elements: Element[] = [];
  resistor(id: string, a: string, b: string, value: number, path?: string): void {
    this.elements.push({ kind: 'resistor', id, a, b, value, ...(path === undefined ? {} : { path }) });
  }
  capacitor(id: string, a: string, b: string, value: number, path?: string): void {
    this.elements.push({ kind: 'capacitor', id, a, b, value, ...(path === undefined ? {} : { path }) });
  }
  inductor(id: string, a: string, b: string, value: number, path?: string): void {
    this.elements.push({ kind: 'inductor', id, a, b, value, ...(path === undefined ? {} : { path }) });
  }
  wire(id: string, a: string, b: string): void {
    if (a !== b) this.elements.push({ kind: 'wire', id, a, b });
  }
}

/** Writes the source of one coil or other sensor, its EMF under the name of the sensor, between two nodes. */
type Source = (bench: Bench, name: string, coil: Coil, hot: string, cold: string, path: string) => void;

/**
 * One coil between two nodes. EMF and inductance in series, then the wire's resistance, the self-capacitance across all.
 * One eddy loop is a resistance across EMF and inductance together: exact for one perfectly coupled loop, where
 * Z = R + sL/(1 + sL/R_e) and the EMF is lowered by the same factor. Across the inductance alone it would let the EMF
 * through at high frequencies.
 */
const coilSource: Source = (bench, name, coil, hot, cold, path) => {
  const inner = (n: string) => `${name}.${n}`;
  bench.elements.push({ kind: 'emf', id: name, a: inner('emf'), b: cold, pole: coil.cover, path });
  bench.inductor(`${name}.L`, inner('emf'), inner('core'), coil.inductance, `${path}/inductance`);
  let from = inner('core');
  if (coil.loss.kind === 'eddy')
    bench.resistor(`${name}.Re`, from, cold, coil.loss.resistance, `${path}/loss/resistance`);
  if (coil.loss.kind === 'ladder')
    coil.loss.sections.forEach((section, i) => {
      const to = inner(`section${i + 1}`);
      const at = `${path}/loss/sections/${i}`;
      bench.inductor(`${name}.L${i + 1}`, from, to, section.inductance, `${at}/inductance`);
      bench.resistor(`${name}.R${i + 1}`, from, to, section.resistance, `${at}/resistance`);
      from = to;
    });
  bench.resistor(`${name}.R`, from, hot, coil.resistance, `${path}/resistance`);
  bench.capacitor(`${name}.C`, hot, cold, coil.capacitance, `${path}/capacitance`);
};

/** What a sensor is to the network, by what it senses (`sensor/sensing.ts`): a coil, or another EMF behind its own parts. */
const SOURCES: Record<Pickup['senses'], Source> = { velocity: coilSource };

/** The coils of a pickup joined between `${base}.hot` and `${base}.cold`. */
function addPickup(bench: Bench, wired: Wired, tap: Tap, base: string): void {
  const index = wired.pickups.findIndex(p => p.id === tap.pickup);
  const pickup = wired.pickups[index];
  if (!pickup) throw new CircuitError(tap.pickup, 'the selector names a pickup that does not exist');
  const used = (tap.coils ?? pickup.coils.map(c => c.id)).map(id => {
    const at = pickup.coils.findIndex(c => c.id === id);
    if (at < 0) throw new CircuitError(`${tap.pickup}.${id}`, 'the selector names a coil that does not exist');
    return at;
  });
  let from = `${base}.cold`;
  used.forEach((at, i) => {
    const coil = pickup.coils[at];
    const name = `${pickup.id}.${coil.id}`;
    const turned = (tap.antiphase && i % 2 === 1) !== tap.reverse;
    const [start, end] = turned ? [`${name}.hot`, `${name}.cold`] : [`${name}.cold`, `${name}.hot`];
    SOURCES[pickup.senses](bench, name, coil, `${name}.hot`, `${name}.cold`, `/pickups/${index}/coils/${at}`);
    if (tap.join === 'parallel') {
      bench.wire(`wire:${name}.from`, `${base}.cold`, start);
      bench.wire(`wire:${name}.to`, end, `${base}.hot`);
    } else {
      bench.wire(`wire:${name}.from`, from, start);
      from = end;
    }
  });
  if (tap.join === 'series' && used.length > 0) bench.wire(`wire:${base}.top`, from, `${base}.hot`);
}

/** Treble bleed between the two ends of the upper part of a volume track. */
function addBleed(bench: Bench, id: string, volume: Volume, a: string, b: string, path: string): void {
  const { bleed } = volume;
  if (!bleed) return;
  const at = `${path}/bleed`;
  const middle = bleed.kind === 'series' ? `${id}.bleed` : b;
  bench.capacitor(`${id}.bleed.C`, a, middle, bleed.capacitance, `${at}/capacitance`);
  if (bleed.kind === 'parallel') bench.resistor(`${id}.bleed.R`, a, b, bleed.resistance, `${at}/resistance`);
  if (bleed.kind === 'series') bench.resistor(`${id}.bleed.R`, middle, b, bleed.resistance, `${at}/resistance`);
}

/** The two parts of a pot's track with the wiper between them. */
function addTrack(bench: Bench, id: string, pot: Pot, top: string, wiper: string, bottom: string, path: string): void {
  const { upper, lower } = potParts(pot);
  bench.resistor(`${id}.upper`, top, wiper, upper, path);
  bench.resistor(`${id}.lower`, wiper, bottom, lower, path);
}

/** One control from node `from`, its low end on `low`; returns the node behind it. */
function addControl(bench: Bench, control: Control, from: string, low: string, path: string): string {
  const { volume, tone } = control;
  const id = `control:${control.id}`;
  const out = volume ? `${id}.out` : from;
  if (volume) {
    const at = `${path}/volume`;
    // independent: the pickup on the wiper, the output on the top of the track
    const [top, wiper] = control.volumeWiring === 'normal' ? [from, out] : [out, from];
    addTrack(bench, `${id}.volume`, volume, top, wiper, low, at);
    addBleed(bench, id, volume, from, out, at);
  } else bench.wire(`wire:${id}.through`, from, `${id}.out`);
  if (tone) {
    const at = `${path}/tone`;
    const taps = control.toneAt === 'before' ? from : out;
    bench.resistor(`${id}.tone.R`, taps, `${id}.tone`, track(tone) * taperFraction(tone.taper, tone.setting), at);
    bench.capacitor(`${id}.tone.C`, `${id}.tone`, low, tone.capacitance, `${at}/capacitance`);
  }
  return out;
}

/** One gang of a two-gang blend: all of the track below the wiper until the middle, then falling to none. */
const gangFraction = (taper: Pot['taper'], setting: number): number => taperFraction(taper, Math.min(1, 2 * setting));

/** What is plugged in, from `from`; returns the node at its far end. */
function addStage(bench: Bench, stage: Stage, name: string, from: string, path: string): string {
  const out = `${name}.out`;
  if (stage.kind === 'cable') {
    // one T section: half the resistance on either side of capacitance and leakage
    const half = (stage.resistancePerMetre * stage.length) / 2;
    const capacitance = stage.measured ?? stage.capacitancePerMetre * stage.length;
    const middle = `${name}.middle`;
    bench.resistor(`${name}.R1`, from, middle, half, `${path}/resistancePerMetre`);
    bench.capacitor(
      `${name}.C`,
      middle,
      GROUND,
      capacitance,
      `${path}/${stage.measured === null ? 'length' : 'measured'}`,
    );
    if (stage.leakage !== null) bench.resistor(`${name}.leak`, middle, GROUND, stage.leakage, `${path}/leakage`);
    bench.resistor(`${name}.R2`, middle, out, half, `${path}/resistancePerMetre`);
  } else if (stage.kind === 'buffer') {
    bench.resistor(`${name}.R`, from, GROUND, stage.resistance, `${path}/resistance`);
    bench.capacitor(`${name}.C`, from, GROUND, stage.capacitance, `${path}/capacitance`);
    bench.elements.push({
      kind: 'vcvs',
      id: `${name}.gain`,
      a: `${name}.driven`,
      b: GROUND,
      plus: from,
      minus: GROUND,
      gain: stage.gain,
      path: `${path}/gain`,
    });
    bench.resistor(`${name}.Zout`, `${name}.driven`, out, stage.output, `${path}/output`);
  } else {
    bench.resistor(`${name}.R`, from, GROUND, stage.resistance, `${path}/resistance`);
    bench.resistor(`${name}.series`, from, out, stage.series, `${path}/series`);
    bench.capacitor(`${name}.C`, out, GROUND, stage.capacitance, `${path}/capacitance`);
  }
  return out;
}

/** Whether two taps connect a pickup in the same way, to whichever output. */
export const sameTap = (a: Tap, b: Tap): boolean =>
  a.join === b.join &&
  a.antiphase === b.antiphase &&
  a.reverse === b.reverse &&
  JSON.stringify(a.coils) === JSON.stringify(b.coils);

/** A pickup connected in the selected position. */
interface Connection {
  tap: Tap;
  /** First part of its node names. */
  base: string;
  /** Output indices it goes to. */
  outputs: number[];
  out: string;
}

/** Pickups as the position connects them; a pickup tapped twice in the same way is one connection to two outputs. */
function connections(wired: Wired, taps: readonly Tap[]): Connection[] {
  const list: Connection[] = [];
  for (const tap of taps) {
    const output = wired.outputs.findIndex(o => o.id === tap.output);
    if (output < 0)
      throw new CircuitError(tap.pickup, `the selector sends it to an output "${tap.output}" that does not exist`);
    const others = list.filter(c => c.tap.pickup === tap.pickup);
    const same = others.find(c => sameTap(c.tap, tap));
    if (same) {
      if (!same.outputs.includes(output)) same.outputs.push(output);
      continue;
    }
    const mine = new Set(tap.coils ?? wired.pickups.find(p => p.id === tap.pickup)?.coils.map(c => c.id));
    for (const { tap: other } of others) {
      const theirs = other.coils ?? wired.pickups.find(p => p.id === tap.pickup)!.coils.map(c => c.id);
      const shared = theirs.find(c => mine.has(c));
      if (shared !== undefined)
        throw new CircuitError(`${tap.pickup}.${shared}`, 'the selector connects this coil in two ways at once');
    }
    const base = others.length === 0 ? tap.pickup : `${tap.pickup}:${others.length + 1}`;
    list.push({ tap, base, outputs: [output], out: `${base}.hot` });
  }
  return list;
}

/** Pickups that no tap connects but that a fixed part is soldered to: they hang there with their cold end on ground. */
function hanging(wired: Wired, taps: readonly Tap[]): Pickup[] {
  const touched = wired.harness.fixed.flatMap(f => [f.from, f.to]);
  return wired.pickups.filter(
    p => !taps.some(t => t.pickup === p.id) && touched.some(place => 'pickup' in place && place.pickup === p.id),
  );
}

/**
 * The network of the selected position. `loaded`: with what is plugged into the jacks; otherwise each output is read at
 * its open jack. Throws `CircuitError` naming the part when the document contradicts itself.
 */
export function harnessNetwork(wired: Wired, loaded: boolean): HarnessNetwork {
  const { harness, outputs } = wired;
  const bench = new Bench();
  const position = harness.positions[harness.selected];
  if (!position) throw new CircuitError('selector', `there is no position ${harness.selected + 1}`);
  const connected = connections(wired, position.taps);

  // 1. pickups with their own controls
  for (const c of connected) addPickup(bench, wired, c.tap, c.base);
  const hung = hanging(wired, position.taps).map((pickup): Connection => {
    const tap = usualTap(pickup.id, outputs[0].id);
    addPickup(bench, wired, tap, pickup.id);
    return { tap, base: pickup.id, outputs: [], out: `${pickup.id}.hot` };
  });
  harness.controls.forEach((control, i) => {
    if (control.pickup === null) return;
    const c = [...connected, ...hung].find(c => c.base === control.pickup);
    if (c) c.out = addControl(bench, control, c.out, `${c.base}.cold`, `/harness/controls/${i}`);
  });
  for (const c of [...connected, ...hung]) {
    bench.wire(`wire:${c.base}.behind`, c.out, `${c.base}.out`);
    c.out = `${c.base}.out`;
  }
  for (const c of hung) bench.wire(`wire:${c.base}.grounded`, c.base + '.cold', GROUND);

  // 2. the selector: per output, in series from ground or side by side, with the blend between two of them
  const blended = new Set<Connection>();
  if (harness.blend && position.join === 'parallel') addBlend(bench, wired, connected, blended);
  const grounded = new Set<Connection>();
  outputs.forEach((_, o) => {
    const mine = connected.filter(c => c.outputs.includes(o));
    const hot = `hot${nth(o)}`;
    let below = GROUND;
    for (const c of mine) {
      // a pickup that serves two outputs has its cold end in one place only
      if (!grounded.has(c))
        bench.wire(`wire:${c.base}.low`, c.base + '.cold', position.join === 'series' ? below : GROUND);
      grounded.add(c);
      if (position.join === 'series') below = c.out;
      else if (!blended.has(c)) bench.wire(`wire:${c.base}.selected${nth(o)}`, c.out, hot);
    }
    if (position.join === 'series' && mine.length > 0) bench.wire(`wire:selector${nth(o)}`, below, hot);
  });

  // 3. per output: master controls, the jack, what is plugged in
  const ends = outputs.map((output, o) => {
    let at = `hot${nth(o)}`;
    harness.controls.forEach((control, i) => {
      if (control.pickup === null && control.output === output.id)
        at = addControl(bench, control, at, GROUND, `/harness/controls/${i}`);
    });
    const jack = `jack${nth(o)}`;
    bench.wire(`wire:to-${jack}`, at, jack);
    if (!loaded) return jack;
    at = jack;
    output.chain.forEach((stage, s) => {
      at = addStage(bench, stage, `chain:${s + 1}${nth(o)}`, at, `/outputs/${o}/chain/${s}`);
    });
    bench.wire(`wire:to-end${nth(o)}`, at, `end${nth(o)}`);
    return `end${nth(o)}`;
  });

  // 4. parts soldered in anywhere
  const places = harness.fixed.length > 0 ? solderPlaces(wired) : [];
  const nodes = new Map(places.map(({ place, name }) => [placeKey(place), name]));
  const nodeOf = (part: Fixed, place: Place): string => {
    const node = nodes.get(placeKey(place));
    if (node === undefined) throw new CircuitError(part.id, 'the place it is soldered to does not exist');
    return node;
  };
  harness.fixed.forEach((part, i) => {
    const [from, to] = [nodeOf(part, part.from), nodeOf(part, part.to)];
    bench[part.kind](`fixed:${part.id}`, from, to, part.value, `/harness/fixed/${i}`);
  });
  const { elements } = bench;
  return { elements, outputs: ends, emfs: elements.filter(e => e.kind === 'emf').map(e => e.id) };
}

/** A blend pot between the two pickups it names, for the output they go to. Pickups it takes care of join `done`. */
function addBlend(bench: Bench, wired: Wired, connected: readonly Connection[], done: Set<Connection>): void {
  const blend = wired.harness.blend!;
  const find = (pickup: string) => connected.find(c => c.tap.pickup === pickup);
  const [from, to] = [find(blend.from), find(blend.to)];
  const output = (from ?? to)?.outputs[0];
  // each pickup to an output of its own: the pot has nothing to blend
  if (output === undefined || (from && to && from.outputs[0] !== to.outputs[0])) return;
  const hot = `hot${nth(output)}`;
  const path = '/harness/blend';
  if (blend.gangs === 'two') {
    // wired backwards, pickup to wiper, so that a pickup turned down does not short the other
    const gang = (id: string, c: Connection | undefined, fraction: number) => {
      const wiper = c?.out ?? `${id}.wiper`;
      bench.resistor(`${id}.upper`, hot, wiper, track(blend) * (1 - fraction), path);
      bench.resistor(`${id}.lower`, wiper, GROUND, track(blend) * fraction, path);
    };
    gang('blend:from', from, gangFraction(blend.taper, 1 - blend.setting));
    gang('blend:to', to, gangFraction(blend.taper, blend.setting));
  } else {
    const { upper, lower } = potParts(blend);
    if (from) bench.resistor('blend:from', from.out, hot, lower, path);
    if (to) bench.resistor('blend:to', to.out, hot, upper, path);
  }
  for (const c of [from, to]) if (c) done.add(c);
}

// --- results, kept ------------------------------------------------------------------------------------------------

const electricalKeys = new WeakMap<object, string>();
const keyOf = <T extends object>(part: T, text: (part: T) => unknown): string => {
  let key = electricalKeys.get(part);
  if (key === undefined) electricalKeys.set(part, (key = JSON.stringify(text(part))));
  return key;
};
/** Text that two builds share exactly when their circuits are the same: places, heights and names left out. */
function electricalKey({ pickups, harness, outputs }: Wired): string {
  const coils = keyOf(pickups, list =>
    list.map(p => [p.id, p.coils.map(c => [c.id, c.resistance, c.inductance, c.capacitance, c.loss, c.cover])]),
  );
  return `${coils}|${keyOf(harness, h => h)}|${keyOf(outputs, list => list.map((o: Output) => [o.id, o.chain]))}`;
}

/** Results kept per frequency list. */
const KEPT = 48;
const sweeps = new WeakMap<Float64Array, Map<string, PortSweep[]>>();

/**
 * Gains from every connected coil and output impedance, per output; kept per frequency list and electrical content, so
 * that moving a pickup solves nothing again.
 */
export function harnessSweep(wired: Wired, point: NetworkPoint, frequencies: Float64Array): PortSweep[] {
  let kept = sweeps.get(frequencies);
  if (!kept) sweeps.set(frequencies, (kept = new Map()));
  const key = `${point}|${electricalKey(wired)}`;
  let result = kept.get(key);
  if (result) kept.delete(key);
  else result = harnessCircuit(wired, point).sweep(frequencies);
  kept.set(key, result);
  if (kept.size > KEPT) kept.delete(kept.keys().next().value!);
  return result;
}

/** Compiled networks kept. */
const CIRCUITS = 16;
const circuits = new Map<string, Circuit>();

/**
 * The compiled network of the selected position, read at the jacks (4) or at the ends of the chains (5); kept by electrical
 * content.
 */
export function harnessCircuit(wired: Wired, point: NetworkPoint): Circuit {
  const key = `${point}|${electricalKey(wired)}`;
  let circuit = circuits.get(key);
  if (circuit) circuits.delete(key);
  else {
    const network = harnessNetwork(wired, point === POINT.input);
    circuit = compile(network, network.outputs);
  }
  circuits.set(key, circuit);
  if (circuits.size > CIRCUITS) circuits.delete(circuits.keys().next().value!);
  return circuit;
}

/**
 * Gain from the EMF of every connected coil (key `pickup.coil`) to each output, in the order of `build.outputs`. The
 * wiring's signs are in it, the coils' own polarity and winding are not. Coils that are not connected are absent.
 */
export function harnessGains(wired: Wired, point: NetworkPoint, frequencies: Float64Array): Map<string, Spectrum>[] {
  return harnessSweep(wired, point, frequencies).map(s => s.gains);
}

/** Impedance seen into an output jack with nothing plugged in, ohm. */
export function outputImpedance(wired: Wired, output: number, frequencies: Float64Array): Spectrum {
  const found = harnessSweep(wired, 4, frequencies)[output];
  if (!found) throw new CircuitError('outputs', `there is no output ${output + 1}`);
  return found.impedance;
}

/** The network of one pickup alone, all its coils as `tap` joins them (all in series when absent), cold end on ground. */
export function pickupNetwork(wired: Wired, pickupId: string, tap?: Tap): HarnessNetwork {
  const pickup = wired.pickups.find(p => p.id === pickupId);
  if (!pickup) throw new CircuitError(pickupId, 'there is no such pickup');
  const bench = new Bench();
  addPickup(bench, wired, tap ?? usualTap(pickupId, wired.outputs[0].id), pickupId);
  bench.wire(`wire:${pickupId}.low`, `${pickupId}.cold`, GROUND);
  const { elements } = bench;
  return { elements, outputs: [`${pickupId}.hot`], emfs: elements.filter(e => e.kind === 'emf').map(e => e.id) };
}

/** How the selected position joins a pickup's coils, if it connects them. */
const selectedTap = ({ harness }: Wired, pickup: string): Tap | undefined =>
  harness.positions[harness.selected]?.taps.find(t => t.pickup === pickup);

/** Impedance of one pickup by itself, joined as in the selected position, ohm. */
export function pickupImpedance(wired: Wired, pickupId: string, frequencies: Float64Array): Spectrum {
  const network = pickupNetwork(wired, pickupId, selectedTap(wired, pickupId));
  return compile(network, network.outputs).sweep(frequencies)[0].impedance;
}
