/** What must hold along any sequence of edits, for the test and for the long program. */
import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { drawSchematic } from '../../../shared/circuit/drawing/drawing.ts';
import { harnessSweep } from '../../../shared/circuit/harness.ts';
import type { Build } from '../../../shared/document/build.ts';
import { parseSheet } from '../../../shared/document/reading/parse-sheet.ts';
import type { Sheet } from '../../../shared/document/sheet.ts';
import { demoSheet } from '../../../shared/document/starting/demo-sheet.ts';
import { demoBass, demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { makePickup, PICKUP_TYPES } from '../../../shared/sensor/typical.ts';
import { readLink, writeLink } from '../../../src/files/link.ts';
import { Store } from '../../../src/state/store.ts';
import { dice, randomBuild } from '../../circuit/random.ts';
import { type AnyEdit, anyEdit, applied, HEAR, letterFor } from './any-edit.ts';

export const SEQUENCE = 50;
const FREQUENCIES = Float64Array.of(80, 900, 4000);

const sheetOf = (...builds: Build[]): Sheet => {
  const demo = demoSheet();
  return {
    ...demo,
    builds: builds.map((build, i) => ({ letter: (['A', 'B'] as const)[i], build })),
    sameInstrument: builds.every(b => b.instrument === builds[0].instrument),
    view: { ...demo.view, pickup: builds[0].pickups[0].id, string: 1 },
  };
};
const [a] = demoBuilds();

/** What a sequence begins with, by name. */
export type Start = 'demo' | 'bass' | 'guitar and bass' | { type: string } | { random: number };

export const anyStart: fc.Arbitrary<Start> = fc.oneof(
  fc.constantFrom<Start[]>('demo', 'bass', 'guitar and bass'),
  fc.constantFrom(...PICKUP_TYPES).map(({ id }): Start => ({ type: id })),
  fc.integer({ min: 1, max: 1e6 }).map((random): Start => ({ random })),
);

/** Demo builds, a build with one ready kind of pickup, or a random one. */
function sheetFor(start: Start): Sheet {
  if (start === 'demo') return demoSheet();
  if (start === 'bass') return sheetOf(demoBass());
  if (start === 'guitar and bass') return sheetOf(a, demoBass());
  if ('random' in start) return sheetOf(randomBuild(dice(start.random)));
  const pickup = makePickup(start.type, a.instrument, { id: 'neck', name: 'Neck', position: 0.15 });
  return sheetOf({ ...a, pickups: [pickup], harness: { ...a.harness, positions: a.harness.positions.slice(0, 1) } });
}

export const anySequence = fc.array(anyEdit, { maxLength: SEQUENCE, size: 'max' });

/** A build solves, or says in words why it cannot. */
function solves(build: Build): void {
  for (const sweep of harnessSweep(build, 5, FREQUENCIES))
    for (const gain of sweep.gains.values())
      if (![...gain.re, ...gain.im].every(Number.isFinite)) throw new Error('the network has no finite solution');
}

const same = (one: unknown, other: unknown, what: string): void => {
  if (!isDeepStrictEqual(one, other)) throw new Error(`${what} is another sheet`);
};

/** Edits after which a sheet is drawn and read back as a whole; the store itself parses what every single one changed. */
const STOP = 10;

/** Reads a sheet back as it would be kept. */
function readBack(sheet: Sheet, after: string): void {
  const text = JSON.stringify(sheet);
  const parsed = parseSheet(JSON.parse(text));
  if (!parsed.ok) throw new Error(`after “${after}” it could not be read back: ${parsed.message}`);
  same(parsed.sheet, JSON.parse(text), `what is read back after “${after}”`);
}

/** Goes through a sequence as the page does; throws at the first thing that does not hold. */
export function follow(from: Start, edits: readonly AnyEdit[]): void {
  const start = sheetFor(from);
  const store = new Store(start, (step, why) => {
    throw new Error(`the store refused “${step}”: ${why}`);
  });
  const solved = new Map<Build['harness'], Build>();
  const drawn = new Set<Build>();
  edits.forEach((edit, done) => {
    if (edit.do === HEAR) store.look({ heard: letterFor(store.value, edit) });
    else store.edit(edit.do, sheet => applied(sheet, edit).sheet);
    const { builds } = store.value;
    try {
      for (const { build } of builds) {
        const last = solved.get(build.harness);
        if (last?.pickups === build.pickups && last.outputs === build.outputs) continue;
        solved.set(build.harness, build);
        solves(build);
      }
      if (done % STOP > 0 && done < edits.length - 1) return;
      for (const { build } of builds) if (!drawn.has(build)) drawSchematic(build, 900);
      for (const { build } of builds) drawn.add(build);
    } catch (error) {
      throw new Error(`after “${edit.do}”: ${error instanceof Error ? error.message : error}`);
    }
    readBack(store.value, edit.do);
  });
  const linked = readLink(writeLink(store.value));
  if (!linked.ok) throw new Error(`a link of it does not open: ${linked.message}`);
  const end = store.value;
  const steps = store.past.value.length;
  for (let i = 0; i < steps; i++) store.undo();
  same({ ...store.value, view: null }, { ...start, view: null }, 'what undo goes back to');
  for (let i = 0; i < steps; i++) store.redo();
  same({ ...store.value, view: null }, { ...end, view: null }, 'what redo goes on to');
}
