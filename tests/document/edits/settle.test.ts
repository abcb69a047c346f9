/** What is tied to something goes with it, is tied again or stays, and is told. */
import { describe, expect, test } from 'vitest';
import manifestJson from '../../../samples/manifest.json' with { type: 'json' };
import { harnessGains } from '../../../shared/circuit/harness.ts';
import { silence } from '../../../shared/circuit/silence.ts';
import { solderPlaces } from '../../../shared/circuit/solder-places.ts';
import type { Build, Place, Tap } from '../../../shared/document/build.ts';
import { setBlend } from '../../../shared/document/edits/blend.ts';
import { addBuild, editBuild, editInstrument, renameBuild } from '../../../shared/document/edits/builds.ts';
import { addStage, moveStage, removeStage } from '../../../shared/document/edits/chain.ts';
import { removeCoil, setKind, setUnder } from '../../../shared/document/edits/coils.ts';
import { removeControl, setControl, withTone } from '../../../shared/document/edits/controls.ts';
import { addFixed, solder } from '../../../shared/document/edits/fixed.ts';
import { followReplaced, onInstrument } from '../../../shared/document/edits/instrument.ts';
import { setStereo } from '../../../shared/document/edits/outputs.ts';
import { addPickup, placePickup, removePickup, setPickup } from '../../../shared/document/edits/pickups.ts';
import { repairSheet } from '../../../shared/document/edits/repair.ts';
import { movePosition, removePosition, selectPosition, setTap } from '../../../shared/document/edits/selector.ts';
import { settle } from '../../../shared/document/edits/settle.ts';
import { openSheet, setSheetNote, setTitle } from '../../../shared/document/edits/sheet.ts';
import { withFittingTake } from '../../../shared/document/edits/takes.ts';
import { setValue } from '../../../shared/document/edits/value.ts';
import { applyConfiguration, applyScheme } from '../../../shared/document/edits/wiring.ts';
import { parseBuild } from '../../../shared/document/reading/parse-build.ts';
import { parseSheet } from '../../../shared/document/reading/parse-sheet.ts';
import { demoSheet } from '../../../shared/document/starting/demo-sheet.ts';
import { demoBass, demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { STRING_SETS } from '../../../shared/string/sets.ts';
import { misfit, parseManifest } from '../../../shared/take/manifest.ts';
import { words } from '../../../src/words/edit-words.ts';

const [demo] = demoBuilds();
const hss = applyConfiguration(demo, 'HSS').build;

/** A capacitor from `place` to ground. */
const capacitorAt = (build: Build, place: Place): Build =>
  solder(addFixed(build, 'capacitor').build, 0, 'from', place).build;
const valid = (build: Build) => expect(parseBuild(JSON.parse(JSON.stringify(build)))).toEqual({ ok: true, build });

describe('soldered parts', () => {
  test('a capacitor behind the master control goes with it, and the person is told', () => {
    const soldered = capacitorAt(demo, { at: 'control', control: 'master', end: 'out' });
    const { build, went } = removeControl(soldered, 0);
    valid(build);
    expect(build.harness.fixed).toEqual([]);
    expect(words.went(went)).toBe('The 1 nF capacitor (behind the master control) went with it.');
    expect(silence(build)).toBeNull();
    expect([...harnessGains(build, 5, Float64Array.of(1000))[0].keys()]).toHaveLength(2);
  });

  test('every place is lost with exactly what it belongs to', () => {
    const stereo = setStereo(hss, true, 'second jack').build;
    for (const { place } of solderPlaces(stereo)) {
      const soldered = capacitorAt(stereo, place);
      valid(soldered);
      const mono = setStereo(soldered, false, '').build;
      valid(mono);
      expect(mono.harness.fixed).toHaveLength('output' in place && place.output !== 'out' ? 0 : 1);
      const less = removePickup(soldered, 'bridge').build;
      valid(less);
      expect(less.harness.fixed).toHaveLength('pickup' in place && place.pickup === 'bridge' ? 0 : 1);
      const bare = withTone(soldered, 0, false).build;
      valid(bare);
      expect(bare.harness.fixed).toHaveLength(place.at === 'control' && place.end === 'tone' ? 0 : 1);
    }
  });

  test('a part on a coil that becomes the whole pickup is on the pickup', () => {
    const soldered = capacitorAt(demo, { at: 'coil', pickup: 'neck', coil: 'neck-side', end: 'cold' });
    const { build, went } = setKind(soldered, 'neck', 'single');
    valid(build);
    expect(build.harness.fixed[0].from).toEqual({ at: 'pickup', pickup: 'neck', end: 'cold' });
    expect(went.filter(one => one.kind === 'part')).toEqual([]);
    const other = capacitorAt(demo, { at: 'coil', pickup: 'neck', coil: 'bridge-side', end: 'cold' });
    expect(setKind(other, 'neck', 'single').build.harness.fixed).toEqual([]);
  });

  test('a part behind a stage follows it along the chain and goes with it', () => {
    const soldered = capacitorAt(demo, { at: 'stage', output: 'out', stage: 0 });
    const moved = moveStage(soldered, 0, 0, 1).build;
    expect(moved.harness.fixed[0].from).toEqual({ at: 'stage', output: 'out', stage: 1 });
    const more = addStage(moved, 0, 'buffer').build;
    valid(more);
    const at = more.harness.fixed[0].from;
    expect(at.at === 'stage' && more.outputs[0].chain[at.stage].kind).toBe('cable');
    const { build, went } = removeStage(soldered, 0, 0);
    valid(build);
    expect(build.harness.fixed).toEqual([]);
    expect(words.went(went)).toBe('The 1 nF capacitor (behind the cable) went with it.');
    expect(removeStage(soldered, 0, 1).build.harness.fixed).toHaveLength(1);
  });
});

describe('the selector', () => {
  test('positions follow pickups and coils that go; the selected one stays selected', () => {
    const on = selectPosition(hss, 4).build;
    const { build, went } = removePickup(on, 'bridge');
    valid(build);
    expect(build.harness.positions.map(p => p.label)).not.toContain('bridge');
    expect(build.harness.positions[build.harness.selected].label).toBe('neck');
    expect(words.went(went)).toMatch(/position “bridge” had nothing left/);
    const one = selectPosition(demo, 2).build;
    const coil = removeCoil(setKind(one, 'neck', 'free').build, 'neck', 'neck-side');
    valid(coil.build);
    expect(coil.build.harness.positions[2].taps[0].coils).toBeNull();
    expect(words.went(coil.went)).toMatch(/now uses all of Neck/);
    expect(movePosition(one, 2, -1).build.harness.selected).toBe(1);
    expect(removePosition(one, 0).build.harness.selected).toBe(1);
  });

  test('every pickup keeps its own connections beside another that goes; a coil is connected once', () => {
    const bass = demoBass();
    const [low, bridge] = bass.pickups;
    const [output] = bass.outputs;
    const tap = { join: 'series', antiphase: false, reverse: false, output: output.id } as const;
    const [first, second] = low.coils.map(c => c.id);
    const withTaps = (...taps: Tap[]): Build => ({
      ...bass,
      harness: { ...bass.harness, positions: [{ label: 'all', join: 'parallel', taps }], selected: 0 },
    });
    const tapsAfter = (...taps: Tap[]): Tap[] => settle(bass, withTaps(...taps)).build.harness.positions[0].taps;
    const own: Tap[] = [
      { ...tap, pickup: low.id, coils: [first] },
      { ...tap, pickup: bridge.id, coils: null },
      { ...tap, pickup: low.id, coils: [second], reverse: true },
    ];
    expect(tapsAfter(...own, { ...tap, pickup: 'gone', coils: null })).toEqual(own);
    // two pickups may have coils of one name
    const alike = setPickup(bass, bridge.id, p => ({ ...p, coils: [{ ...p.coils[0], id: first }] })).build;
    const both: Tap[] = [
      { ...tap, pickup: low.id, coils: [first] },
      { ...tap, pickup: bridge.id, coils: [first] },
    ];
    const changed = { ...alike, harness: { ...withTaps(...both).harness } };
    expect(settle(alike, changed).build.harness.positions[0].taps).toEqual(both);
    const named = (coils: string[] | null): Tap => ({ ...tap, pickup: low.id, coils });
    expect(tapsAfter(named([first, first]))).toEqual([named([first])]);
    expect(tapsAfter(named([first, 'gone']))).toEqual([named([first])]);
    // what the first connection has taken the second lacks
    expect(tapsAfter(named([first]), { ...named(null), reverse: true })).toEqual([
      named([first]),
      { ...named([second]), reverse: true },
    ]);
  });

  test('a selector that loses every position has one with the first pickup', () => {
    const build = { ...hss, harness: { ...hss.harness, positions: [hss.harness.positions[0]], selected: 0 } };
    const [{ pickup }] = build.harness.positions[0].taps;
    const { build: without, went } = removePickup(build, pickup);
    const [{ id, name }] = without.pickups;
    expect(without.harness.positions).toMatchObject([
      { label: name.toLowerCase(), join: 'parallel', taps: [{ pickup: id, coils: null, reverse: false }] },
    ]);
    expect(went).toContainEqual({ kind: 'position', label: build.harness.positions[0].label });
    valid(without);
  });

  test('one connection to two outputs is changed as one', () => {
    const two = applyScheme(applyConfiguration(demo, 'HH').build, 'stereo').build;
    const turned = setTap(two, 1, 0, { join: 'parallel' }).build;
    valid(turned);
    expect(turned.harness.positions[1].taps.filter(t => t.pickup === 'bridge').map(t => t.join)).toEqual([
      'parallel',
      'parallel',
    ]);
    const part = setTap(two, 1, 0, { coils: ['neck-side'], output: 'out-2' }).build;
    valid(part);
    const doubled = { ...two.harness.positions[1].taps[0], join: 'parallel' as const };
    const clash: Build = {
      ...two,
      harness: {
        ...two.harness,
        positions: [{ ...two.harness.positions[1], taps: [two.harness.positions[1].taps[0], doubled] }],
        selected: 0,
      }, // prettier-ignore
    };
    valid(settle(two, clash).build);
  });

  test('the blend and a pickup’s own control go with it; a control of a jack that is gone goes with that', () => {
    const blended = setBlend(hss, true).build;
    const own = setControl(blended, 0, { pickup: 'bridge' }).build;
    const { build, went } = removePickup(own, 'bridge');
    valid(build);
    expect(build.harness.blend).toBeNull();
    expect(build.harness.controls).toEqual([]);
    expect(went.map(one => one.kind)).toEqual(expect.arrayContaining(['blend', 'control']));
    const stereo = applyScheme(applyConfiguration(demo, 'HH').build, 'stereo').build;
    const mono = setStereo(stereo, false, '');
    valid(mono.build);
    expect(mono.build.harness.controls).toHaveLength(1);
    const kept = setStereo(setControl(stereo, 1, { pickup: 'neck' }).build, false, '').build;
    expect(kept.harness.controls.map(c => c.output)).toEqual(['out', 'out']);
  });
});

describe('strings and places', () => {
  test('a coil stays under strings that are there', () => {
    const bass = demoBass();
    const under = setUnder(bass, 'middle', 'high', 1, false).build;
    expect(under.pickups[0].coils[1].strings).toEqual([2]);
    expect(setUnder(under, 'middle', 'high', 2, false).build).toBe(under);
    const all = [1, 2, 3, 4].reduce((b, n) => setUnder(b, 'middle', 'high', n, true).build, under);
    expect(all.pickups[0].coils[1].strings).toBeNull();
    const one = { ...bass.instrument, strings: bass.instrument.strings.slice(0, 1) };
    const { build } = onInstrument(bass, one);
    valid(build);
    expect(build.pickups[0].coils.map(c => c.strings)).toEqual([null, [1]]);
  });

  test('a coil that would stand over the saddle moves its pickup, and that is told', () => {
    const { build, went } = setValue(demoBuilds()[1], '/pickups/0/coils/0/along', -0.08);
    valid(build);
    expect(words.went(went)).toBe('Bridge was moved to where it can stand.');
  });

  test('an instrument that leaves no place for a pickup is not taken', () => {
    const strings = demo.instrument.strings.map((s, i) => ({ ...s, scale: 0.15, saddle: i ? -0.1 : 0.1 }));
    const { build, went } = onInstrument(demo, { ...demo.instrument, strings });
    expect(build).toBe(demo);
    expect(words.went(went)).toMatch(/Neck could stand nowhere/);
  });
});

describe('what a person set stays', () => {
  test('a ready wiring keeps pots, capacitors, tapers, settings and parts, and says what it put in', () => {
    let build = hss;
    for (const [at, value] of [
      ['volume/value', 330e3],
      ['volume/taper', 'linear'],
      ['volume/setting', 0.7],
      ['tone/capacitance', 33e-9],
    ] as const)
      build = setValue(build, `/harness/controls/0/${at}`, value).build;
    build = capacitorAt(build, { at: 'control', control: 'master', end: 'out' });
    const each = applyScheme(build, 'each');
    valid(each.build);
    expect(each.build.harness.controls).toEqual(build.harness.controls);
    expect(each.build.harness.fixed).toEqual(build.harness.fixed);
    expect(each.went).toEqual([]);
    const all = applyScheme(build, 'all');
    valid(all.build);
    for (const { volume, tone } of all.build.harness.controls) {
      if (volume) expect(volume).toMatchObject({ value: 330e3, taper: 'linear' });
      if (tone) expect(tone.capacitance).toBe(33e-9);
    }
    expect(words.went(all.went)).toMatch(/control of Bridge was put in/);
  });

  test('a configuration keeps the pickups that it does not change', () => {
    const measured = setValue(hss, '/pickups/0/coils/0/inductance', 3.3).build;
    const { build } = applyConfiguration(measured, 'HSH');
    valid(build);
    expect(build.pickups[0]).toEqual(measured.pickups[0]);
    expect(build.pickups[2].kind).toBe('double');
  });

  test('a typed value is entered, a chosen kind stays typical', () => {
    expect(hss.pickups[0].coils[0].origin).toBe('typical');
    const typed = setValue(hss, '/pickups/0/coils/0/resistance', 4321).build.pickups[0];
    expect(typed.coils.map(c => c.origin)).toEqual(['entered', 'typical']);
    expect(setValue(hss, '/pickups/0/coils/0/along', 0.01).build.pickups[0].coils[0].origin).toBe('typical');
  });
});

describe('names follow facts', () => {
  const bass = STRING_SETS.find(s => s.id === 'bass-4')!.instrument;

  test('names of builds, instruments and sheets that nobody chose say what is there; own ones stay', () => {
    const sheet = demoSheet();
    expect(setKind(demo, 'neck', 'single').build.name).toBe('Neck, single coil');
    expect(applyConfiguration(demo, 'HSS').build.name).toBe('HSS: bridge, middle, neck');
    const onBass = editInstrument(sheet, 'A', () => bass, followReplaced).sheet;
    expect(onBass.title).toBe(bass.name);
    const short = editInstrument(onBass, 'A', i => ({
      ...i,
      strings: i.strings.map(s => ({ ...s, scale: 0.762 })),
    })).sheet; // prettier-ignore
    expect(short.builds[0].build.instrument.name).toBe('Four-string bass, 762 mm');
    expect(short.title).toBe('Four-string bass, 762 mm');
    const own = renameBuild(sheet, 'A', 'My neck').sheet;
    expect(setKind(own.builds[0].build, 'neck', 'single').build.name).toBe('My neck');
  });

  test('a sheet opens word for word; a derived name that says something else changes only with what it follows', () => {
    const base = demoSheet();
    const [slot, other] = base.builds;
    const { instrument } = slot.build;
    const named = { ...slot.build, name: 'Nearer the saddle', instrument: { ...instrument, name: 'Client’s' } };
    const foreign = {
      ...base,
      title: 'Client’s choice',
      sameInstrument: false,
      builds: [{ ...slot, build: named }, other],
    };
    const { sheet } = openSheet(foreign);
    expect(sheet).toEqual(foreign);

    const noted = setSheetNote(sheet, 'second visit').sheet;
    const moved = editBuild(noted, 'A', b => placePickup(b, 'neck', 0.12)).sheet;
    expect([moved.title, moved.builds[0].build.name]).toEqual(['Client’s choice', 'Nearer the saddle']);
    expect(moved.builds[0].build.instrument.name).toBe('Client’s');

    const renamed = editBuild(moved, 'A', b => setPickup(b, 'neck', p => ({ ...p, name: 'Front' }))).sheet;
    expect(renamed.builds[0].build.name).toBe('Front, two coils side by side');
    const longer = editInstrument(renamed, 'A', i => ({
      ...i,
      strings: i.strings.map(s => ({ ...s, scale: 0.7 })),
    })).sheet;
    expect(longer.title).toBe('Six-string guitar, 700 mm');

    const own = setTitle(longer, 'Mine').sheet;
    expect(own.titleDerived).toBe(false);
    expect(setTitle(own, ' ').sheet).toMatchObject({ title: 'Six-string guitar, 700 mm', titleDerived: true });
  });

  test('an opened view stands on what is there', () => {
    const sheet = demoSheet();
    const opened = openSheet({ ...sheet, view: { ...sheet.view, heard: 'H', pickup: 'gone' } }).sheet;
    expect(opened).toEqual({ ...sheet, view: { ...sheet.view, heard: 'A', pickup: 'neck' } });
  });

  test('six pickups fit, a seventh does not', () => {
    let build = demo;
    for (let i = 0; i < 8; i++) build = addPickup(build, 'single-rods').build;
    valid(build);
    expect(build.pickups).toHaveLength(6);
    expect(new Set(build.pickups.map(p => p.name)).size).toBe(6);
  });

  test('a build from elsewhere keeps its own instrument', () => {
    const sheet = demoSheet();
    expect(addBuild(sheet, demoBass()).sheet.sameInstrument).toBe(false);
  });
});

describe('older and damaged work', () => {
  const withText = (from: string) => ({
    ...JSON.parse(JSON.stringify(demo)),
    version: 1,
    harness: { ...demo.harness, fixed: [{ id: 'c', kind: 'capacitor', value: 1e-9, from, to: 'ground' }] },
  });

  test('places named by text become references, whatever stands there', () => {
    for (const { name, place } of solderPlaces(demo)) {
      const parsed = parseBuild(withText(name));
      expect(parsed.ok && parsed.build.harness.fixed[0].from, name).toEqual(place);
    }
  });

  test('a sheet that was set aside for a dangling part opens without it', () => {
    const sheet = { ...demoSheet(), builds: [{ letter: 'A', build: withText('control:gone.out') }] };
    expect(parseSheet(sheet).ok).toBe(false);
    const repaired = repairSheet(sheet)!;
    expect(parseSheet(repaired.sheet).ok).toBe(true);
    expect(repaired.went.map(one => one.kind)).toEqual(['part']);
    expect(repairSheet({ ...sheet, title: 7 })).toBeNull();
  });
});

describe('takes follow the instrument', () => {
  const manifest = parseManifest(manifestJson);
  const bass = STRING_SETS.find(s => s.id === 'bass-4')!.instrument;

  test('one that cannot be played gives way to one that can, and that is told in the same step', () => {
    const before = demoSheet();
    const { sheet, went } = withFittingTake(
      before,
      editInstrument(before, 'A', () => bass, followReplaced),
      manifest,
    );
    const take = manifest.takes.find(t => t.id === sheet.take)!;
    expect(misfit(manifest, take, bass)).toBeNull();
    expect(sheet.take).not.toBe(before.take);
    expect(words.went(went)).toMatch(/cannot be played on this instrument, so “.+” was chosen/);
  });

  test('one that can be played, and one of one’s own, stay', () => {
    const before = demoSheet();
    const frets = editInstrument(before, 'A', i => ({ ...i, frets: 24 }));
    expect(withFittingTake(before, frets, manifest)).toBe(frets);
    const own = { ...before, take: 'own-1' };
    const edited = editInstrument(own, 'A', () => bass, followReplaced);
    expect(withFittingTake(own, edited, manifest)).toBe(edited);
  });
});
