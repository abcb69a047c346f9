import { describe, expect, test } from 'vitest';
import { BUILD_VERSION, type Build, RANGE } from '../../shared/document/build.ts';
import { migrateBuild } from '../../shared/document/reading/migrate-build.ts';
import { type Issue, parseBuild } from '../../shared/document/reading/parse-build.ts';
import { demoBass, demoBuilds, examples } from '../../shared/document/starting/starting-builds.ts';
import { combLimits, FARTHEST } from '../../shared/sensor/limits.ts';

const [a] = demoBuilds();

/** Issues of the first demo build after `change`; it may break the types, as files do. */
function issuesOf(change: (copy: Build) => void, base = a): Issue[] {
  const copy = structuredClone(base);
  change(copy);
  const parsed = parseBuild(copy);
  return parsed.ok ? [] : parsed.issues;
}
/** Sets what stands at a dotted path. */
function put(path: string, value: unknown): (copy: Build) => void {
  return copy => {
    const keys = path.split('.');
    const last = keys.pop() ?? '';
    const holder = keys.reduce<unknown>((at, key) => (at as Record<string, unknown>)[key], copy);
    (holder as Record<string, unknown>)[last] = value;
  };
}

describe('builds that are right', () => {
  for (const { id, build } of examples())
    test(`example "${id}" comes through as it is`, () => {
      expect(parseBuild(JSON.parse(JSON.stringify(build)))).toEqual({ ok: true, build });
    });
});

describe('values out of range are refused at their place, with what is accepted', () => {
  const cases: [string, unknown, RegExp][] = [
    ['pickups.0.position', 0, /at least 0\.003 m.*found 0/],
    ['pickups.0.position', -0.1, /at least 0\.003 m/],
    ['pickups.0.position', 2, /at most 0\.6 m/],
    ['pickups.0.position', 'near', /must be a number.*found "near"/],
    ['pickups.0.position', null, /must be a number/],
    ['pickups.0.slant', 1, /at most 0\.7854 rad/],
    ['pickups.0.coils.0.resistance', 0, /at least 1 ohm/],
    ['pickups.0.coils.0.resistance', -5, /at least 1 ohm/],
    ['pickups.0.coils.0.inductance', 0, /at least 0\.0001 H/],
    ['pickups.0.coils.1.capacitance', -1e-12, /at least 1e-13 F/],
    ['pickups.0.coils.0.polarity', 0, /must be 1 or -1/],
    ['pickups.0.coils.0.window.shape', 'triangle', /pole, rectangle, raised-cosine or gaussian/],
    ['pickups.0.height.bass', 0, /at least 0\.0003 m/],
    ['instrument.strings.2.pitch', 0, /at least 15 Hz/],
    ['instrument.strings', [], /at least one string/],
    ['harness.controls.0.volume.setting', 1.5, /at most 1/],
    ['harness.controls.0.volume.value', -250e3, /at least 1000 ohm/],
    ['outputs.0.chain.0.length', -1, /at least 0 m/],
    ['outputs.0.chain.1.resistance', 0, /at least 100 ohm/],
  ];
  for (const [path, value, message] of cases)
    test(`${path} = ${JSON.stringify(value)}`, () => {
      const issues = issuesOf(put(path, value));
      expect(issues.map(i => i.path)).toContain(path);
      expect(issues.find(i => i.path === path)?.message).toMatch(message);
    });

  test('numbers that are none', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY])
      expect(issuesOf(put('pickups.0.position', value))[0].path).toBe('pickups.0.position');
  });

  test('a missing value is called missing', () => {
    const issues = issuesOf(copy => {
      delete (copy.pickups[0] as Partial<Build['pickups'][0]>).position;
    });
    expect(issues[0]).toMatchObject({ path: 'pickups.0.position', message: expect.stringMatching(/missing/) });
  });

  test('every range has room in it', () => {
    for (const [low, high] of Object.values(RANGE)) expect(low).toBeLessThan(high);
  });
});

describe('what crosses the parts', () => {
  const only = (issues: Issue[], path: string, message: RegExp) => {
    expect(issues.map(i => i.path)).toEqual([path]);
    expect(issues[0].message).toMatch(message);
  };

  test('a pickup over the saddle, by its place or by its slant', () => {
    only(issuesOf(put('pickups.0.position', 0.01)), 'pickups.0.position', /over the saddle.*0\.75 mm.*at least 3 mm/);
    const single = { ...demoBuilds()[1] };
    only(
      issuesOf(copy => {
        copy.pickups[0].position = 0.02;
        copy.pickups[0].slant = 0.7;
      }, single),
      'pickups.0.position',
      /over the saddle/,
    );
  });

  test('a pickup beyond the strings, as its accepted limit says', () => {
    only(issuesOf(put('pickups.0.position', 0.5)), 'pickups.0.position', /beyond.*509\.25 mm.*up to 388\.8 mm/);
    const limit = FARTHEST * 0.648 - 0.00925;
    expect(issuesOf(put('pickups.0.position', limit - 1e-6))).toEqual([]);
    expect(issuesOf(put('pickups.0.position', limit + 1e-6))).toHaveLength(1);
    const { nearest, farthest } = combLimits(a.instrument, a.pickups[0], a.pickups[0].coils[0]);
    expect(nearest).toBeCloseTo(0.17125, 12);
    expect(farthest).toBeCloseTo(0.17125, 12);
  });

  test('ids that lead nowhere name what there is', () => {
    const tap = 'harness.positions.0.taps.0';
    only(issuesOf(put(`${tap}.pickup`, 'middle')), `${tap}.pickup`, /no pickup "middle"; there are "neck"/);
    only(issuesOf(put(`${tap}.output`, 'left')), `${tap}.output`, /no output "left"; there are "out"/);
    only(issuesOf(put(`${tap}.coils`, ['third'])), `${tap}.coils`, /"third"; there are "neck-side", "bridge-side"/);
    only(issuesOf(put('harness.controls.0.pickup', 'middle')), 'harness.controls.0.pickup', /no pickup "middle"/);
    only(
      issuesOf(
        put('harness.fixed', [
          { id: 'part', kind: 'resistor', value: 1e6, from: { at: 'jack', output: 'left' }, to: { at: 'ground' } },
        ]),
      ),
      'harness.fixed.0.from',
      /no such place to solder to: jack left/,
    );
  });

  test('a selector position that is not there', () => {
    only(issuesOf(put('harness.selected', 7)), 'harness.selected', /accepted are 0 to 2/);
  });

  test('strings that are not there', () => {
    only(
      issuesOf(put('pickups.0.coils.0.strings', [1, 9]), demoBass()),
      'pickups.0.coils.0.strings',
      /string 9.*1 to 4/,
    );
  });

  test('ids used twice, and a coil connected in two ways', () => {
    only(issuesOf(put('pickups.0.coils.1.id', 'neck-side')), 'pickups.0.coils.1.id', /two coils of one pickup/);
    const both = issuesOf(copy => {
      const [tap] = copy.harness.positions[0].taps;
      copy.harness.positions[0].taps.push({ ...tap, join: 'parallel' });
    });
    only(both, 'harness.positions.0', /two ways at once/);
  });

  test('no coil in use, a coil named twice, two outputs of one id', () => {
    const coils = 'harness.positions.0.taps.0.coils';
    only(issuesOf(put(coils, [])), coils, /no coil is in use; name at least one, or null for all/);
    only(issuesOf(put(coils, ['neck-side', 'neck-side'])), coils, /named twice/);
    const twice = issuesOf(copy => copy.outputs.push(structuredClone(copy.outputs[0])));
    only(twice, 'outputs.1.id', /two outputs carry the id "out"/);
  });

  test('what was found is quoted as far as a sentence bears it', () => {
    const found = (value: unknown) => issuesOf(put('pickups.0.kind', value))[0].message;
    // quotation marks count: 40 characters in all are quoted whole, of longer ones 37
    expect(found('x'.repeat(38))).toMatch(/\(found "x{38}"\)$/);
    expect(found('x'.repeat(39))).toMatch(/\(found "x{36}\.\.\.\)$/);
    expect(found([1])).toMatch(/\(found a list\)$/);
    expect(found({})).toMatch(/\(found an object\)$/);
    expect(found(null)).toMatch(/\(found null\)$/);
  });

  test('a blend of a pickup with itself, and with one that is not there', () => {
    const bass = demoBass();
    const second = { ...structuredClone(bass.pickups[0]), id: 'second', name: 'second', position: 0.15 };
    const blended = (from: string, to: string) =>
      issuesOf(copy => {
        copy.pickups.push(second);
        copy.harness.blend = { from, to, value: 250e3, setting: 0.5, taper: 'linear', deviation: 0, gangs: 'one' };
      }, bass);
    const own = bass.pickups[0].id;
    expect(blended(own, 'second')).toEqual([]);
    only(blended(own, own), 'harness.blend.to', /two different pickups/);
    only(blended(own, 'third'), 'harness.blend.to', /no pickup "third"/);
  });

  test('a core thicker than its string', () => {
    only(issuesOf(put('instrument.strings.5.core', 2e-3)), 'instrument.strings.5.core', /thinner than the string/);
  });
});

describe('versions', () => {
  /** A build as version 1 wrote it: no sizes or pairs of poles, a depth under every pole window. */
  const asFirst = (build: Build, kind: 'one' | 'two' | 'rail', depth: number) => ({
    ...build,
    version: 1,
    pickups: build.pickups.map(p => ({
      ...p,
      poles: { kind, spread: 0.054 },
      coils: p.coils.map(c => ({ ...c, window: { ...c.window, depth } })),
    })),
  });

  test('version 1: the outermost poles are those of the pairs, the depth nobody measured is derived, an entered one kept', () => {
    const read = (kind: 'one' | 'two' | 'rail', depth: number) => {
      const parsed = parseBuild(JSON.parse(JSON.stringify(asFirst(demoBass(), kind, depth))));
      if (!parsed.ok) throw new Error(parsed.issues[0].message);
      return parsed.build.pickups[0];
    };
    // four strings: pairs 54 mm apart in all, 18 mm from string to string, so two poles 9 mm apart
    const two = read('two', 3.5e-3);
    expect(two.poles.pair).toBeCloseTo(9e-3, 12);
    expect(two.poles.spread).toBeCloseTo(63e-3, 12);
    expect(two.coils[0].window.depth).toBeNull();
    expect(read('one', 4e-3)).toMatchObject({ poles: { spread: 0.054, size: 4.8e-3 } });
    expect(read('one', 4e-3).coils[0].window.depth).toBe(4e-3);
    expect(read('rail', 0).poles.spread).toBeGreaterThan(0.054);
  });

  test('what is no number in version 1 is named, not guessed', () => {
    const old = asFirst(a, 'one', 3.5e-3);
    const broken = { ...old, pickups: [{ ...old.pickups[0], poles: { kind: 'one', spread: 'wide' } }, 7] };
    const parsed = parseBuild(broken);
    expect(parsed.ok).toBe(false);
    if (!parsed.ok) expect(parsed.issues.map(i => i.path)).toContain('pickups.0.poles.spread');
  });

  test('something else, an older and a newer format are told apart', () => {
    for (const data of [null, 7, 'text', []]) expect(migrateBuild(data)).toMatchObject({ ok: false });
    expect(migrateBuild({ format: 'other' })).toMatchObject({ message: expect.stringMatching(/"format" must be/) });
    expect(migrateBuild({ ...a, version: BUILD_VERSION + 1 })).toMatchObject({
      ok: false,
      message: expect.stringMatching(/version 3, made by a newer/),
    });
    for (const version of [0, 1.5, '1', undefined])
      expect(migrateBuild({ ...a, version })).toMatchObject({ message: expect.stringMatching(/whole number/) });
    expect(migrateBuild(a)).toEqual({ ok: true, data: a });
  });
});
