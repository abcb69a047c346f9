/**
 * Documents with something wrong: sheets and builds, of the present and the first format, changed at random places. None
 * may throw; what is read reads the same again, solves and draws; what is refused is refused in a sentence.
 */
import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { drawSchematic } from '../../shared/circuit/drawing/drawing.ts';
import { harnessSweep } from '../../shared/circuit/harness.ts';
import type { Build } from '../../shared/document/build.ts';
import { parseBuild } from '../../shared/document/reading/parse-build.ts';
import { parseSheet } from '../../shared/document/reading/parse-sheet.ts';
import type { Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { examples } from '../../shared/document/starting/starting-builds.ts';
import { dice, randomBuild } from '../circuit/random.ts';
import type { Program } from './program.ts';

type Base = { sheet: number | 'demo' } | { build: number } | { example: number };
type What =
  | { do: 'set'; value: unknown }
  /** By this factor. */
  | { do: 'scale'; by: number }
  | { do: 'remove' }
  | { do: 'twice' }
  | { do: 'repeat'; times: number }
  | { do: 'nest'; levels: number }
  | { do: 'name'; key: string; value: unknown };
/** A change at a place: shares of the way through the keys of each level. */
interface Change {
  path: readonly number[];
  what: What;
}
export interface Damaged {
  base: Base;
  /** As a document of the first format would begin. */
  old: boolean;
  changes: readonly Change[];
}

/** What people, programs and attackers put where something else belongs. */
const strange: fc.Arbitrary<unknown> = fc.oneof(
  fc.constantFrom<unknown[]>(
    null,
    true,
    '',
    0,
    -0,
    -1,
    1e-300,
    1e300,
    2 ** 53,
    'constructor',
    '__proto__',
    [],
    {},
    '\u0000',
  ),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.integer({ min: -20, max: 400 }),
  fc.string({ unit: 'binary', maxLength: 80 }),
  fc.constantFrom('neck', 'bridge', 'out', 'A', 'H', 'series', 'parallel', 'ground', 'jack', 'pole', 'volume', 'cable'),
  fc.array(fc.constantFrom<unknown[]>(null, 1, 'a', {}), { maxLength: 4 }),
);
const what: fc.Arbitrary<What> = fc.oneof(
  { weight: 4, arbitrary: fc.record({ do: fc.constant('set' as const), value: strange }) },
  {
    weight: 4,
    arbitrary: fc.record({ do: fc.constant('scale' as const), by: fc.double({ min: -3, max: 10, noNaN: true }) }),
  },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('remove' as const) }) },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('twice' as const) }) },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('repeat' as const), times: fc.constantFrom(13, 65, 3000) }) },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('nest' as const), levels: fc.constantFrom(3, 45, 900) }) },
  {
    weight: 1,
    arbitrary: fc.record({
      do: fc.constant('name' as const),
      key: fc.constantFrom('__proto__', 'constructor', 'toString', 'x', 'kind', 'id', 'length'),
      value: strange,
    }),
  },
);
const share = fc.nat(9999).map(part => part / 10_000);
const cases: fc.Arbitrary<Damaged> = fc.record({
  base: fc.oneof(
    fc.constant<Base>({ sheet: 'demo' }),
    fc.nat(1e6).map((sheet): Base => ({ sheet })),
    fc.nat(1e6).map((build): Base => ({ build })),
    fc.nat(examples().length - 1).map((example): Base => ({ example })),
  ),
  old: fc.boolean(),
  changes: fc.array(fc.record({ path: fc.array(share, { minLength: 1, maxLength: 8 }), what }), { maxLength: 4 }),
});

type Holder = Record<string, unknown>;
const isHolder = (data: unknown): data is Holder => typeof data === 'object' && data !== null;

/** The document as it came, before anything of it is trusted. */
export function damaged({ base, old, changes }: Damaged): unknown {
  const data = structuredClone(baseOf(base)) as unknown as Holder;
  if (old) age(data);
  for (const { path, what } of changes) change(data, path, what);
  return JSON.parse(JSON.stringify(data));
}

function baseOf(base: Base): Sheet | Build {
  if ('example' in base) return examples()[base.example].build;
  if ('build' in base) return randomBuild(dice(base.build));
  const demo = demoSheet();
  if (base.sheet === 'demo') return demo;
  const build = randomBuild(dice(base.sheet));
  return {
    ...demo,
    builds: [{ letter: 'A', build }],
    sameInstrument: true,
    view: { ...demo.view, heard: 'A', reference: 'A', pickup: build.pickups[0].id, string: 1 },
  };
}

/** Calls every build of the document one of the first format, whatever it holds. */
function age(data: Holder): void {
  if (data.format === 'comb-and-coil/build') data.version = 1;
  else for (const slot of data.builds as { build: Holder }[]) slot.build.version = 1;
}

/** Characters that a repeated part may come to. */
const LARGEST = 200_000;

function change(data: Holder, path: readonly number[], what: What): void {
  let holder = data;
  let key = '';
  for (const share of path) {
    const keys = Object.keys(holder);
    if (keys.length === 0) return;
    key = keys[Math.floor(share * keys.length)];
    const inner = holder[key];
    if (!isHolder(inner) || share === path.at(-1)) break;
    holder = inner;
  }
  const old = holder[key];
  // a case is drawn once and looked at often: nothing of it goes into the document itself
  if (what.do === 'set') holder[key] = structuredClone(what.value);
  else if (what.do === 'scale') holder[key] = typeof old === 'number' ? old * what.by : old;
  else if (what.do === 'twice' && Array.isArray(holder)) holder.push(structuredClone(old));
  else if (what.do === 'repeat') {
    // a document that is large is another matter: files are bounded before they are parsed
    const times = Math.min(what.times, Math.ceil(LARGEST / (JSON.stringify(old)?.length ?? 1)));
    holder[key] = Array.from({ length: times }, () => structuredClone(old));
  } else if (what.do === 'name' && isHolder(old) && !Array.isArray(old))
    Object.defineProperty(old, what.key, {
      value: structuredClone(what.value),
      enumerable: true,
      configurable: true,
      writable: true,
    });
  else if (what.do === 'nest') {
    let nested: unknown = old;
    // as deep as a text can say without the reader of JSON giving up first
    for (let level = 0; level < what.levels; level++) nested = level % 2 ? [nested] : { in: nested };
    holder[key] = nested;
  } else if (what.do === 'remove') {
    if (Array.isArray(holder)) holder.splice(Number(key), 1);
    else delete holder[key];
  }
}

const FREQUENCIES = Float64Array.of(80, 4000);

/** What a sentence for a person never says. */
const LIBRARY = /undefined|NaN|\[object|Invalid (type|key|input)|TypeError|Cannot read|is not a function/;

/** Throws unless `message` is a sentence for a person. */
export function isSentence(message: string): void {
  if (message.length < 8) throw new Error(`refused with "${message}"`);
  if (message.length > 600) throw new Error(`refused with ${message.length} characters: ${message.slice(0, 200)} …`);
  const own = message.replace(/"[^"]*"/g, '""');
  if (LIBRARY.test(own)) throw new Error(`refused in a library's words: ${message}`);
}

/** Of so many documents that are read one is solved and drawn: that costs as much as reading fifteen. */
const SOLVED = 16;

function works(build: Build, { changes }: Damaged): void {
  if (Math.floor((changes[0]?.path[0] ?? 0) * 1e6) % SOLVED > 0) return;
  for (const sweep of harnessSweep(build, 5, FREQUENCIES))
    for (const gain of sweep.gains.values())
      if (![...gain.re, ...gain.im].every(Number.isFinite)) throw new Error('the network has no finite solution');
  drawSchematic(build, 900);
}

export const documents: Program<Damaged> = {
  cases,
  check: one => {
    const data = damaged(one);
    const sheet = 'sheet' in one.base;
    if (sheet) {
      const parsed = parseSheet(data);
      if (!parsed.ok) {
        isSentence(parsed.message);
        return 'sheets refused';
      }
      const again = parseSheet(JSON.parse(JSON.stringify(parsed.sheet)));
      if (!again.ok) throw new Error(`read once, refused the second time: ${again.message}`);
      if (!isDeepStrictEqual(again.sheet, JSON.parse(JSON.stringify(parsed.sheet))))
        throw new Error('reads otherwise the second time');
      for (const { build } of parsed.sheet.builds) works(build, one);
      return 'sheets read';
    }
    const parsed = parseBuild(data);
    if (!parsed.ok) {
      for (const { message } of parsed.issues) isSentence(message);
      return 'builds refused';
    }
    const again = parseBuild(JSON.parse(JSON.stringify(parsed.build)));
    if (!again.ok) throw new Error(`read once, refused the second time: ${again.issues[0].message}`);
    works(parsed.build, one);
    return 'builds read';
  },
  batch: 2000,
  usual: 10_000,
};
